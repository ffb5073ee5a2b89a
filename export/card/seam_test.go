package card

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/export/drawing"
	"rackwright/export/nest"
	"rackwright/pack"
)

// A face larger than the sheet comes in pieces that fit on it, together as large as the
// net, with a strip for each seam, and they can be laid out. Derived: areas by the cut
// lines, not by the rectangles.
func TestFacesLargerThanTheSheetAreCutAlongSeams(t *testing.T) {
	k := pack.Kind{Name: "trunk", Size: r3.Vector{X: 1500, Y: 700, Z: 500}, Mass: 40}
	k.Posts = []pack.Post{{Name: "plus", Face: pack.Top, At: r2.Point{X: 750, Y: 350}, Diameter: 20, Height: 20, Polarity: "+"}}
	var nets []*Net
	for _, sheet := range []r2.Point{{X: 600, Y: 400}, {X: 1190, Y: 790}, {X: 300, Y: 1000}} {
		all, err := Choices(k, 4, sheet)
		require.NoError(t, err)
		require.Len(t, all, 2, "equal pieces, and ones as large as can be")
		nets = append(nets, all...)
	}
	for _, n := range nets {
		sheet := n.sheet
		for part := range n.Parts {
			requireSeams(t, n, part)
		}
		cut, strips, posts := 0.0, 0, 0
		pieces := n.Pieces(Label{Name: k.Name, Clear: 25}, true)
		for _, p := range pieces {
			b := r2.EmptyRect()
			for _, r := range p.Rects {
				b = b.AddRect(r)
			}
			require.True(t, fitsOn(b.Size(), sheet), "%s: %v", p.Drawing.Title, b)
			require.True(t, r2.RectFromPoints(r2.Point{}, p.Drawing.Size).ExpandedByMargin(1e-9).Contains(p.Drawing.Bounds()), p.Drawing.Title)
			posts += len(p.Drawing.Circles)
			switch {
			case strings.Contains(p.Drawing.Title, "strip"):
				strips++
			case strings.Contains(p.Drawing.Title, "template"):
				cut += outline(p.Drawing)
			}
		}
		want := 0.0
		for _, p := range n.Panels {
			want += p.Rect.X.Length() * p.Rect.Y.Length()
		}
		require.InDelta(t, want, cut, 1e-3)
		require.GreaterOrEqual(t, strips, 2)
		require.Equal(t, 1, posts, "the post is whole on one piece, where the middle of the face is no seam")
		_, _, err := nest.Lay(pieces, nest.Settings{Sheet: sheet, Gap: 4})
		require.NoError(t, err)
	}
}

// On a narrow face too the name of a piece lies on no line and no other words.
func TestNamesOfPiecesLieClear(t *testing.T) {
	k := pack.Kind{Name: "a long bar with an even longer name, and more", Size: r3.Vector{X: 700, Y: 30, Z: 30}, Mass: 2}
	nets, err := Choices(k, 2, r2.Point{X: 590, Y: 390})
	require.NoError(t, err)
	named := 0
	for _, n := range nets {
		for _, p := range n.Pieces(Label{Name: k.Name}, true) {
			for i, text := range p.Drawing.Texts {
				if strings.Contains(text.Line, "piece") && !strings.Contains(p.Drawing.Title, "strip") {
					others := p.Drawing
					others.Texts = slices.Delete(slices.Clone(others.Texts), i, i+1)
					require.False(t, others.Touches(text.Area()), text.Line)
					named++
				}
			}
		}
	}
	require.Greater(t, named, 3)
}

// Derived: a post of 60 mm about the middle of 1000 mm closes 470 to 530 with nothing
// around it; where the whole width is closed the cut goes through.
func TestSeamsKeepClear(t *testing.T) {
	whole := r1.Interval{Lo: 100, Hi: 1100}
	cut := func(most float64, closed ...r1.Interval) []float64 {
		var list []float64
		for _, s := range parted(whole, most, false, closed) {
			list = append(list, s.Lo)
		}
		return list
	}
	post := r1.Interval{Lo: 570, Hi: 630}
	require.Equal(t, []float64{100, 600}, cut(600))
	require.Equal(t, []float64{100, 570}, cut(600, post))
	require.Equal(t, []float64{100, 100 + 1000./3, 100 + 2000./3}, cut(520, post), "530 would be too long")
	require.Equal(t, []float64{100, 630}, cut(600, post, r1.Interval{Lo: 520, Hi: 600}))
	require.Equal(t, []float64{100, 600}, cut(600, r1.Interval{Lo: 0, Hi: 2000}))
	require.Equal(t, []float64{100}, cut(1000, post))
	require.Empty(t, cut(30))
	require.Equal(t, []r1.Interval{{Lo: 100, Hi: 800}, {Lo: 800, Hi: 1100}}, parted(whole, 700, true, nil))
	require.Equal(t, []r1.Interval{{Lo: 100, Hi: 1060}, {Lo: 1060, Hi: 1100}}, parted(whole, 990, true, nil), "40 mm at least")
	require.Equal(t, []r1.Interval{{Lo: 100, Hi: 570}, {Lo: 570, Hi: 1060}, {Lo: 1060, Hi: 1100}}, parted(whole, 490, true, []r1.Interval{post}))
}

// outline is the area within the longest closed line of each drawing, holes left out.
func outline(d drawing.Drawing) float64 {
	most := 0.0
	for _, p := range d.Paths {
		area := 0.0
		for i, q := range p.Points {
			area += q.Cross(p.Points[(i+1)%len(p.Points)]) / 2
		}
		if p.Layer == drawing.Cut {
			most = max(most, math.Abs(area))
		}
	}
	return most
}
