package geom

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// slack is what two ways to the same number may differ by: rounding of coordinates
// of some 500 mm, through square roots.
const slack = 1e-9

// A direction along which the gap equals the distance proves that the bodies are no
// nearer; two points at that distance, one of each body, prove that they are no
// farther apart. Together they are a certificate, whatever the algorithm.
func TestDistanceIsCertified(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anySolid(t), anySolid(t)
		s := separate(a, b)
		assert.InDelta(t, 1, s.normal.Norm(), 1e-12, "normal")
		assert.InDelta(t, s.distance, GapAlong(a, b, s.normal), gapSlack(a, b), "no nearer")
		onA, onB, d := Nearest(a, b)
		assert.Equal(t, s.distance, d)
		assert.InDelta(t, math.Abs(d), onA.Distance(onB), pointSlack(a, b, d), "no farther")
		assertOn(t, a, onA, 1e-5)
		assertOn(t, b, onB, 1e-5)
	})
}

// gapSlack is how far the gap along the normal may miss a distance. The direction
// from a rim that is nearly flush is not as sure as one from corners and faces.
func gapSlack(a, b Solid) float64 {
	if isCylinder(a) || isCylinder(b) {
		return 1e-7
	}
	return slack
}

// pointSlack is how far a pair of points may miss a distance: those of two cylinders
// come from a search, and those of overlapping bodies are sought with the bodies 1e-7
// mm apart.
func pointSlack(a, b Solid, distance float64) float64 {
	switch {
	case isCylinder(a) && isCylinder(b) && distance <= 0:
		return 0.1
	case isCylinder(a) && isCylinder(b):
		return 1e-2
	case distance <= 0:
		return 1e-6
	}
	return slack
}

func isCylinder(s Solid) bool {
	_, ok := s.(Cylinder)
	return ok
}

// The same for thousands of pairs of each sort in general position, a half of them brought
// near to touching. What overlaps is certified from one side: no displacement along
// the normal by less parts them. The other side is TestDistanceIsGreatestGap's.
func TestRandomPairsAreCertified(t *testing.T) {
	r := randomSolids{rand.New(rand.NewPCG(5, 6))}
	for _, c := range []struct {
		name string
		n    int
		a, b func() Solid
	}{
		{"boxes", 10000, r.box, r.box},
		{"box and tube", 10000, r.box, r.tube},
		{"box and prism", 10000, r.box, r.prism},
		{"box and cylinder", 10000, r.box, r.cylinder},
		{"prism and tube", 10000, r.prism, r.tube},
		{"prism and cylinder", 1000, r.prism, r.cylinder},
		{"tubes", 10000, r.tube, r.tube},
		{"tube and cylinder", 10000, r.tube, r.cylinder},
	} {
		t.Run(c.name, func(t *testing.T) {
			for i, pair := range r.pairs(c.n, c.a, c.b) {
				a, b := pair[0], pair[1]
				s := separate(a, b)
				require.InDelta(t, s.distance, GapAlong(a, b, s.normal), gapSlack(a, b), "pair %d: %v", i, pair)
				if s.distance > 0 {
					require.InDelta(t, s.distance, s.onA.Distance(s.onB), slack, "pair %d: %v", i, pair)
				}
			}
		})
	}
}

// assertOn tells whether a point is in the solid: in no direction of many is it
// beyond the solid's extent.
func assertOn(t assert.TestingT, s Solid, p r3.Vector, tolerance float64) {
	for _, u := range candidates(s, Tube{From: p, To: p}) {
		e := s.Extent(u)
		if d := u.Dot(p); d < e.Lo-tolerance || d > e.Hi+tolerance {
			assert.Fail(t, "point is not of the solid", "%v of %v: %v beyond %v along %v", p, s, d, e, u)
			return
		}
	}
}

// No direction separates bodies by more than their distance. The search by extents
// alone is a second way to the same number, where it finds a gap at all: it may
// overlook that of bodies without thickness.
func TestDistanceIsGreatestGap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anySolid(t), anySolid(t)
		d, searched := Distance(a, b), separateSmooth(a, b).distance
		assert.LessOrEqual(t, searched, d+1e-6)
		if searched > 0 {
			assert.InDelta(t, d, searched, 1e-6)
		}
	})
}

func TestSheetGapNeverExceedsDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anySolid(t), anySolid(t)
		gap, normal := SheetGap(a, b)
		assert.LessOrEqual(t, gap, Distance(a, b))
		assert.InDelta(t, gap, GapAlong(a, b, normal), gapSlack(a, b))
	})
}

func TestDistanceIsSymmetric(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anySolid(t), anySolid(t)
		assert.InDelta(t, Distance(a, b), Distance(b, a), slack)
		gap, _ := SheetGap(a, b)
		back, _ := SheetGap(b, a)
		if !a.Round() && !b.Round() {
			assert.Equal(t, gap, back)
		}
	})
}

func TestUnboundedPrismIsLimitOfLongOnes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := anyPrism(t, false)
		b := anySolid(t)
		if rapid.Bool().Draw(t, "both unbounded") {
			b = anyPrism(t, false)
		}
		long := func(s Solid) Solid {
			p, ok := s.(Prism)
			if !ok {
				return s
			}
			p.Depth.Lo, p.Depth.Hi = math.Max(p.Depth.Lo, -3000), math.Min(p.Depth.Hi, 3000)
			return p
		}
		assert.InDelta(t, Distance(long(a), long(b)), Distance(a, b), 1e-8)
	})
}

// rigid is a displacement after a turn about y and a mirroring of y: the changes that
// keep every solid of this package what it is but for a prism's turn.
type rigid struct {
	turn   [3]r3.Vector
	mirror bool
	move   r3.Vector
}

func (m rigid) vector(v r3.Vector) r3.Vector {
	if m.mirror {
		v.Y = -v.Y
	}
	return m.turn[0].Mul(v.X).Add(m.turn[1].Mul(v.Y)).Add(m.turn[2].Mul(v.Z))
}

func (m rigid) point(p r3.Vector) r3.Vector { return m.vector(p).Add(m.move) }

func (m rigid) solid(s Solid) Solid {
	switch s := s.(type) {
	case Box:
		s.Centre = m.point(s.Centre)
		for i, axis := range s.Axes {
			s.Axes[i] = m.vector(axis)
		}
		return s
	case Tube:
		return Tube{From: m.point(s.From), To: m.point(s.To), Radius: s.Radius}
	case Cylinder:
		return Cylinder{From: m.point(s.From), To: m.point(s.To), Radius: s.Radius}
	case Polyhedron:
		s.shape.corners, s.shape.faces = slices.Clone(s.shape.corners), slices.Clone(s.shape.faces)
		for i, c := range s.shape.corners {
			s.shape.corners[i] = m.point(c)
		}
		for i, f := range s.shape.faces {
			s.shape.faces[i].normal, s.shape.faces[i].loop = m.vector(f.normal), slices.Clone(f.loop)
		}
		s.shape = s.shape.outward()
		return s
	case Prism:
		corners := make([]r2.Point, len(s.Profile.Corners))
		var ends [2]float64
		for i, c := range s.Profile.Corners {
			corners[i], ends[0] = s.View.Flatten(m.point(s.View.Point(c, s.Depth.Lo)))
			_, ends[1] = s.View.Flatten(m.point(s.View.Point(c, s.Depth.Hi)))
		}
		p := Polygon{Corners: corners}
		if p.Area() < 0 {
			slices.Reverse(p.Corners)
		}
		return Prism{Profile: p, View: s.View, Depth: r1.IntervalFromPoint(ends[0]).AddPoint(ends[1])}
	}
	panic("unknown solid")
}

func TestMeasuresStayWhenAllMoves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anySolid(t), anySolid(t)
		m := rigid{
			turn:   rotation(t, "turn"),
			mirror: rapid.Bool().Draw(t, "mirror"),
			move:   vector(t, 500, "move"),
		}
		if hasPrism(a, b) {
			m.turn = [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}
		}
		gap, _ := SheetGap(a, b)
		after, _ := SheetGap(m.solid(a), m.solid(b))
		tolerance := gapSlack(a, b)
		assert.InDelta(t, gap, after, tolerance)
		assert.InDelta(t, Distance(a, b), Distance(m.solid(a), m.solid(b)), tolerance)
	})
}

func hasPrism(solids ...Solid) bool {
	for _, s := range solids {
		if _, ok := s.(Prism); ok {
			return true
		}
	}
	return false
}

// Points sampled on round bodies give distances that are never below the shortest,
// and come near to it: with steps of at most h on the surface of a body of radius r
// the nearest sample is within about h²/2r sideways of the nearest point.
func TestDistanceAgainstSampling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		box := anyBox(t)
		tube := anyTube(t)
		want := math.Inf(1)
		const n = 20000
		for k := range n + 1 {
			p := tube.From.Add(tube.To.Sub(tube.From).Mul(float64(k) / n))
			want = math.Min(want, distanceToBox(p, box)-tube.Radius)
		}
		got := Distance(box, tube)
		step := tube.From.Distance(tube.To) / n
		if want > -tube.Radius+step {
			assert.LessOrEqual(t, got, want+slack)
			assert.GreaterOrEqual(t, got, want-step-slack)
		} else {
			assert.LessOrEqual(t, got, -tube.Radius+step+slack)
		}
	})
}

// distanceToBox is the closed form for a point: what it sticks out along each axis.
func distanceToBox(p r3.Vector, b Box) float64 {
	v := p.Sub(b.Centre)
	out := r3.Vector{
		X: math.Max(0, math.Abs(v.Dot(b.Axes[0]))-b.Half.X),
		Y: math.Max(0, math.Abs(v.Dot(b.Axes[1]))-b.Half.Y),
		Z: math.Max(0, math.Abs(v.Dot(b.Axes[2]))-b.Half.Z),
	}
	return out.Norm()
}

// A cylinder is sampled on the rims and the sides; the point's own distance to a box
// is a closed form.
func TestCylinderDistanceAgainstSampling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		box := anyBox(t)
		c := anyCylinder(t)
		got := Distance(box, c)
		if got <= 0 {
			return
		}
		axes := axesAlong(c.Axis())
		want := math.Inf(1)
		const around, along, out = 360, 20, 10
		for i := range around {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / around)
			radial := axes[1].Mul(cos).Add(axes[2].Mul(sin))
			for j := range along + 1 {
				p := c.From.Add(c.To.Sub(c.From).Mul(float64(j) / along))
				want = math.Min(want, distanceToBox(p.Add(radial.Mul(c.Radius)), box))
			}
			for j := range out {
				r := radial.Mul(c.Radius * float64(j) / out)
				want = math.Min(want, math.Min(distanceToBox(c.From.Add(r), box), distanceToBox(c.To.Add(r), box)))
			}
		}
		assert.LessOrEqual(t, got, want+slack)
		reach := c.Radius*(2*math.Pi/around+1.0/out) + c.From.Distance(c.To)/along
		assert.GreaterOrEqual(t, got, want-reach)
	})
}
