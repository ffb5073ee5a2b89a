package nest

import (
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"

	"rackwright/export/drawing"
)

// Random crosses and rectangles: none overlaps another or the edge, looked at one pair
// at a time and not by the rule that placed them.
func TestNothingOverlaps(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 2))
	s := Settings{Sheet: r2.Point{X: 1200, Y: 800}, Edge: 5, Gap: 4}
	for range 30 {
		var parts []Part
		for range 3 + rng.IntN(25) {
			a, b, c := 20+200*rng.Float64(), 20+200*rng.Float64(), 20+100*rng.Float64()
			rects := []r2.Rect{r2.RectFromPoints(r2.Point{X: 0, Y: c}, r2.Point{X: 2*a + c, Y: b + c})}
			rects = append(rects, r2.RectFromPoints(r2.Point{X: a}, r2.Point{X: a + c, Y: c}))
			rects = append(rects, r2.RectFromPoints(r2.Point{X: a, Y: b + c}, r2.Point{X: a + c, Y: b + 2*c}))
			parts = append(parts, Part{drawing.Drawing{Size: r2.Point{X: 2*a + c, Y: b + 2*c}}, rects})
		}
		places, count, err := Lay(parts, s)
		require.NoError(t, err)
		var all [][]r2.Rect
		sheet := r2.RectFromPoints(r2.Point{X: s.Edge, Y: s.Edge}, s.Sheet.Sub(r2.Point{X: s.Edge, Y: s.Edge}))
		for i, p := range places {
			require.Less(t, p.Sheet, count)
			var rects []r2.Rect
			for _, r := range turned(parts[i].Rects, p.Turns) {
				r = moved(r, p.By)
				require.True(t, sheet.ExpandedByMargin(1e-9).Contains(r))
				rects = append(rects, r)
			}
			for j, o := range all {
				for _, r := range rects {
					for _, q := range o {
						if places[j].Sheet == p.Sheet {
							require.False(t, r.ExpandedByMargin(s.Gap/2-1e-6).Intersects(q.ExpandedByMargin(s.Gap/2-1e-6)), "parts %d and %d", i, j)
						}
					}
				}
			}
			all = append(all, rects)
		}
	}
}

// Derived: six squares of 100 and gaps of 10 go three by two onto 340 by 230, and not
// onto anything smaller.
func TestSixSquares(t *testing.T) {
	var parts []Part
	for range 6 {
		parts = append(parts, Whole(drawing.Drawing{Title: "square", Size: r2.Point{X: 100, Y: 100}}))
	}
	_, count, err := Lay(parts, Settings{Sheet: r2.Point{X: 340, Y: 230}, Edge: 10, Gap: 10})
	require.NoError(t, err)
	require.Equal(t, 1, count)
	wide := 340.1 - 2*5.1 // and a part exactly as large as the sheet, with rounding
	_, count, err = Lay([]Part{Whole(drawing.Drawing{Size: r2.Point{X: wide, Y: wide}})}, Settings{Sheet: r2.Point{X: 340.1, Y: 340.1}, Edge: 5.1})
	require.NoError(t, err)
	require.Equal(t, 1, count)
	_, count, err = Lay(parts, Settings{Sheet: r2.Point{X: 339, Y: 230}, Edge: 10, Gap: 10})
	require.NoError(t, err)
	require.Equal(t, 2, count)
	_, _, err = Lay(parts, Settings{Sheet: r2.Point{X: 119, Y: 500}, Edge: 10, Gap: 10})
	require.ErrorIs(t, err, ErrSheet)
	require.ErrorContains(t, err, "square (100 × 100 mm)")
}

// A part goes into the notch of another: an L and what it leaves of a square.
func TestPartsGoIntoEachOther(t *testing.T) {
	l := Part{drawing.Drawing{Size: r2.Point{X: 100, Y: 100}}, []r2.Rect{
		r2.RectFromPoints(r2.Point{}, r2.Point{X: 100, Y: 40}), r2.RectFromPoints(r2.Point{Y: 40}, r2.Point{X: 40, Y: 100}),
	}}
	places, count, err := Lay([]Part{l, Whole(drawing.Drawing{Size: r2.Point{X: 55, Y: 55}})}, Settings{Sheet: r2.Point{X: 100, Y: 100}, Gap: 5})
	require.NoError(t, err)
	require.Equal(t, 1, count)
	require.Equal(t, r2.Point{X: 45, Y: 45}, places[1].By)
	sheets := Sheets([]Part{l, Whole(drawing.Drawing{})}, places, count, Settings{Sheet: r2.Point{X: 100, Y: 100}})
	require.Len(t, sheets, 1)
	require.Equal(t, "Sheet 1 of 1", sheets[0].Title)
}
