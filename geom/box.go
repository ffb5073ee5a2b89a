package geom

import (
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"
)

// Box is an oriented box. Axes are three mutually perpendicular unit vectors;
// Half holds half the size along each of them, none negative. A box with a zero in
// Half is flat, and a valid solid.
//
// Whether the axes are left- or right-handed does not matter: a box is its own mirror image.
// Nothing checks that they are square to each other; who makes one has to see to that.
type Box struct {
	Centre r3.Vector
	Axes   [3]r3.Vector
	Half   r3.Vector
}

// BoxFromCorners returns the axis-parallel box between two opposite corners, in
// either order. Where both are equal along an axis it is flat there.
func BoxFromCorners(a, b r3.Vector) Box {
	return Box{
		Centre: a.Add(b).Mul(0.5),
		Axes:   [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}},
		Half:   b.Sub(a).Mul(0.5).Abs(),
	}
}

// Extent implements Solid. The half size along u is the sum of what each axis adds, never less than
// 0.
func (b Box) Extent(u r3.Vector) r1.Interval {
	c := u.Dot(b.Centre)
	h := b.Half.Dot(r3.Vector{X: u.Dot(b.Axes[0]), Y: u.Dot(b.Axes[1]), Z: u.Dot(b.Axes[2])}.Abs())
	return r1.Interval{Lo: c - h, Hi: c + h}
}

// Normals implements Solid. A flat box has them as well: a sheet may lie on either side of a plate.
func (b Box) Normals() []r3.Vector {
	a := b.Axes
	return []r3.Vector{a[0], a[0].Mul(-1), a[1], a[1].Mul(-1), a[2], a[2].Mul(-1)}
}

// Round implements Solid; it is false.
func (b Box) Round() bool { return false }

// squareDistance is Distance of two boxes whose axes are the same lines, and whether they are
// such: what most boxes of a pack are to each other, and many times quicker than separate.
// Apart, the nearest points differ by the gap along each axis that has one; of boxes that
// overlap, the axis that overlaps least is the shortest way out.
func squareDistance(a, b Solid) (float64, bool) {
	p, ok := a.(Box)
	q, alsoBox := b.(Box)
	if !ok || !alsoBox || !p.squareTo(q) {
		return 0, false
	}
	var gaps [3]float64
	for i, u := range p.Axes {
		gaps[i] = max(GapAlong(a, b, u), GapAlong(a, b, u.Mul(-1)))
	}
	most := slices.Max(gaps[:])
	if most <= 0 {
		return most, true
	}
	apart := r3.Vector{X: max(gaps[0], 0), Y: max(gaps[1], 0), Z: max(gaps[2], 0)}
	return max(apart.Norm(), most), true // rounding must not make it less than a gap
}

// squareTo tells whether every axis of a box is one of the other's, either way along it. To the
// bit: boxes of one tilt share the numbers of their axes.
func (b Box) squareTo(other Box) bool {
	for _, u := range b.Axes {
		if !slices.Contains(other.Axes[:], u) && !slices.Contains(other.Axes[:], u.Mul(-1)) {
			return false
		}
	}
	return true
}

// Surface implements Shape. A box without thickness has degenerate sides; see FacesOf.
func (b Box) Surface(int) []Face {
	x, y, z := b.Axes[0].Mul(b.Half.X), b.Axes[1].Mul(b.Half.Y), b.Axes[2].Mul(b.Half.Z)
	if x.Cross(y).Dot(z) < 0 {
		x = x.Mul(-1) // the same box, with right-handed axes: faces are to look outward
	}
	low := b.Centre.Sub(z)
	loop := []r3.Vector{low.Sub(x).Sub(y), low.Add(x).Sub(y), low.Add(x).Add(y), low.Sub(x).Add(y)}
	return Swept(loop, z.Mul(2))
}

// Spine implements Shape: along its first axis.
func (b Box) Spine() (from, to r3.Vector) {
	x := b.Axes[0].Mul(b.Half.X)
	return b.Centre.Sub(x), b.Centre.Add(x)
}

// support implements Shape: the middle of a face or an edge where u is square to it.
func (b Box) support(u r3.Vector) r3.Vector {
	p := b.Centre
	for i, h := range []float64{b.Half.X, b.Half.Y, b.Half.Z} {
		p = p.Add(b.Axes[i].Mul(h * sign(u.Dot(b.Axes[i]))))
	}
	return p
}

// moved implements Shape.
func (b Box) moved(v r3.Vector) Solid {
	b.Centre = b.Centre.Add(v)
	return b
}

// turned implements Shape: it stays a box, with axes that lie any way.
func (b Box) turned(m Motion, at float64) Solid {
	b.Centre = m.Point(b.Centre, at)
	for i, a := range b.Axes {
		b.Axes[i] = m.direction(a, at)
	}
	return b
}

// polyhedron implements Shape.
func (b Box) polyhedron(int) Polyhedron { return PolyhedronFromBox(b) }

// core implements Shape: a box has no rounding.
func (b Box) core() (core, bool) {
	return core{solid: b, normals: b.Normals(), directions: b.Axes[:]}, true
}

// features implements Shape.
func (b Box) features(Solid) polytope { return b.polytope() }
