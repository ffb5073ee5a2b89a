package geom

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/assert"
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
		assert.InDelta(t, s.distance, GapAlong(a, b, s.normal), slack, "no nearer")
		onA, onB, d := Nearest(a, b)
		assert.Equal(t, s.distance, d)
		if d > 0 {
			assert.InDelta(t, d, onA.Distance(onB), slack, "no farther")
		}
		assertOn(t, a, onA, 1e-6)
		assertOn(t, b, onB, 1e-6)
	})
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

// No direction separates bodies by more than their distance, and of those that
// overlap none shows less overlap. The search by extents alone is a second way to
// the same number.
func TestDistanceIsGreatestGap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anySolid(t), anySolid(t)
		assert.LessOrEqual(t, separateSmooth(a, b).distance, Distance(a, b)+1e-6)
		if d := Distance(a, b); d > 1e-3 {
			assert.InDelta(t, d, separateSmooth(a, b).distance, 1e-6)
		}
	})
}

func TestSheetGapNeverExceedsDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anySolid(t), anySolid(t)
		gap, normal := SheetGap(a, b)
		assert.LessOrEqual(t, gap, Distance(a, b))
		assert.InDelta(t, gap, GapAlong(a, b, normal), slack)
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
		var b Solid = anySolid(t)
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
