package geom

import (
	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"
)

// Cylinder is a round bar with flat ends: a motor, a shock. From and To are the
// centres of its ends and differ.
//
// Its ends are discs, its edges sharp. For ends rounded with the same radius see Tube.
type Cylinder struct {
	From, To r3.Vector
	Radius   float64
}

// Axis returns the unit vector from From to To. The zero vector where the ends are the same point,
// which is no cylinder.
func (c Cylinder) Axis() r3.Vector { return direction(c.From, c.To) }

// Extent implements Solid. The segment's own extent, and on either side the radius times the sine
// of the angle to the axis.
func (c Cylinder) Extent(u r3.Vector) r1.Interval {
	// The sine from the cross product: 1 − cos² would lose half of the digits of a
	// direction near to the axis.
	rim := float64(c.Radius * u.Cross(c.Axis()).Norm())
	return r1.IntervalFromPoint(u.Dot(c.From)).AddPoint(u.Dot(c.To)).Expanded(rim)
}

// Normals implements Solid: those of the two ends.
func (c Cylinder) Normals() []r3.Vector {
	axis := c.Axis()
	return []r3.Vector{axis.Mul(-1), axis}
}

// Round implements Solid; it is true.
func (c Cylinder) Round() bool { return true }

// Surface implements Shape. Corners lie on the circle, so the faces are inside of the cylinder.
func (c Cylinder) Surface(around int) []Face {
	along := c.To.Sub(c.From)
	return Swept(Ring(c.From, along, c.Radius, around), along)
}

// Spine implements Shape.
func (c Cylinder) Spine() (from, to r3.Vector) { return c.From, c.To }

// support implements Shape: the middle of an end's face or of a line along the side where u is
// along or across the axis.
func (c Cylinder) support(u r3.Vector) r3.Vector {
	m, axis := c.From.Add(c.To).Mul(0.5), c.Axis()
	rim := unit(axis.Cross(u).Cross(axis))
	return m.Add(c.To.Sub(m).Mul(sign(u.Dot(axis)))).Add(rim.Mul(c.Radius))
}

// moved implements Shape.
func (c Cylinder) moved(v r3.Vector) Solid {
	c.From, c.To = c.From.Add(v), c.To.Add(v)
	return c
}

// turned implements Shape.
func (c Cylinder) turned(m Motion, at float64) Solid {
	c.From, c.To = m.Point(c.From, at), m.Point(c.To, at)
	return c
}

// polyhedron implements Shape, inside of the cylinder as Surface is.
func (c Cylinder) polyhedron(around int) Polyhedron { return enclosed(c, around) }

// Bar implements RoundBar.
func (c Cylinder) Bar() Bar { return Bar{From: c.From, To: c.To, Radius: c.Radius, FlatEnds: true} }

// core tells that it has none: see separateCylinder.
func (c Cylinder) core() (core, bool) { return core{}, false }

// features implements Shape; what has no core has none.
func (c Cylinder) features(Solid) polytope { return polytope{} }
