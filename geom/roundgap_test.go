package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"
)

// drum stands on the origin, 10 high and of radius 5.
var drum = cylinderFrame(Cylinder{To: r3.Vector{Z: 10}, Radius: 5})

func TestNearestPointOfADrum(t *testing.T) {
	for point, want := range map[r3.Vector]r3.Vector{
		{Z: 15}:              {Z: 10},
		{X: 1, Y: 2, Z: 15}:  {X: 1, Y: 2, Z: 10},
		{X: 1, Y: 2, Z: -4}:  {X: 1, Y: 2},
		{X: 8, Z: 4}:         {X: 5, Z: 4},
		{X: 6, Y: 8, Z: 4}:   {X: 3, Y: 4, Z: 4},
		{X: 6, Y: -8, Z: 12}: {X: 3, Y: -4, Z: 10},
		{X: -8, Z: -3}:       {X: -5},
		{X: 1, Y: 2, Z: 3}:   {X: 1, Y: 2, Z: 3},
	} {
		require.Equal(t, want, drum.nearestTo(point), "%v", point)
	}
}

// What touches a drum counts as overlapping it.
func TestOverlapOfADrum(t *testing.T) {
	for _, c := range []struct {
		name string
		box  Box
		want bool
	}{
		{"beside it", box(5.5, -1, 0, 9, 1, 10), false},
		{"touches its side", box(5, -1, 0, 9, 1, 10), true},
		{"through its side", box(4, -1, 3, 9, 1, 6), true},
		{"at the corner of the square around it", box(4, 4, 0, 9, 9, 10), false},
		{"its corner in the drum, 3-4-5", box(2.9, 3.9, 0, 9, 9, 10), true},
		{"over it", box(-1, -1, 10.5, 1, 1, 12), false},
		{"stands on it", box(-1, -1, 10, 1, 1, 12), true},
		{"hangs under it", box(-1, -1, -2, 1, 1, 0), true},
		{"below it", box(-1, -1, -2, 1, 1, -0.5), false},
		{"around it", box(-9, -9, -9, 9, 9, 19), true},
		{"in it", box(-1, -1, 4, 1, 1, 5), true},
		{"a slab through it", box(-90, -90, 4, 90, 90, 5), true},
		{"a bar along it, longer", box(-1, -1, -50, 1, 1, 50), true},
		{"a bar along it, beside it", box(6, -1, -50, 7, 1, 50), false},
		{"over its rim", box(3, 3, 10.5, 9, 9, 12), false},
	} {
		require.Equal(t, c.want, drum.overlaps(c.box.polytope()), c.name)
	}
	// A slanted wire: it passes over the rim where it leaves the space between the ends.
	wire := func(from, to r3.Vector) polytope {
		return polytope{corners: []r3.Vector{from, to}, edges: []edge{{to: 1}}}
	}
	require.True(t, drum.overlaps(wire(r3.Vector{X: -4, Z: 20}, r3.Vector{X: -4, Z: -20})))
	require.True(t, drum.overlaps(wire(r3.Vector{X: 4.5, Z: 9.5}, r3.Vector{X: 14, Z: 19})))
	require.False(t, drum.overlaps(wire(r3.Vector{X: 3, Z: 12.5}, r3.Vector{X: 7, Z: 8.5})))
	require.True(t, drum.overlaps(wire(r3.Vector{X: 3, Z: 11.5}, r3.Vector{X: 7, Z: 7.5})))
	require.False(t, drum.overlaps(wire(r3.Vector{X: 3, Z: 20}, r3.Vector{X: 13, Z: 10})))
	require.False(t, drum.overlaps(wire(r3.Vector{X: 3, Z: -20}, r3.Vector{X: 13, Z: -10})))
}

// A box moved until it touches a drum is not apart from it, on whichever side of 0 rounding
// puts the gap.
func TestTouchingADrumIsNotApart(t *testing.T) {
	r := randomSolids{rand.New(rand.NewPCG(7, 8))}
	above := 0
	for range 300 {
		b, c := r.box(), r.cylinder().(Cylinder)
		s := separate(b, c)
		b = moved(b, s.normal.Mul(s.distance))
		a, _ := coreOf(b)
		f, p := cylinderFrame(c), a.features(c)
		if !f.overlaps(p) {
			continue
		}
		if f.deepest(a, p).distance > 0 {
			above++
		}
		require.LessOrEqual(t, Distance(b, c), 0.0)
	}
	require.Positive(t, above, "no gap was above 0 by rounding")
}

func TestDistanceToAHull(t *testing.T) {
	square := points(0, 0, 4, 0, 4, 4, 0, 4)
	for _, c := range []struct {
		q    r2.Point
		hull []r2.Point
		want float64
	}{
		{r2.Point{X: 2, Y: 2}, square, 0},
		{r2.Point{X: 3, Y: 1}, square, 0},
		{r2.Point{X: 4, Y: 1}, square, 0},
		{r2.Point{X: 2, Y: 0.125}, square, 0},
		{r2.Point{X: 2, Y: 1}, points(0, 0, 4, 0, 4, 4), 0},
		{r2.Point{X: 7, Y: 1}, square, 3},
		{r2.Point{X: -2, Y: 1}, square, 2},
		{r2.Point{X: 1, Y: -2}, square, 2},
		{r2.Point{X: 1, Y: 9}, square, 5},
		{r2.Point{X: 7, Y: 8}, square, 5},
		{r2.Point{X: 2, Y: 3}, points(0, 0, 4, 0), 3},
		{r2.Point{X: 7, Y: 4}, points(0, 0, 4, 0), 5},
		{r2.Point{X: 2, Y: 0}, points(0, 0, 4, 0), 0},
		{r2.Point{X: 7, Y: 8}, points(0, 0, 4, 4), 5},
		{r2.Point{X: 7, Y: 7}, points(0, 0, 4, 4), 3 * math.Sqrt2},
		{r2.Point{X: -3, Y: -3}, points(0, 0, 4, 4), 3 * math.Sqrt2},
		{r2.Point{X: 3, Y: 4}, points(0, 0), 5},
		{r2.Point{X: 3, Y: 4}, nil, math.Inf(1)},
	} {
		require.Equal(t, c.want, distanceToHull(c.q, c.hull), "%v of %v", c.q, c.hull)
	}
}

// The nearest point of an edge to the drum: inside it, at either end, and where all of it
// is as near.
func TestNearestPointOfAnEdgeToADrum(t *testing.T) {
	v := func(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }
	for _, c := range []struct{ from, to, onEdge, onDrum r3.Vector }{
		{v(8, -7, 4), v(8, 9, 4), v(8, 0, 4), v(5, 0, 4)},
		{v(-9, 0, 14), v(-8, 0, 14), v(-8, 0, 14), v(-5, 0, 10)},
		{v(9, 12, 4), v(12, 16, 4), v(9, 12, 4), v(3, 4, 4)},
		{v(6, 8, -20), v(6, 8, -12), v(6, 8, -12), v(3, 4, 0)},
	} {
		for _, e := range [][2]r3.Vector{{c.from, c.to}, {c.to, c.from}} {
			s := drum.nearestOnEdge(e[0], e[1])
			require.InDelta(t, 0, s.onA.Sub(c.onEdge).Norm(), 1e-12)
			require.InDelta(t, 0, s.onB.Sub(c.onDrum).Norm(), 1e-12)
			require.InDelta(t, c.onEdge.Distance(c.onDrum), s.distance, 1e-14)
		}
	}
	for _, e := range [][2]r3.Vector{{v(8, -1, 4), v(8, 7999, 4)}, {v(8, 7999, 4), v(8, -1, 4)}} {
		s := drum.nearestOnEdge(e[0], e[1])
		require.InDelta(t, 0, s.onA.Sub(v(8, 0, 4)).Norm(), 1e-9, "an edge of 8 m")
	}
	s := drum.nearestOnEdge(v(8, 0, -50), v(8, 0, 50))
	require.Equal(t, 3.0, s.distance)
	require.InDelta(t, s.onA.Z, s.onB.Z, 1e-13)
	s = drum.nearestOnEdge(v(9, 12, 4), v(9, 12, 4))
	require.InDelta(t, 10, s.distance, 1e-13, "an edge without length")
}

// A fan runs from one direction to another the short way round.
func TestFan(t *testing.T) {
	for _, degrees := range []float64{1, 45, 90, 135, 179} {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		m, n := r3.Vector{X: 1}, r3.Vector{X: cos, Z: sin}
		f := fanBetween(m, n)
		require.InDelta(t, degrees*math.Pi/180, f.angle, 1e-15)
		require.Equal(t, m, f.at(0))
		require.InDelta(t, 0, f.at(f.angle).Sub(n).Norm(), 1e-15)
		half := degrees * math.Pi / 360
		require.InDelta(t, 0, f.at(f.angle/2).Sub(r3.Vector{X: math.Cos(half), Z: math.Sin(half)}).Norm(), 1e-15)
	}
}

func TestStretchesOfAFan(t *testing.T) {
	for degrees, want := range map[float64]int{0: 2, 1: 2, 4.9: 2, 5.1: 3, 92: 20, 360 - 1: 73} {
		n, width := fan{angle: degrees * math.Pi / 180}.stretches()
		require.Equal(t, want, n, "%v°", degrees)
		require.InDelta(t, degrees*math.Pi/180, float64(n)*width, 1e-14)
		require.Less(t, width, 5*math.Pi/180)
	}
}

// The top of functions with one peak: inside, at either end, sharp and lopsided. That of a
// smooth one can be told no nearer than the root of float64's rounding.
func TestClimb(t *testing.T) {
	for _, peak := range []float64{-1, -0.9, -0.3, 0, 0.123, 0.5, 0.9, 1} {
		require.InDelta(t, peak, climb(func(x float64) float64 { return -math.Abs(x - peak) }, -1, 1), 1e-14)
		require.InDelta(t, peak, climb(func(x float64) float64 { return math.Min(9*(x-peak), peak-x) }, -1, 1), 1e-14)
		require.InDelta(t, peak, climb(func(x float64) float64 { return -(x - peak) * (x - peak) }, -1, 1), 1e-14)
		require.InDelta(t, peak, climb(func(x float64) float64 { return 1 - (x-peak)*(x-peak) }, -1, 1), 2e-8)
	}
	// Each step costs one value, and makes the stretch shorter by the golden ratio.
	asked, least, most := 0, math.Inf(1), math.Inf(-1)
	climb(func(x float64) float64 {
		asked++
		if asked <= 2 {
			least, most = min(least, x), max(most, x)
		}
		return x
	}, 0, 1)
	require.InDelta(t, 2/(1+math.Sqrt(5)), most, 1e-15)
	require.InDelta(t, 1, least+most, 1e-15)
}

// No direction square to an edge, between the normals of its faces, parts a body from a
// drum by less than the depth: each of 720 directions is tried. The search samples every
// 5°, so it may overlook a dip that is narrower, by at most 0.4 % of the radius.
func TestDepthOfADrumAgainstSampling(t *testing.T) {
	needle := func(r randomSolids) Solid {
		from := r.vector(60)
		return Prism{
			Profile: Polygon{points(from.X, from.Z, from.X+200, from.Z+3, from.X+200, from.Z+4, from.X+195, from.Z+20, from.X+180, from.Z+21)},
			Depth:   r1.Interval{Lo: -90, Hi: 30},
		}
	}
	for name, body := range map[string]func(randomSolids) Solid{
		"box": randomSolids.box, "prism": randomSolids.prism, "tube": randomSolids.tube, "needle": needle,
	} {
		t.Run(name, func(t *testing.T) {
			r := randomSolids{rand.New(rand.NewPCG(9, 10))}
			for overlapping := 0; overlapping < 50; {
				c := r.cylinder().(Cylinder)
				b := body(r)
				b = moved(b, center(c).Sub(center(b)).Add(r.vector(40)))
				a, _ := coreOf(b)
				f, p := cylinderFrame(c), a.features(c)
				if !f.overlaps(p) {
					continue
				}
				overlapping++
				depth := f.deepest(a, p).distance
				best := math.Inf(-1)
				for _, e := range p.edges {
					best = max(best, sampledAlong(a, p, e, c))
				}
				require.LessOrEqual(t, best, depth+slack) // these have no such dip
			}
		})
	}
}

// sampledAlong is the greatest gap along 720 directions square to an edge, between the
// normals of its faces, or all around where it has none.
func sampledAlong(a core, p polytope, e edge, c Cylinder) float64 {
	d := unit(p.corners[e.to].Sub(p.corners[e.from]))
	first, last := d.Ortho(), 2*math.Pi
	second := d.Cross(first)
	if len(p.faces) > 0 {
		m, n := p.faces[e.left].normal, p.faces[e.right].normal
		first, last = m, m.Angle(n).Radians()
		second = unit(n.Sub(m.Mul(n.Dot(m))))
	}
	best := math.Inf(-1)
	for k := range 721 {
		sin, cos := math.Sincos(last * float64(k) / 720)
		best = max(best, GapAlong(a.solid, c, unit(first.Mul(cos).Add(second.Mul(sin)))))
	}
	return best
}

// A drum of radius 50 and length 100 whose axis leans as 3-4-5 along the ridge of a blunt
// roof: its lowest point lies 0.8·50 + 0.6·50 = 70 below its middle. Straight up it is 5
// deep, by symmetry the least between the two sides of the roof, each some degrees off.
func TestDepthOverABluntRidge(t *testing.T) {
	axis, middle := r3.Vector{Y: 0.6, Z: 0.8}, r3.Vector{Z: 65}
	leaning := Cylinder{From: middle.Sub(axis.Mul(50)), To: middle.Add(axis.Mul(50)), Radius: 50}
	for _, slope := range []float64{1, 2, 3, 4} {
		fall := 500 * math.Tan(slope*math.Pi/180)
		roof := Prism{Profile: polygon(t, -500, -300, 500, -300, 500, -fall, 0, 0, -500, -fall), Depth: r1.Interval{Lo: -500, Hi: 500}}
		require.InDelta(t, -5, Distance(roof, leaning), 1e-9)
		_, normal := SheetGap(roof, leaning)
		require.InDelta(t, 1, normal.Z, 1e-9)
		a, _ := coreOf(roof)
		p := roof.polytope()
		for _, e := range p.edges {
			if p.corners[e.from].Z == 0 && p.corners[e.to].Z == 0 {
				alone := cylinderFrame(leaning).deepestAlong(a, p, e, separation{distance: math.Inf(-1)})
				require.InDelta(t, -5, alone.distance, 1e-9, "the ridge finds it by itself")
			}
		}
	}
}
