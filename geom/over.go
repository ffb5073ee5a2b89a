package geom

import (
	"math"

	"github.com/golang/geo/r3"
)

// manyCorners are bodies whose extent is found by looking at many corners. Boxes and bars are not
// among them, for their extent has a closed form.
type manyCorners interface {
	Solid
	// lowest returns the least projection on u; or, once a corner is below a floor, that of the
	// corner.
	lowest(u r3.Vector, floor float64) float64
}

// hasCorners tells whether a solid is one of them.
func hasCorners(s Solid) bool {
	_, ok := s.(manyCorners)
	return ok
}

// gapOver returns GapAlong where that is least or more, and else something that is less: the first
// corner that lies too near tells that. Of the many directions that may separate two bodies only
// the widest counts, and most are not even near it.
//
// What is less is still no more than the true gap by Tolerance, so nothing wrong is concluded from
// it.
func gapOver(a, b Solid, u r3.Vector, least float64) float64 {
	if c, ok := b.(manyCorners); ok {
		return gapToCorners(a, c, u, least)
	}
	if c, ok := a.(manyCorners); ok { // the same seen from the other side
		return gapToCorners(b, c, u.Mul(-1), least)
	}
	return GapAlong(a, b, u)
}

// gapToCorners leaves corners that rounding may have put too near for gapBetween to decide.
func gapToCorners(a Solid, b manyCorners, u r3.Vector, least float64) float64 {
	on := a.Extent(u)
	if on.IsEmpty() {
		return gapBetween(on, on)
	}
	return b.lowest(u, on.Hi+least-Tolerance) - on.Hi
}

// lowest implements manyCorners.
func (p Polyhedron) lowest(u r3.Vector, floor float64) float64 {
	low := math.Inf(1)
	for _, c := range p.shape.corners {
		if low = min(low, u.Dot(c)); low < floor {
			break
		}
	}
	return low
}

// lowest implements manyCorners; +Inf for a prism without points.
func (p Prism) lowest(u r3.Vector, floor float64) float64 {
	low := math.Inf(1)
	if p.Depth.IsEmpty() {
		return low
	}
	flat, along := p.View.Flatten(u)
	aside := p.aside(along)
	for _, c := range p.Profile.Corners {
		if low = min(low, dot(flat, c)+aside); low < floor {
			break
		}
	}
	return low
}
