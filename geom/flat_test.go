package geom

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"
)

func TestIsAxis(t *testing.T) {
	for v, want := range map[r3.Vector]bool{
		{X: 1}: true, {Y: 1}: true, {Z: 1}: true, {X: -1}: true, {Y: -2}: true, {Z: -1}: true,
		{X: 1, Y: 1}: false, {Y: 1, Z: 1}: false, {X: 1, Z: 1}: false, {X: 1, Y: 1, Z: 1}: false,
		{X: 0.6, Y: 0.8}: false, {Y: 0.6, Z: 0.8}: false, {X: 0.6, Z: 0.8}: false,
	} {
		require.Equal(t, want, isAxis(v), "%v", v)
	}
}

// Directions are parallel when the sine between them is below 1e-12; whatever is not
// parallel has a direction perpendicular to both, to the last bit where one is an axis.
func TestPerpendicular(t *testing.T) {
	for sine, want := range map[float64]bool{0: false, 0.9e-12: false, 1e-12: true, 1.1e-12: true, 1e-11: true, 1e-9: true, 0.5: true} {
		d := r3.Vector{X: 1}
		e := r3.Vector{X: math.Sqrt(1 - sine*sine), Y: sine}
		for _, pair := range [][2]r3.Vector{{d, e}, {e, d}, {d, e.Mul(-1)}} {
			u, ok := perpendicular(pair[0], pair[1])
			require.Equal(t, want, ok, "%v", sine)
			if ok {
				require.Equal(t, 1.0, math.Abs(u.Z), "%v", sine)
			}
		}
	}
	// One direction an axis, the other one nearly along it and slanted both ways.
	for _, axis := range []r3.Vector{{X: 1}, {Y: 1}, {Z: 1}} {
		e := unit(axis.Add(r3.Vector{X: 3e-9, Y: 5e-9, Z: 7e-9}))
		for _, pair := range [][2]r3.Vector{{axis, e}, {e, axis}} {
			u, ok := perpendicular(pair[0], pair[1])
			require.True(t, ok)
			require.Equal(t, 0.0, u.Dot(axis), "as unbounded prisms need")
			require.InDelta(t, 0, u.Dot(e), 1e-16)
			require.InDelta(t, 1, u.Norm(), 1e-15)
		}
	}
}

// Of directions that part two bodies by as much the first one stays.
func TestFirstOfEqualDirectionsStays(t *testing.T) {
	a, b := box(0, 0, 0, 1, 1, 1), box(3, 3, 0, 4, 4, 1)
	s := separation{distance: math.Inf(-1)}
	for _, u := range []r3.Vector{{Z: 1}, {X: 1}, {Y: 1}} {
		s.consider(a, b, u)
	}
	require.Equal(t, separation{distance: 2, normal: r3.Vector{X: 1}}, s)
}

// A pairing keeps the nearest pair, and the normals of all pairs as near but for rounding.
func TestPairingKeepsTheNearest(t *testing.T) {
	sheet, x, y, z := r3.Vector{X: 0.6, Z: 0.8}, r3.Vector{X: 1}, r3.Vector{Y: 1}, r3.Vector{Z: 1}
	four, five := 4.0, 5.0
	p := newPairing(polytope{}, polytope{}, separation{distance: 1, normal: sheet})
	for _, step := range []struct {
		distance float64
		normal   r3.Vector
		best     float64
		normals  []r3.Vector
	}{
		{math.Inf(1), x, math.Inf(1), []r3.Vector{sheet}},
		{7, x, 7, []r3.Vector{sheet, x}},
		{5, x, 5, []r3.Vector{sheet, x}},
		{5 + 2*Tolerance, y, 5, []r3.Vector{sheet, x}},
		{five + Tolerance, y, 5, []r3.Vector{sheet, x, y}}, // just within it
		{5, z, 5, []r3.Vector{sheet, x, y, z}},
		{5 - Tolerance/2, z, 5 - Tolerance/2, []r3.Vector{sheet, x, y, z}},
		{4, y, 4, []r3.Vector{sheet, y}},
		{four - Tolerance, x, four - Tolerance, []r3.Vector{sheet, y, x}}, // just within it
	} {
		p.consider(separation{distance: step.distance, normal: step.normal})
		require.Equal(t, step.best, p.best.distance)
		require.Equal(t, step.normals, p.normals, "%v", step.distance)
	}
	p.consider(separation{distance: four - Tolerance, normal: z, onA: x})
	require.Equal(t, x, p.best.normal, "of equals the first one stays")
}

// Features are passed over only when the sheet and their depths behind it say that they
// are farther apart than the best pair.
func TestHopelessFeatures(t *testing.T) {
	corners := polytope{corners: []r3.Vector{{X: -2}, {X: 2, Y: 5}, {X: 7}}}
	p := newPairing(corners, corners, separation{distance: 3, normal: r3.Vector{X: 1}})
	require.Equal(t, []float64{9, 5, 0}, p.depthA, "behind the sheet")
	require.Equal(t, []float64{0, 4, 9}, p.depthB, "in front of it")
	p.best.distance = 6
	limit := p.best.distance + Tolerance - p.sheet
	for depth, want := range map[float64]bool{0: false, 2.9: false, 3: false, limit: false, 3 + 2*Tolerance: true, 4: true} {
		require.Equal(t, want, p.hopeless(depth, 0))
		require.Equal(t, want, p.hopeless(0, depth))
		require.Equal(t, want, p.hopeless(depth/2, depth/2))
	}
}

// The foot of a point on the top of a box, 10 long, 20 wide and 5 high.
func TestDrop(t *testing.T) {
	body := box(0, 0, 0, 10, 20, 5).polytope()
	top := body.faces[4]
	for _, c := range []struct {
		point    r3.Vector
		distance float64
		ok       bool
	}{
		{r3.Vector{X: 3, Y: 4, Z: 12}, 7, true},
		{r3.Vector{X: 0, Y: 20, Z: 12}, 7, true},
		{r3.Vector{X: 10, Y: 7, Z: 5}, 0, true},
		{r3.Vector{X: 3, Y: 4, Z: 5 - Tolerance/2}, 0, true},
		{r3.Vector{X: 3, Y: 4, Z: 5 - 2*Tolerance}, -2 * Tolerance, false},
		{r3.Vector{X: 3, Y: 4, Z: 2}, -3, false},
		{r3.Vector{X: -0.5, Y: 4, Z: 12}, 7, false},
		{r3.Vector{X: 10.5, Y: 4, Z: 12}, 7, false},
		{r3.Vector{X: 3, Y: -0.5, Z: 12}, 7, false},
		{r3.Vector{X: 3, Y: 20.5, Z: 12}, 7, false},
	} {
		foot, distance, ok := body.drop(c.point, top)
		require.Equal(t, c.ok, ok, "%v", c.point)
		require.InDelta(t, c.distance, distance, 1e-15)
		if ok {
			require.InDelta(t, 0, foot.Sub(r3.Vector{X: c.point.X, Y: c.point.Y, Z: 5}).Norm(), Tolerance)
		}
	}
	flush := box(0, 0, -5, 10, 20, 0).polytope()
	_, distance, ok := flush.drop(r3.Vector{X: 3, Y: 4, Z: -Tolerance}, flush.faces[4])
	require.True(t, ok, "behind the face by rounding")
	require.Equal(t, 0.0, distance)

	top.thin = true
	_, _, ok = body.drop(r3.Vector{X: 3, Y: 4, Z: 12}, top)
	require.False(t, ok, "a thin face has no inside")

	s := body.above(r3.Vector{X: 10, Y: 20, Z: 5})
	require.Equal(t, r3.Vector{X: 1}, s.normal, "of three faces that a corner lies on the first one")
	require.Equal(t, 0.0, s.distance)
	require.Equal(t, math.Inf(1), body.above(r3.Vector{X: 5, Y: 5, Z: 2}).distance, "inside it is above none")
	require.Equal(t, math.Inf(1), body.above(r3.Vector{X: 11, Y: 21, Z: 2}).distance)
}

// Segments with closed forms: 3-4-5 between ends, sides and insides, parallel, crossing,
// touching, and such as are points.
func TestSegments(t *testing.T) {
	v := func(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }
	for name, c := range map[string]struct {
		a0, a1, b0, b1 r3.Vector
		onA, onB       r3.Vector
	}{
		"insides, across each other":      {v(-5, 0, 0), v(5, 0, 0), v(1, -5, 4), v(1, 5, 4), v(1, 0, 0), v(1, 0, 4)},
		"insides, slanted":                {v(-5, -5, 0), v(5, 5, 0), v(-5, 5, 4), v(5, -5, 4), v(0, 0, 0), v(0, 0, 4)},
		"an inside and an end":            {v(-5, 0, 0), v(5, 0, 0), v(1, 3, 4), v(1, 9, 4), v(1, 0, 0), v(1, 3, 4)},
		"an end and an inside":            {v(-5, 0, 0), v(0, 0, 0), v(3, -5, 4), v(3, 5, 4), v(0, 0, 0), v(3, 0, 4)},
		"two ends":                        {v(-5, 0, 0), v(0, 0, 0), v(3, 4, 12), v(3, 9, 12), v(0, 0, 0), v(3, 4, 12)},
		"the other two ends":              {v(0, 0, 0), v(-5, 0, 0), v(3, 9, 12), v(3, 4, 12), v(0, 0, 0), v(3, 4, 12)},
		"in line":                         {v(-5, 0, 0), v(0, 0, 0), v(3, 0, 0), v(9, 0, 0), v(0, 0, 0), v(3, 0, 0)},
		"in line, the other way":          {v(0, 0, 0), v(-5, 0, 0), v(9, 0, 0), v(3, 0, 0), v(0, 0, 0), v(3, 0, 0)},
		"a point and an inside":           {v(1, 3, 4), v(1, 3, 4), v(-5, 0, 0), v(5, 0, 0), v(1, 3, 4), v(1, 0, 0)},
		"an inside and a point":           {v(-5, 0, 0), v(5, 0, 0), v(1, 3, 4), v(1, 3, 4), v(1, 0, 0), v(1, 3, 4)},
		"two points":                      {v(0, 0, 0), v(0, 0, 0), v(3, 4, 12), v(3, 4, 12), v(0, 0, 0), v(3, 4, 12)},
		"the lines cross beyond an end":   {v(2, 0, 0), v(9, 0, 0), v(0, -5, 4), v(0, 5, 4), v(2, 0, 0), v(0, 0, 4)},
		"the lines cross beyond two ends": {v(3, 0, 0), v(9, 0, 0), v(0, 4, 12), v(0, 9, 12), v(3, 0, 0), v(0, 4, 12)},
	} {
		t.Run(name, func(t *testing.T) {
			requireSegments := func(a0, a1, b0, b1, onA, onB r3.Vector) {
				s := separateSegments(a0, a1, b0, b1)
				require.Equal(t, []r3.Vector{onA, onB}, []r3.Vector{s.onA, s.onB})
				require.Equal(t, onA.Distance(onB), s.distance)
				require.InDelta(t, 0, s.normal.Sub(unit(onB.Sub(onA))).Norm(), 1e-15)
			}
			requireSegments(c.a0, c.a1, c.b0, c.b1, c.onA, c.onB)
			requireSegments(c.a1, c.a0, c.b1, c.b0, c.onA, c.onB)
			requireSegments(c.b0, c.b1, c.a0, c.a1, c.onB, c.onA)
		})
	}
	// Parallel ones side by side: any pair across from each other.
	for _, b := range [][2]r3.Vector{{v(2, 3, 4), v(9, 3, 4)}, {v(9, 3, 4), v(2, 3, 4)}, {v(-9, 3, 4), v(9, 3, 4)}, {v(-2, 3, 4), v(2, 3, 4)}} {
		s := separateSegments(v(-5, 0, 0), v(5, 0, 0), b[0], b[1])
		require.Equal(t, 5.0, s.distance)
		require.Equal(t, s.onA.X, s.onB.X)
		require.InDelta(t, 0, s.normal.Sub(v(0, 0.6, 0.8)).Norm(), 1e-15)
	}
	// Crossing ones touch, and have no normal to tell by but the one across both.
	s := separateSegments(v(-5, 0, 0), v(5, 0, 0), v(1, -5, 0), v(1, 5, 0))
	require.Equal(t, 0.0, s.distance)
	require.Equal(t, v(1, 0, 0), s.onA)
}

// A segment of length 1 has places between its ends, one without length has none.
func TestAlong(t *testing.T) {
	require.Equal(t, 0.25, along(r3.Vector{X: 3}, r3.Vector{X: 1}, r3.Vector{X: 3.25, Y: 9}))
	require.Equal(t, 1.0, along(r3.Vector{X: 3}, r3.Vector{X: 1}, r3.Vector{X: 7}))
	require.Equal(t, 0.0, along(r3.Vector{X: 3}, r3.Vector{}, r3.Vector{X: 7}))
}

// The normal between edges that nearly touch is square to those whose insides it starts
// and ends in, over their whole length of 8 m, though coordinates of metres tell points a
// millionth of a millimetre apart to a few digits only.
func TestNormalOfSegmentsThatNearlyTouch(t *testing.T) {
	axes := about(33)
	at := func(x, y, z float64) r3.Vector {
		return axes[0].Mul(x).Add(axes[1].Mul(y)).Add(axes[2].Mul(z)).Add(r3.Vector{X: 5001.3, Y: -3002.7, Z: 201.9})
	}
	a0, a1 := at(-4000, 0, 0), at(4000, 0, 0)
	for name, b := range map[string][2]r3.Vector{
		"nearly parallel":             {at(-4000, -0.005, 1e-6), at(4000, 0.005, 1e-6)},
		"across":                      {at(3, -4000, 1e-6), at(3, 4000, 1e-6)},
		"from the inside to an end":   {at(3, 6e-7, 8e-7), at(3, 3000, 4000)},
		"from the inside, other ends": {at(3, 3000, 4000), at(3, 6e-7, 8e-7)},
	} {
		t.Run(name, func(t *testing.T) {
			s := separateSegments(a0, a1, b[0], b[1])
			require.InDelta(t, 1e-6, s.distance, 1e-10)
			require.InDelta(t, 0, s.normal.Dot(a1.Sub(a0)), 1e-8)
			back := separateSegments(b[0], b[1], a0, a1)
			require.InDelta(t, 1e-6, back.distance, 1e-10)
			require.InDelta(t, 0, back.normal.Dot(a1.Sub(a0)), 1e-8)
			if s.onB != b[0] && s.onB != b[1] {
				require.InDelta(t, 0, s.normal.Dot(b[1].Sub(b[0])), 1e-8)
				require.InDelta(t, 0, back.normal.Dot(b[1].Sub(b[0])), 1e-8)
			}
		})
	}
}

// Segments of 8 m that part by 160 millionths of a micron cross all the same: their middles
// are 10 millionths of a micron apart, their ends 80.
func TestSegmentsThatAreParallelButForATrace(t *testing.T) {
	s := separateSegments(r3.Vector{X: -4000}, r3.Vector{X: 4000}, r3.Vector{X: -4000, Y: -8e-8, Z: 1e-8}, r3.Vector{X: 4000, Y: 8e-8, Z: 1e-8})
	require.InDelta(t, 1e-8, s.distance, 1e-9)
}
