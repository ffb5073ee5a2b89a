package geom

import (
	"math"

	"github.com/golang/geo/r3"
)

// Face is a flat face of a bounded body: its corners, counter-clockwise seen from outside,
// and its outward unit normal. A list of faces is a body's surface for whoever draws, cuts or
// prints it.
type Face struct {
	Corners []r3.Vector
	Normal  r3.Vector
}

// Shape is what a solid has to tell besides its extents, so that the one place for a kind of
// solid is its own file. A new one needs no more than these; measures, pictures and blocks
// ask them.
type Shape interface {
	Solid
	// Surface returns the faces of the body, which close it; none of one without ends. A
	// circle becomes a polygon with so many corners on it. The round ends of a tube are
	// left out, for the tubes of a frame are cut off square.
	Surface(around int) []Face
	// Spine returns the ends of a line through the middle of the body, lengthwise: the axis
	// of a round one. Of one without ends it is the origin twice.
	Spine() (from, to r3.Vector)

	// support returns a point that is farthest along u, in the middle of all such points
	// where that is easy.
	support(u r3.Vector) r3.Vector
	// moved returns the body displaced by v.
	moved(v r3.Vector) Solid
	// turned returns the body at a position of a turn; see Motion.Solid.
	turned(m Motion, at float64) Solid
	// polyhedron returns the body within its faces; see PolyhedronOf.
	polyhedron(around int) Polyhedron
	// core returns the body without its rounding, and whether it then has flat faces only.
	core() (core, bool)
	// features returns the corners, edges and faces of the core, cut to what matters beside
	// other.
	features(other Solid) polytope
}

// Surface returns the faces of a solid, see Shape; none of a solid of another package.
func Surface(s Solid, around int) []Face {
	if shape, ok := s.(Shape); ok {
		return shape.Surface(around)
	}
	return nil
}

// Spine returns the ends of a line through the middle of a solid, see Shape; the origin
// twice of a solid of another package.
func Spine(s Solid) (from, to r3.Vector) {
	if shape, ok := s.(Shape); ok {
		return shape.Spine()
	}
	return from, to
}

// Corners returns points whose hull a bounded solid is, but for the round ends of tubes: the
// corners of its faces, those that faces share once for each.
//
// It is for hulls and bounds, where repeated points do no harm.
func Corners(s Solid, around int) []r3.Vector {
	var all []r3.Vector
	for _, f := range Surface(s, around) {
		all = append(all, f.Corners...)
	}
	return all
}

// Swept returns the faces of what a flat loop of corners, counter-clockwise seen against
// along, is swept through when it moves by along: the far end, the near one, the sides. Sides are
// in the order of the loop's, after the two ends.
func Swept(loop []r3.Vector, along r3.Vector) []Face {
	n, up := len(loop), along.Normalize()
	bottom, top := make([]r3.Vector, n), make([]r3.Vector, n)
	faces := []Face{{top, up}, {bottom, up.Mul(-1)}}
	// The near end runs the other way round, seen from outside.
	for i, a := range loop {
		b := loop[(i+1)%n]
		bottom[n-1-i], top[i] = a, a.Add(along)
		faces = append(faces, Face{[]r3.Vector{a, b, b.Add(along), a.Add(along)}, b.Sub(a).Cross(along).Normalize()})
	}
	return faces
}

// Ring returns corners on a circle about an axis, counter-clockwise seen against the axis. The
// first corner is where u points, which is the same for the same axis.
func Ring(centre, axis r3.Vector, radius float64, corners int) []r3.Vector {
	u := axis.Ortho()
	v := axis.Normalize().Cross(u)
	var loop []r3.Vector
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(corners))
		loop = append(loop, centre.Add(u.Mul(radius*cos)).Add(v.Mul(radius*sin)))
	}
	return loop
}
