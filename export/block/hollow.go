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

// hollowed is a keep-out as a shell that is open upward as it lies, in convex pieces, so that
// nothing inside needs supports; the body itself where it is too thin.
func (b *builder) hollowed(name string, body geom.Polyhedron) []geom.Polyhedron {
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
	if hole.IsSliver() || slices.ContainsFunc(hole.Normals(), thin) {
		if !slices.Contains(b.cage.Solid, name) {
			b.cage.Solid = append(b.cage.Solid, name)
		}
		return []geom.Polyhedron{body}
	}
	return body.Without(hole.Planes())
}
