package whatif

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// depthIn tells how far a point is inside a prism: the least distance to a face, negative
// outside. Worked out here from the faces alone.
func depthIn(p geom.Prism, q r3.Vector) float64 {
	depth := min(q.Y-p.Depth.Lo, p.Depth.Hi-q.Y)
	c := p.Profile.Corners
	for i, a := range c {
		e := c[(i+1)%len(c)].Sub(a)
		in := r2.Point{X: -e.Y, Y: e.X}.Normalize()
		depth = min(depth, in.Dot(r2.Point{X: q.X, Y: q.Z}.Sub(a)))
	}
	return depth
}

// Random keep-outs with random boxes in them, level and tilted. Whatever is left keeps the
// gap; no point is lost that is in no notch; no point of a notch is deeper than it says,
// or in the core; and volumes add up, by Monte Carlo.
func TestNotchesOfRandomBoxes(t *testing.T) {
	cuts, grooves := 0, 0
	for seed := range uint64(200) {
		g := rand.New(rand.NewPCG(seed, 11))
		k, b := randomCut(g)
		depth := 5 + 20*g.Float64()
		if k.Thickness() <= 2*depth+1 {
			continue
		}
		c, err := newCutter(k, depth)
		require.NoError(t, err)
		if gap, _ := geom.SheetGap(b.bar, c.core[0]); gap < b.gap+play {
			continue // too deep in it for a notch of that depth
		}
		groove := seed%2 == 0
		c.cut(b, 0, groove)
		if len(c.notches) == 0 {
			requireClear(t, seed, b, c.pieces)
			continue
		}
		cuts++
		notch := c.notches[0]
		if notch.Solids[0].Depth == c.whole[0].Depth {
			grooves++
		}
		require.LessOrEqual(t, notch.Depth, depth+2*play, "seed %d", seed)
		requireClear(t, seed, b, c.pieces)
		requirePointByPoint(t, seed, g, c, notch)
	}
	require.Greater(t, cuts, 40)
	require.Greater(t, grooves, 10)
}

func requireClear(t *testing.T, seed uint64, b body, pieces []geom.Prism) {
	t.Helper()
	for _, p := range pieces {
		gap, _ := geom.SheetGap(b.bar, p)
		require.GreaterOrEqual(t, gap, b.gap, "seed %d", seed)
	}
}

func requirePointByPoint(t *testing.T, seed uint64, g *rand.Rand, c *cutter, notch Notch) {
	t.Helper()
	const points = 4000
	in, deepest := 0, 0.0
	bounds := c.whole[0].Profile.Bounds()
	for range points {
		q := r3.Vector{
			X: bounds.X.Lo + g.Float64()*bounds.X.Length(), Z: bounds.Y.Lo + g.Float64()*bounds.Y.Length(),
			Y: c.whole[0].Depth.Lo + g.Float64()*c.whole[0].Depth.Length(),
		}
		below := depthIn(c.whole[0], q)
		if below < 1e-6 {
			continue
		}
		owners, edge := 0, false
		for _, p := range append([]geom.Prism{notch.Solids[0]}, c.pieces...) {
			d := depthIn(p, q)
			edge = edge || math.Abs(d) < 1e-6
			if d > 0 {
				owners++
			}
		}
		require.True(t, edge || owners == 1, "seed %d: a point is in %d parts", seed, owners)
		if depthIn(notch.Solids[0], q) > 0 {
			in++
			deepest = max(deepest, below)
			require.LessOrEqual(t, depthIn(c.core[0], q), 1e-6, "seed %d: in the core", seed)
		}
	}
	require.LessOrEqual(t, deepest, notch.Depth+1e-6, "seed %d", seed)
	share := float64(in) / points
	box := bounds.X.Length() * bounds.Y.Length() * c.whole[0].Depth.Length()
	// Four standard deviations of a binomial share.
	require.InDelta(t, notch.Volume()/box, share, 4*math.Sqrt(max(share, 0.001)/points), "seed %d", seed)
}

// randomCut is a convex keep-out around the origin, three to five corners, and a box whose
// middle is near its surface.
func randomCut(g *rand.Rand) (frame.KeepOut, body) {
	var corners []r2.Point
	n := 3 + g.IntN(3)
	for i := range n {
		angle := 2 * math.Pi * (float64(i) + 0.6*g.Float64()) / float64(n)
		corners = append(corners, r2.Point{X: 100 * math.Cos(angle), Y: 80 * math.Sin(angle)})
	}
	outline := geom.Polygon{Corners: corners}.Hull()
	k := frame.KeepOut{Name: "tank", Metal: true, Profile: &frame.Profile{Outline: outline, Across: r1.Interval{Lo: -60, Hi: 70}}}
	tilt := s1.Angle(0)
	if g.IntN(2) == 0 {
		tilt = s1.Angle(30*g.Float64()-15) * s1.Degree
	}
	bar := geom.Box{
		Axes: pack.Orientation{Up: pack.Top, Front: pack.Left, Tilt: tilt}.Axes(),
		Half: r3.Vector{X: 20 + 40*g.Float64(), Y: 20 + 40*g.Float64(), Z: 20 + 40*g.Float64()},
		Centre: r3.Vector{
			X: 280*g.Float64() - 140, Y: 240*g.Float64() - 120, Z: 240*g.Float64() - 120,
		},
	}
	return k, body{part: pack.Part{Box: "b", Number: 1}, bar: bar, gap: 6 * g.Float64()}
}
