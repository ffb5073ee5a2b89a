package geom

import (
	"math"

	"github.com/golang/geo/r3"
)

// Distance returns the signed shortest distance between a and b: the greatest
// GapAlong over all directions. Of bodies that overlap it is minus the shortest
// displacement that brings them to touch. It is −Inf where no displacement does, as
// for two half-spaces that do not face each other, and +Inf where one of the bodies
// has no points. Never less than SheetGap.
//
// Between flat bodies and tubes it is exact to rounding, about 1e-12 of the
// coordinates; so it is between a cylinder and a flat body or tube that are apart.
// The depth to which a cylinder overlaps another body comes from a search over
// directions, see separateCylinder; so does the distance of two cylinders. Both can
// only err towards less clearance.
func Distance(a, b Solid) float64 {
	if d, ok := squareDistance(a, b); ok {
		return d
	}
	return separate(a, b).distance
}

// Nearest returns a point of a and a point of b at the shortest distance from each
// other, and Distance. Of bodies that overlap they are the two that meet when the
// bodies are pulled apart by the least displacement. Those of two cylinders may be
// 0.01 mm farther apart than the nearest, of deeply overlapping ones 0.1 mm. Where the
// distance is infinite, or a solid is of another package, the points are the origin.
//
// For bodies that overlap it moves the second one out by the shortest way, measures there, and puts
// the point back.
func Nearest(a, b Solid) (onA, onB r3.Vector, distance float64) {
	s := separate(a, b)
	if math.IsInf(s.distance, 0) {
		return r3.Vector{}, r3.Vector{}, s.distance
	}
	if s.distance > 0 || isHalfSpace(a) || isHalfSpace(b) {
		return s.onA, s.onB, s.distance
	}
	// Bring them to touch, a hair apart, and see where.
	const hair = 1e-7
	move := s.normal.Mul(hair - s.distance)
	touching := separate(a, moved(b, move))
	return touching.onA, touching.onB.Sub(move), s.distance
}

// isHalfSpace tells whether a solid is one, which is measured along its own normal alone.
func isHalfSpace(s Solid) bool {
	_, ok := s.(HalfSpace)
	return ok
}

// separate returns the separation of any two solids. Its points are set when they
// are apart, and when one of them is a half-space.
//
// The cases are in the order of what decides: what has no end, what has no points, flat bodies and
// tubes, a cylinder against those, and last what only a search over directions can tell.
func separate(a, b Solid) separation {
	if h, ok := b.(HalfSpace); ok {
		return separateHalfSpace(h, a).flipped()
	}
	if h, ok := a.(HalfSpace); ok {
		return separateHalfSpace(h, b)
	}
	if empty(a) || empty(b) {
		return separation{distance: math.Inf(1)}
	}
	coreA, flatA := coreOf(a)
	coreB, flatB := coreOf(b)
	if flatA && flatB {
		return separateCores(coreA, coreB).rounded(coreA.radius, coreB.radius)
	}
	if c, ok := a.(Cylinder); ok && flatB {
		return separateCylinder(coreB, c).rounded(coreB.radius, 0).flipped()
	}
	if c, ok := b.(Cylinder); ok && flatA {
		return separateCylinder(coreA, c).rounded(coreA.radius, 0)
	}
	return separateSmooth(a, b)
}

// empty tells whether a body has no points. Along any direction would do.
func empty(s Solid) bool { return s.Extent(SideView.Axis()).IsEmpty() }

// rounded gives both bodies their radius back. The normal is the same with and without it: growing
// by a radius moves both surfaces along it.
func (s separation) rounded(radiusA, radiusB float64) separation {
	s.onA = s.onA.Add(s.normal.Mul(radiusA))
	s.onB = s.onB.Sub(s.normal.Mul(radiusB))
	s.distance -= radiusA + radiusB
	return s
}

// separateHalfSpace returns the separation from h to b, along h's normal. It is −Inf where b has no
// end that way.
func separateHalfSpace(h HalfSpace, b Solid) separation {
	s := separation{distance: GapAlong(h, b, h.Normal), normal: h.Normal}
	if !math.IsInf(s.distance, 1) {
		s.onB = support(b, h.Normal.Mul(-1))
		s.onA = s.onB.Sub(h.Normal.Mul(s.distance))
	}
	return s
}

// support returns a point of s that is farthest along u, see Shape.
func support(s Solid, u r3.Vector) r3.Vector {
	if shape, ok := s.(Shape); ok {
		return shape.support(u)
	}
	return r3.Vector{}
}

// moved returns s displaced by v; a solid of another package stays.
func moved(s Solid, v r3.Vector) Solid {
	if shape, ok := s.(Shape); ok {
		return shape.moved(v)
	}
	return s
}

// sign returns −1, 0 or 1 for use as a factor. 0 for 0, unlike math.Copysign: in the middle, not at
// an end.
func sign(x float64) float64 {
	if x == 0 {
		return 0
	}
	return math.Copysign(1, x)
}
