package geom

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"
)

// Tube is all points within Radius of the segment From–To: a round tube with round
// ends. From may equal To.
type Tube struct {
	From, To r3.Vector
	Radius   float64
}

// Extent implements Solid.
func (t Tube) Extent(u r3.Vector) r1.Interval {
	return r1.IntervalFromPoint(u.Dot(t.From)).AddPoint(u.Dot(t.To)).Expanded(t.Radius)
}

// Normals implements Solid; a tube has no flat face.
func (t Tube) Normals() []r3.Vector { return nil }

// Round implements Solid; it is true.
func (t Tube) Round() bool { return true }

// Cylinder is a round bar with flat ends: a motor, a shock. From and To are the
// centres of its ends and differ.
type Cylinder struct {
	From, To r3.Vector
	Radius   float64
}

// Axis returns the unit vector from From to To.
func (c Cylinder) Axis() r3.Vector { return direction(c.From, c.To) }

// Extent implements Solid.
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

// direction returns the unit vector from a to b. Unlike r3's Normalize it divides,
// so that axis-parallel input gives components of exactly 0 and ±1.
func direction(a, b r3.Vector) r3.Vector { return unit(b.Sub(a)) }

// unit returns v scaled to length 1, by division; the zero vector stays as it is.
func unit(v r3.Vector) r3.Vector {
	largest := math.Max(math.Abs(v.X), math.Max(math.Abs(v.Y), math.Abs(v.Z)))
	if largest == 0 {
		return v
	}
	if largest < 1e-100 {
		// Its square would vanish.
		v = r3.Vector{X: v.X / largest, Y: v.Y / largest, Z: v.Z / largest}
	}
	n := math.Sqrt(v.Norm2())
	return r3.Vector{X: v.X / n, Y: v.Y / n, Z: v.Z / n}
}
