package whatif

import (
	"math"
	"math/rand/v2"
	"slices"
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

// depthIn tells how far a point is inside an outline swept across: the least distance to a
// face, negative outside. Worked out here from the sides alone.
func depthIn(p frame.Profile, q r3.Vector) float64 {
	depth := math.Inf(1)
	inside := false
	flat := r2.Point{X: q.X, Y: q.Z}
	c := p.Outline.Corners
	for i, a := range c {
		b := c[(i+1)%len(c)]
		e := b.Sub(a)
		foot := max(0, min(1, flat.Sub(a).Dot(e)/e.Dot(e)))
		depth = min(depth, flat.Sub(a).Sub(e.Mul(foot)).Norm())
		// Crossings of a ray (even-odd rule).
		if (a.Y > flat.Y) != (b.Y > flat.Y) && flat.X < a.X+(flat.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			inside = !inside
		}
	}
	if !inside {
		depth = -depth
	}
	return min(depth, q.Y-p.Across.Lo, p.Across.Hi-q.Y)
}

// depthInSolid is the same of a part. That of a polyhedron is worked out from the corners
// of its faces alone.
func depthInSolid(s geom.Solid, q r3.Vector) float64 {
	if p, ok := s.(geom.Prism); ok {
		return depthIn(frame.Profile{Outline: p.Profile, Across: p.Depth}, q)
	}
	depth := math.Inf(1)
	for _, f := range s.(geom.Polyhedron).Faces() {
		var n r3.Vector
		for i, c := range f {
			n = n.Add(c.Sub(f[0]).Cross(f[(i+1)%len(f)].Sub(f[0])))
		}
		depth = min(depth, n.Normalize().Dot(f[0].Sub(q)))
	}
	return depth
}

// depthInDrum is how far a point is inside a drum, in closed form; negative outside.
func depthInDrum(r frame.Round, q r3.Vector) float64 {
	axis, length := r.To.Sub(r.From).Normalize(), r.To.Sub(r.From).Norm()
	along := q.Sub(r.From).Dot(axis)
	fromAxis := q.Sub(r.From).Sub(axis.Mul(along)).Norm()
	return min(r.Diameter/2-fromAxis, along, length-along)
}

// Random keep-outs with random boxes in them, level and tilted: convex ones, boxes, ones
// with corners that point inward, and drums, across and slanted. Whatever is left keeps the gap; no point is
// lost that is in no notch; no point of a notch is deeper than it says, or than is
// allowed; and volumes add up, by Monte Carlo.
func TestNotchesOfRandomBoxes(t *testing.T) {
	cuts, grooves := map[string]int{}, 0
	for seed := range uint64(900) {
		g := rand.New(rand.NewPCG(seed, 11))
		k, b := randomCut(g, int(seed%5))
		depth := 5 + 20*g.Float64()
		if k.Thickness() <= 2*depth+1 {
			continue
		}
		c, err := newCutter(k, depth)
		require.NoError(t, err)
		if !apart(b, c.core, b.gap+play) {
			continue // too deep in it for a notch of that depth
		}
		groove := seed%2 == 0
		c.cut(b, 0, groove)
		requireClear(t, seed, b, c)
		if len(c.notches) == 0 {
			continue
		}
		cuts[k.Name]++
		notch := c.notches[0]
		if p, ok := notch.Solids[0].(geom.Prism); ok && p.Depth == c.stock.(*sideStock).surface.Across {
			grooves++
		}
		require.LessOrEqual(t, notch.Depth, depth+2*play, "seed %d", seed)
		requirePointByPoint(t, seed, g, c, notch)
	}
	t.Logf("%v, %d grooves", cuts, grooves)
	for _, name := range []string{"tank", "tray", "bent", "motor", "shock"} {
		require.Greater(t, cuts[name], 20, name)
	}
	require.Greater(t, grooves, 20)
}

// apart tells whether a body keeps a gap to all of some solids.
func apart(b body, list []geom.Solid, gap float64) bool {
	for _, p := range list {
		if g, _ := geom.SheetGap(b.bar, p); g < gap {
			return false
		}
	}
	return true
}

// left are the solids that the judge sees after the cut.
func left(c *cutter) []geom.Solid {
	f := frame.Frame{KeepOuts: c.keepOuts(), Opening: frame.Opening{Outline: ring(rand.New(rand.NewPCG(1, 1)), 4, 1), Stations: []frame.Station{{}}}}
	var list []geom.Solid
	for _, o := range f.Obstacles(0) {
		if o.Kind == frame.KeptOut {
			list = append(list, o.Solid)
		}
	}
	return list
}

func requireClear(t *testing.T, seed uint64, b body, c *cutter) {
	t.Helper()
	require.True(t, apart(b, left(c), b.gap), "seed %d", seed)
}

func requirePointByPoint(t *testing.T, seed uint64, g *rand.Rand, c *cutter, notch Notch) {
	t.Helper()
	const points = 4000
	in, deepest := 0, 0.0
	var bounds [3]r1.Interval
	for i, u := range []r3.Vector{{X: 1}, {Y: 1}, {Z: 1}} {
		bounds[i] = r1.EmptyInterval()
		for _, p := range c.stock.in(nil) {
			bounds[i] = bounds[i].Union(p.Extent(u))
		}
	}
	parts := append(slices.Clone(notch.Solids), left(c)...)
	for range points {
		var at [3]float64
		for i, b := range bounds {
			at[i] = b.Lo + g.Float64()*b.Length()
		}
		q := r3.Vector{X: at[0], Y: at[1], Z: at[2]}
		var below float64
		if r := c.keepOut.Round; r != nil {
			below = depthInDrum(*r, q) // the drum itself, not what stands for it
		} else {
			surface, _ := c.keepOut.Surface()
			below = depthIn(surface, q)
		}
		if below < snapped {
			continue
		}
		owners, edge, cut := 0, false, false
		for i, p := range parts {
			d := depthInSolid(p, q)
			edge = edge || math.Abs(d) < snapped
			if d > 0 {
				owners++
				cut = cut || i < len(notch.Solids)
			}
		}
		require.True(t, edge || owners == 1, "seed %d: a point is in %d parts", seed, owners)
		if cut {
			in++
			deepest = max(deepest, below)
		}
	}
	require.LessOrEqual(t, deepest, notch.Depth+1e-6, "seed %d", seed)
	share := float64(in) / points
	box := bounds[0].Length() * bounds[1].Length() * bounds[2].Length()
	// Four standard deviations of a binomial share, and what is between a drum and the
	// flat sides around it.
	round := 0.0
	if c.keepOut.Round != nil {
		round = 0.005
	}
	require.InDelta(t, notch.Volume()/box, share, round+4*math.Sqrt(max(share, 0.001)/points), "seed %d", seed)
}

// snapped is more than solids are snapped by, in mm.
const snapped = 0.005

// The depth below an outline against a fine grid of points.
func TestDepthInOutline(t *testing.T) {
	for seed := range uint64(40) {
		g := rand.New(rand.NewPCG(seed, 13))
		k := randomBent(g)
		surface, ok := k.Surface()
		require.True(t, ok)
		for _, part := range surface.Outline.ConvexPieces() {
			b := part.Bounds()
			deepest := 0.0
			const n = 200
			for i := range n * n {
				x, y := float64(i%n)/(n-1), float64(i/n)/(n-1)
				q := r2.Point{X: b.X.Lo + x*b.X.Length(), Y: b.Y.Lo + y*b.Y.Length()}
				if part.Contains(q) {
					deepest = max(deepest, depthIn(*k.Profile, r3.Vector{X: q.X, Z: q.Y, Y: 5}))
				}
			}
			got := depthInOutline(part, surface.Outline)
			require.GreaterOrEqual(t, got, deepest, "seed %d", seed)
			require.LessOrEqual(t, got, deepest+fine+max(b.X.Length(), b.Y.Length())/n, "seed %d", seed)
		}
	}
}

// randomCut is a keep-out around the origin, of one of five shapes, and a box whose middle
// is near its surface.
func randomCut(g *rand.Rand, shape int) (frame.KeepOut, body) {
	across := r1.Interval{Lo: -60, Hi: 70}
	var k frame.KeepOut
	switch shape {
	case 0:
		k = frame.KeepOut{Name: "tank", Profile: &frame.Profile{Outline: ring(g, 3+g.IntN(3), 1).Hull(), Across: across}}
	case 1:
		k = frame.KeepOut{Name: "tray", Box: &frame.Corners{Low: r3.Vector{X: -90, Y: -60, Z: -70}, High: r3.Vector{X: 100, Y: 70, Z: 60}}}
	case 2:
		k = randomBent(g)
	case 3:
		k = frame.KeepOut{Name: "motor", Round: &frame.Round{From: r3.Vector{Y: -60}, To: r3.Vector{Y: 70}, Diameter: 120 + 60*g.Float64()}}
	case 4:
		axis := r3.Vector{X: g.NormFloat64(), Y: g.NormFloat64(), Z: g.NormFloat64()}.Normalize().Mul(50 + 40*g.Float64())
		k = frame.KeepOut{Name: "shock", Round: &frame.Round{From: axis.Mul(-1), To: axis, Diameter: 120 + 60*g.Float64()}}
	}
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

// ring is a random outline of n corners around the origin; from least on, and up to all, of
// how far they may be out.
func ring(g *rand.Rand, n int, least float64) geom.Polygon {
	var corners []r2.Point
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.6*g.Float64()) / float64(n))
		out := least + (1-least)*g.Float64()
		corners = append(corners, r2.Point{X: 100 * out * cos, Y: 80 * out * sin})
	}
	return geom.Polygon{Corners: corners}
}

// randomBent is a keep-out with a corner that points inward.
func randomBent(g *rand.Rand) frame.KeepOut {
	for {
		p, err := geom.PolygonFromCorners(ring(g, 5+g.IntN(4), 0.4).Corners)
		if err == nil && !p.IsConvex() {
			return frame.KeepOut{Name: "bent", Profile: &frame.Profile{Outline: p, Across: r1.Interval{Lo: -60, Hi: 70}}}
		}
	}
}
