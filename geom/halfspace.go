package geom

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"
)

// HalfSpace is the solid of all points p with Normal·p ≤ Offset. Normal is a unit
// vector and points out of the solid, into the free space.
//
// The flat sides of an opening are such: what is solid is all that is beyond the side.
type HalfSpace struct {
	Normal r3.Vector
	Offset float64
}

// Extent implements Solid. Along any direction but ±Normal it is the whole line.
// Directions count as equal only when they are so to the last bit, so pass Normal
// itself.
func (h HalfSpace) Extent(u r3.Vector) r1.Interval {
	switch u {
	case h.Normal:
		return r1.Interval{Lo: math.Inf(-1), Hi: h.Offset}
	case h.Normal.Mul(-1):
		return r1.Interval{Lo: -h.Offset, Hi: math.Inf(1)}
	}
	return r1.Interval{Lo: math.Inf(-1), Hi: math.Inf(1)}
}

// Normals implements Solid.
func (h HalfSpace) Normals() []r3.Vector { return []r3.Vector{h.Normal} }

// Other returns the half-space on the other side of the same plane.
func (h HalfSpace) Other() HalfSpace { return HalfSpace{h.Normal.Mul(-1), -h.Offset} }

// Round implements Solid; it is false.
func (h HalfSpace) Round() bool { return false }

// Surface implements Shape: a half-space has no end.
func (h HalfSpace) Surface(int) []Face { return nil }

// Spine implements Shape.
func (h HalfSpace) Spine() (from, to r3.Vector) { return from, to }

// support implements Shape with a point of the plane: the body goes on for ever along all other
// directions.
func (h HalfSpace) support(r3.Vector) r3.Vector { return h.Normal.Mul(h.Offset) }

// moved implements Shape.
func (h HalfSpace) moved(v r3.Vector) Solid {
	h.Offset += h.Normal.Dot(v)
	return h
}

// turned implements Shape, by a point of its plane.
func (h HalfSpace) turned(m Motion, at float64) Solid {
	on := m.Point(h.Normal.Mul(h.Offset), at)
	h.Normal = m.direction(h.Normal, at)
	h.Offset = h.Normal.Dot(on)
	return h
}

// polyhedron has no points: a half-space has no end.
func (h HalfSpace) polyhedron(int) Polyhedron { return Polyhedron{} }

// core tells that it has none: what is near to a half-space is found along its normal.
func (h HalfSpace) core() (core, bool) { return core{}, false }

// features implements Shape; it has neither corners nor edges.
func (h HalfSpace) features(Solid) polytope { return polytope{} }
