package block

import (
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// leastHollow is how thick in millimetres as printed a hollow is at least to be worth it.
const leastHollow = 2.0

// upright is the cosine of the angle to straight up below which a face counts as a wall: faces
// that look up more than that are left out of a shell.
const upright = 0.7

// hollowed is a convex piece of a part as a shell that is open upward as it lies, in convex
// pieces, so that nothing inside needs supports; the body itself where it is too thin, or where
// more of the same keep-out lies on top of the hollow.
func (b *builder) hollowed(part []held, of int, body geom.Polyhedron) []geom.Polyhedron {
	up := r3.Vector{Y: -1}
	if b.right {
		up.Y = 1
	}
	hole := body
	for _, n := range body.Normals() {
		if n.Dot(up) < upright {
			hole = hole.Clipped(geom.HalfSpace{Normal: n, Offset: body.Extent(n).Hi - b.Shell/b.scale})
		}
	}
	thin := func(n r3.Vector) bool { return hole.Extent(n).Length()*b.scale < leastHollow }
	if hole.IsSliver() || slices.ContainsFunc(hole.Normals(), thin) || covered(part, of, body, hole, up) {
		if name := part[of].name; !slices.Contains(b.cage.Solid, name) {
			b.cage.Solid = append(b.cage.Solid, name)
		}
		return []geom.Polyhedron{body}
	}
	return body.Without(hole.Planes())
}

// covered tells whether another piece of the same thing closes a hollow above.
func covered(part []held, of int, body, hole geom.Polyhedron, up r3.Vector) bool {
	const skin = 0.01 // mm: of the hollow, just below its mouth
	for _, n := range body.Normals() {
		if n.Dot(up) < upright {
			continue
		}
		mouth := hole.Clipped(geom.HalfSpace{Normal: n.Mul(-1), Offset: skin - body.Extent(n).Hi})
		for i, h := range part {
			if i != of && h.name == part[of].name && !mouth.IsSliver() && geom.Distance(h.solid, mouth) <= skin {
				return true
			}
		}
	}
	return false
}
