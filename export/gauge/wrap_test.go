package gauge

import (
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/export/drawing"
	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// beside is a drum of 80 across the length of the bike and a box of 100 × 60 × 50 below it.
func beside(from, to, at r3.Vector) (pack.Problem, pack.Layout) {
	hole := geom.Polygon{Corners: []r2.Point{{}, {X: 400}, {X: 400, Y: 300}, {Y: 300}}}
	p := pack.Problem{
		Frame: &frame.Frame{
			Opening:  frame.Opening{Outline: hole, Stations: []frame.Station{{Across: r1.Interval{Lo: -100, Hi: 100}}}},
			KeepOuts: []frame.KeepOut{{Name: "drum", Round: &frame.Round{From: from, To: to, Diameter: 80}, Trim: 20}},
		},
		Pack: &pack.Pack{Gaps: pack.Gaps{KeepOut: 5}, Kinds: []pack.Kind{{Name: "box", Count: 1, Size: r3.Vector{X: 100, Y: 60, Z: 50}}}},
	}
	return p, pack.Layout{Placements: []pack.Placement{{
		Box: "box", Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}, Centre: at,
	}}}
}

// Derived: a drum along x, whose lowest line is 7 mm above the box: with a gap of 9 the cut
// is a flat 2 mm deep, 100 + 2·9 long, and on the curved surface 2·40·acos(38/40) wide. Its
// middle is on the lowest line, half way around the paper, and as far along as the box is.
func TestWrapOfALevelDrum(t *testing.T) {
	p, l := beside(r3.Vector{X: 20, Z: 150}, r3.Vector{X: 320, Z: 150}, r3.Vector{X: 190, Z: 150 - 40 - 7 - 25})
	p.Pack.Gaps.KeepOut = 9
	n := notched(t, p, l)
	require.InDelta(t, 2, n.Depth, 0.11)
	half := math.Acos(38.0 / 40)
	require.InEpsilon(t, 118*40*40*(half-math.Sin(half)*math.Cos(half)), n.Volume, 0.08)
	d := n.wrap()
	paper := d.Paths[0].Points
	require.InDelta(t, 2*math.Pi*40, paper[2].X-paper[0].X, 1e-9)
	require.InDelta(t, 300, paper[2].Y-paper[0].Y, 1e-9)
	c := cuts(d).Paths
	require.Len(t, c, 1)
	require.True(t, c[0].Closed)
	b := r2.RectFromPoints(c[0].Points...)
	require.InDelta(t, 118.02, b.Y.Length(), 0.01)
	require.InDelta(t, 2*40*half, b.X.Length(), 0.1)
	require.InDelta(t, paper[0].Y+170, b.Center().Y, 0.01)
	require.InDelta(t, paper[0].X+math.Pi*40, b.Center().X, 0.01)
	dotted := d.Paths[slices.IndexFunc(d.Paths, func(p drawing.Path) bool { return p.Dotted })]
	require.InDelta(t, b.Center().X, dotted.Points[0].X, 0.01)
	require.InDelta(t, (geom.Polygon{Corners: c[0].Points}).Area(), b.X.Length()*b.Y.Length(), 1, "a rectangle")
}

// Whatever the drum's direction: a point of its surface is inside the line on the paper when
// it is in the box grown by the gap. Worked out from the box alone, by crossings.
func TestWrapPointByPoint(t *testing.T) {
	from, to := r3.Vector{X: 320, Y: 30, Z: 290}, r3.Vector{X: 60, Y: -40, Z: 60}
	p, l := beside(from, to, r3.Vector{X: 190, Y: -20, Z: 105})
	n := notched(t, p, l)
	require.NotEmpty(t, n.cuts)
	s := sleeveOf(*n.drum, r3.Vector{X: 190, Y: -20, Z: 105})
	require.Equal(t, to, s.from, "its lower end is below")
	require.InDelta(t, 1, s.on.Dot(s.axis.Cross(s.out)), 1e-12, "to the right seen from outside, with the axis up")
	loop := s.loops(polyhedron(n.cuts[0]))[0]
	part := polyhedron(n.cuts[0])
	in := 0
	for i := range 60 {
		for k := range 60 {
			q := r2.Point{X: s.around() * (float64(i) + 0.5) / 60, Y: s.length * (float64(k) + 0.5) / 60}
			want := part.Contains(s.point(q))
			if want {
				in++
			}
			crossings := 0
			for j, a := range loop {
				b := loop[(j+1)%len(loop)]
				if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+(q.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
					crossings++
				}
			}
			require.Equal(t, want, crossings%2 == 1, "%v", q)
		}
	}
	require.Greater(t, in, 20)
	require.NotEmpty(t, n.Drawing(geom.Millimetre).Paths)
}

// Two boxes side by side have one line around them both: what is inside of the other is not
// drawn.
func TestWrapOfTwoBoxes(t *testing.T) {
	p, l := beside(r3.Vector{X: 20, Z: 150}, r3.Vector{X: 320, Z: 150}, r3.Vector{X: 120, Z: 150 - 40 - 2 - 25})
	other := l.Placements[0]
	other.Number, other.Centre.X = 2, 223
	l.Placements = append(l.Placements, other)
	p.Pack.Kinds[0].Count = 2
	d := notched(t, p, l).wrap()
	box := r2.EmptyRect()
	for _, c := range d.Paths {
		if c.Layer == drawing.Cut {
			require.False(t, c.Closed)
			box = box.Union(r2.RectFromPoints(c.Points...))
		}
	}
	require.InDelta(t, 203+10.02, box.Y.Length(), 0.01)
}
