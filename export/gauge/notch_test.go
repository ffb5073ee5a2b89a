package gauge

import (
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/export/drawing"
	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/whatif"
)

// under is a tank from height 100 to 200 above a box of 100 × 60 × 50 at a place.
func under(t *testing.T, at r3.Vector, tilt s1.Angle) (pack.Problem, pack.Layout) {
	t.Helper()
	tank, err := geom.PolygonFromCorners([]r2.Point{{X: 0, Y: 100}, {X: 300, Y: 100}, {X: 300, Y: 200}, {X: 0, Y: 200}})
	require.NoError(t, err)
	p := pack.Problem{
		Frame: &frame.Frame{Opening: frame.Opening{Outline: tank, Stations: []frame.Station{{Across: r1.Interval{Lo: -100, Hi: 100}}}}, KeepOuts: []frame.KeepOut{
			{Name: "tank", Profile: &frame.Profile{Outline: tank, Across: r1.Interval{Lo: -100, Hi: 100}}, Trim: 20},
		}},
		Pack: &pack.Pack{Gaps: pack.Gaps{KeepOut: 5}, Kinds: []pack.Kind{{Name: "box", Count: 1, Size: r3.Vector{X: 100, Y: 60, Z: 50}}}},
	}
	return p, pack.Layout{Placements: []pack.Placement{{
		Box: "box", Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front, Tilt: tilt}, Centre: at,
	}}}
}

// notched is the notch that the layout needs in the tank.
func notched(t *testing.T, p pack.Problem, l pack.Layout) Notch {
	t.Helper()
	cuts, err := whatif.Needed(p, l, 0)
	require.NoError(t, err)
	return NotchOf(p.Frame, 0, cuts)
}

// Derived: a box whose top is 8 mm inside the tank, with a gap of 5 mm all around,
// takes 110 × 13 mm over 70 mm across. What is cut is 0.01 mm wider.
func TestNotchOfALevelBox(t *testing.T) {
	p, l := under(t, r3.Vector{X: 150, Z: 83}, 0)
	n := notched(t, p, l)
	require.InDelta(t, 13, n.Depth, 0.02)
	require.InDelta(t, 110*13*70, n.Volume, 150)
	d := n.Drawing(geom.Millimetre)
	require.InDelta(t, 110*13, areaOf([][]r2.Point{cuts(d).Paths[0].Points}), 2)
	require.InDelta(t, 70*13, areaOf([][]r2.Point{cuts(d).Paths[1].Points}), 2)
	// Where: the tank begins at x 0 and z 100, its middle is the bike's.
	require.Equal(t, []string{
		"Along is measured from the rear end of tank, up from its lowest place, across from the middle of the vehicle.",
		"1, for box 1: along from 95 mm to 205 mm, up from 0 mm to 13 mm, across from 35 mm right to 35 mm left; at most 13.1 mm deep, 100.2 cm³ lost.",
		"1 has its corners along and up at 95 mm and 0 mm; 205 mm and 0 mm; 205 mm and 13 mm; 95 mm and 13 mm.",
	}, n.Where(geom.Millimetre))
	require.Len(t, numbered(d, "1"), 2, "the number stands at the cut in both views")
	// Two boxes in the same place take no more.
	l.Placements = append(l.Placements, l.Placements[0])
	require.InDelta(t, 110*13*70, notched(t, p, l).Volume, 150)
}

// numbered are the texts of a drawing that are a number.
func numbered(d drawing.Drawing, number string) []drawing.Text {
	return slices.DeleteFunc(slices.Clone(d.Texts), func(t drawing.Text) bool { return t.Line != number })
}

// Derived: a box turned by 45° reaches into the tank with a right-angled corner of depth
// h, so a triangle of h², of which the gap makes a larger one.
func TestNotchOfATiltedBox(t *testing.T) {
	half := (50 + 25) / math.Sqrt2 // of the box upwards, without its gap
	p, l := under(t, r3.Vector{X: 150, Z: 102 - half}, math.Pi/4)
	n := notched(t, p, l)
	h := 2 + 5*math.Sqrt2
	require.Less(t, n.Depth, h+0.02)
	require.Greater(t, n.Depth, 7-0.02, "corner and gap")
	require.LessOrEqual(t, n.Volume, h*h*70+30)
	require.Greater(t, n.Volume, 0.5*h*h*70)
}

func TestNoNotch(t *testing.T) {
	p, l := under(t, r3.Vector{X: 150, Z: 70}, 0) // 5 mm below
	n := notched(t, p, l)
	require.Empty(t, n.cuts)
	require.Zero(t, n.Volume)
	p.Frame.KeepOuts[0].Trim = 100
	_, err := whatif.Needed(p, l, 0)
	require.ErrorIs(t, err, frame.ErrThrough)
}
