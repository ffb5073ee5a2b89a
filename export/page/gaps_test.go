package page

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/export/internal/chromium"
	"rackwright/frame"
	"rackwright/geom"
)

// A convex outline grown by a gap: each of its sides lies on a side of the outline moved
// out by the gap or is a cut corner, no corner is nearer than the gap or farther than a
// right-angled one, and points nearer than the gap are inside.
func TestGrownOutline(t *testing.T) {
	square := geom.Polygon{Corners: []r2.Point{{}, {X: 10}, {X: 10, Y: 10}, {Y: 10}}}
	require.True(t, geom.Polygon{Corners: grown(square, 3)}.Bounds().ApproxEqual(square.Bounds().ExpandedByMargin(3)))
	require.Len(t, grown(square, 3), 4)
	rng := rand.New(rand.NewPCG(2, 6))
	const gap = 7.0
	for range 50 {
		var points []r2.Point
		for range 8 {
			points = append(points, r2.Point{X: 100 * rng.Float64(), Y: 100 * rng.Float64()})
		}
		p := geom.Polygon{Corners: points}.Hull()
		out := geom.Polygon{Corners: grown(p, gap)}
		for _, c := range out.Corners {
			far := p.DistanceToEdge(c)
			require.True(t, far >= gap-1e-9 && far <= gap*math.Sqrt2+1e-9, "%g", far)
		}
		for i, a := range p.Corners { // a step out of each side and corner stays inside
			b := p.Corners[(i+1)%len(p.Corners)]
			n := r2.Point{X: b.Y - a.Y, Y: a.X - b.X}.Normalize().Mul(gap * 0.999)
			for _, q := range []r2.Point{a.Add(n), b.Add(n), a.Add(b).Mul(0.5).Add(n)} {
				require.True(t, out.Contains(q))
			}
			require.False(t, out.Contains(a.Add(b).Mul(0.5).Add(n.Mul(1.01))))
		}
	}
}

// withObstacles is the crate of two boxes among a keep-out of each form and a rail, some
// with a gap of their own.
func withObstacles(t *testing.T) Input {
	t.Helper()
	problem, layout := crate(t, "cell", 2)
	own := 40.0
	across := r1.Interval{Lo: -60, Hi: 60}
	outline := geom.Polygon{Corners: []r2.Point{{X: 700, Y: 60}, {X: 900, Y: 60}, {X: 900, Y: 160}, {X: 800, Y: 100}, {X: 700, Y: 160}}}
	f := *problem.Frame
	f.Rails = []frame.Rail{
		{Name: "rail", Path: []r3.Vector{{X: 300, Y: -60, Z: 200}, {X: 600, Y: -60, Z: 200}}, Diameter: 30},
		{Name: "own rail", Path: []r3.Vector{{X: 300, Y: 60, Z: 200}, {X: 600, Y: 60, Z: 200}}, Diameter: 30, Gap: &own},
	}
	f.KeepOuts = []frame.KeepOut{
		{Name: "profile", Profile: &frame.Profile{Outline: outline, Across: across}},
		{Name: "own profile", Profile: &frame.Profile{Outline: outline, Across: r1.Interval{Lo: 100, Hi: 160}}, Gap: &own},
		{Name: "block", Box: &frame.Corners{Low: r3.Vector{X: 450, Y: -20, Z: 40}, High: r3.Vector{X: 500, Y: 20, Z: 100}}, Gap: &own},
		{Name: "drum", Round: &frame.Round{From: r3.Vector{X: 1000, Y: -40, Z: 90}, To: r3.Vector{X: 1000, Y: 40, Z: 90}, Diameter: 80}, Gap: &own},
	}
	stub := frame.Round{From: r3.Vector{X: 1150, Y: -40, Z: 60}, To: r3.Vector{X: 1190, Y: 40, Z: 140}, Diameter: 60}.Drum()
	f.KeepOuts = append(f.KeepOuts, frame.KeepOut{Name: "stub", Piece: &stub, Gap: &own})
	problem.Frame = &f
	return inputOf(t, problem, layout)
}

// The picture knows of each rail and keep-out its own gap, or that of its kind.
func TestGapsOfObstacles(t *testing.T) {
	in := withObstacles(t)
	gaps := map[string]float64{}
	for _, s := range sceneOf(in).Solids {
		gaps[s.Name] = s.Gap
		if s.Name == "own profile" {
			require.Greater(t, len(s.Hull), 1, "it is not convex")
		}
	}
	g := in.Problem.Pack.Gaps
	require.Equal(t, map[string]float64{"rail": g.Rail, "own rail": 40, "profile": g.KeepOut, "own profile": 40, "block": 40, "drum": 40, "stub": 40}, gaps)
}

// Required gaps are shown around every one of them, and only around what is shown.
func TestGapsOfObstaclesAreShown(t *testing.T) {
	o := open(t, withObstacles(t), 900).coarsely(900)
	o.settle()
	o.clicking(`.names summary`)()
	names := []string{"rail", "own rail", "profile", "own profile", "block", "drum", "stub", "cell 1", "cell 2"}
	for _, name := range names {
		o.tick(name).MustClick()
	}
	o.frames(2)
	o.clicking(`[name=gaps]`)() // nothing to be seen of it
	o.frames(2)
	empty := o.picture()
	for n, name := range names {
		if n%2 == 1 && !chromium.Long() {
			continue
		}
		o.changes(name+" with its gap", func() { o.tick(name).MustClick() })
		o.changes(name+" without its gap", o.clicking(`[name=gaps]`))
		o.clicking(`[name=gaps]`)()
		o.tick(name).MustClick()
		o.frames(2)
		require.Less(t, differences(empty, o.picture()), enough, "%s and its gap are away", name)
	}
	o.quiet()
}
