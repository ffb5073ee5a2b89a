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

func depthInPrism(p geom.Prism, q r3.Vector) float64 {
	return depthIn(frame.Profile{Outline: p.Profile, Across: p.Depth}, q)
}

// Random keep-outs with random boxes in them, level and tilted: convex ones, boxes, ones
// with corners that point inward, and drums. Whatever is left keeps the gap; no point is
// lost that is in no notch; no point of a notch is deeper than it says, or than is
// allowed; and volumes add up, by Monte Carlo.
func TestNotchesOfRandomBoxes(t *testing.T) {
	cuts, grooves := map[string]int{}, 0
	for seed := range uint64(600) {
		g := rand.New(rand.NewPCG(seed, 11))
		k, b := randomCut(g, int(seed%4))
		depth := 5 + 20*g.Float64()
		if k.Thickness() <= 2*depth+1 {
			continue
		}
		c, err := newCutter(k, depth)
		require.NoError(t, err)
		if !apart(b, c.core, b.gap+play) {
			continue // too deep in it for a notch of that depth
		}
		groove := seed%8 < 4
		c.cut(b, 0, groove)
		if len(c.notches) == 0 {
			requireClear(t, seed, b, c.pieces)
			continue
		}
		cuts[k.Name]++
		notch := c.notches[0]
		if notch.Solids[0].Depth == c.surface.Across {
			grooves++
		}
		require.LessOrEqual(t, notch.Depth, depth+2*play, "seed %d", seed)
		requireClear(t, seed, b, c.pieces)
		requirePointByPoint(t, seed, g, c, notch)
	}
	t.Logf("%v, %d grooves", cuts, grooves)
	for _, name := range []string{"tank", "tray", "bent", "motor"} {
		require.Greater(t, cuts[name], 20, name)
	}
	require.Greater(t, grooves, 20)
}

// apart tells whether a body keeps a gap to all of some prisms.
func apart(b body, list []geom.Prism, gap float64) bool {
	for _, p := range list {
		if g, _ := geom.SheetGap(b.bar, p); g < gap {
			return false
		}
	}
	return true
}

func requireClear(t *testing.T, seed uint64, b body, pieces []geom.Prism) {
	t.Helper()
	require.True(t, apart(b, pieces, b.gap), "seed %d", seed)
}

func requirePointByPoint(t *testing.T, seed uint64, g *rand.Rand, c *cutter, notch Notch) {
	t.Helper()
	const points = 4000
	in, deepest := 0, 0.0
	bounds := c.surface.Outline.Bounds()
	for range points {
		q := r3.Vector{
			X: bounds.X.Lo + g.Float64()*bounds.X.Length(), Z: bounds.Y.Lo + g.Float64()*bounds.Y.Length(),
			Y: c.surface.Across.Lo + g.Float64()*c.surface.Across.Length(),
		}
		below := depthIn(c.surface, q)
		if r := c.keepOut.Round; r != nil {
			// The drum itself, not what stands for it.
			fromAxis := math.Hypot(q.X-r.From.X, q.Z-r.From.Z)
			below = min(r.Diameter/2-fromAxis, q.Y-c.surface.Across.Lo, c.surface.Across.Hi-q.Y)
		}
		if below < 1e-6 {
			continue
		}
		owners, edge, cut := 0, false, false
		for i, p := range append(append([]geom.Prism{}, notch.Solids...), c.pieces...) {
			d := depthInPrism(p, q)
			edge = edge || math.Abs(d) < 1e-6
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
	box := bounds.X.Length() * bounds.Y.Length() * c.surface.Across.Length()
	// Four standard deviations of a binomial share, and what is between a drum and the
	// flat sides around it.
	round := 0.0
	if c.keepOut.Round != nil {
		round = 0.005
	}
	require.InDelta(t, notch.Volume()/box, share, round+4*math.Sqrt(max(share, 0.001)/points), "seed %d", seed)
}

// The depth below an outline against a fine grid of points.
func TestDepthInOutline(t *testing.T) {
	for seed := range uint64(40) {
		g := rand.New(rand.NewPCG(seed, 13))
		k := randomBent(g)
		surface, err := k.Surface()
		require.NoError(t, err)
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

// randomCut is a keep-out around the origin, of one of four shapes, and a box whose middle
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
