package geom

import (
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
