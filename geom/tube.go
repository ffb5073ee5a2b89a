package geom

import (
	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"
)

// Tube is all points within Radius of the segment From–To: a round tube with round
// ends. From may equal To.
//
// Rails are made of them: bends are where two meet, and the round ends fill the joint.
type Tube struct {
	From, To r3.Vector
	Radius   float64
}

// Extent implements Solid. All points within the radius of a segment reach exactly the radius
// farther than it, in every direction.
func (t Tube) Extent(u r3.Vector) r1.Interval {
	return r1.IntervalFromPoint(u.Dot(t.From)).AddPoint(u.Dot(t.To)).Expanded(t.Radius)
}

// Normals implements Solid; a tube has no flat face.
func (t Tube) Normals() []r3.Vector { return nil }

// Round implements Solid; it is true.
func (t Tube) Round() bool { return true }

// Surface implements Shape: that of the bar without its round ends.
func (t Tube) Surface(around int) []Face { return Cylinder(t).Surface(around) }

// Spine implements Shape.
func (t Tube) Spine() (from, to r3.Vector) { return t.From, t.To }

// support implements Shape: from the middle of the segment where u is square to it.
func (t Tube) support(u r3.Vector) r3.Vector {
	m := t.From.Add(t.To).Mul(0.5)
	return m.Add(t.To.Sub(m).Mul(sign(u.Dot(t.To.Sub(t.From))))).Add(u.Mul(t.Radius))
}

// moved implements Shape.
func (t Tube) moved(v r3.Vector) Solid {
	t.From, t.To = t.From.Add(v), t.To.Add(v)
	return t
}

// turned implements Shape.
func (t Tube) turned(m Motion, at float64) Solid {
	t.From, t.To = m.Point(t.From, at), m.Point(t.To, at)
	return t
}

// polyhedron implements Shape, without the round ends and inside of the bar, as Surface is.
func (t Tube) polyhedron(around int) Polyhedron { return enclosed(t, around) }

// Bar implements RoundBar.
func (t Tube) Bar() Bar { return Bar{From: t.From, To: t.To, Radius: t.Radius} }

// core implements Shape: its segment, whose normals are those of a box without thickness around it.
func (t Tube) core() (core, bool) {
	axes := axesAlong(direction(t.From, t.To))
	normals := Box{Axes: axes}.Normals()
	return core{solid: Tube{From: t.From, To: t.To}, normals: normals, directions: axes[:], radius: t.Radius}, true
}

// features are those of its segment.
func (t Tube) features(Solid) polytope {
	return polytope{corners: []r3.Vector{t.From, t.To}, edges: []edge{{to: 1}}}
}
