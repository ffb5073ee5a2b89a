package geom

import (
	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"
)

// Box is an oriented box. Axes are three mutually perpendicular unit vectors;
// Half holds half the size along each of them, none negative. A box with a zero in
// Half is flat, and a valid solid.
type Box struct {
	Centre r3.Vector
	Axes   [3]r3.Vector
	Half   r3.Vector
}

// BoxFromCorners returns the axis-parallel box between two opposite corners, in
// either order.
func BoxFromCorners(a, b r3.Vector) Box {
	return Box{
		Centre: a.Add(b).Mul(0.5),
		Axes:   [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}},
		Half:   b.Sub(a).Mul(0.5).Abs(),
	}
}

// Extent implements Solid.
func (b Box) Extent(u r3.Vector) r1.Interval {
	c := u.Dot(b.Centre)
	h := b.Half.Dot(r3.Vector{X: u.Dot(b.Axes[0]), Y: u.Dot(b.Axes[1]), Z: u.Dot(b.Axes[2])}.Abs())
	return r1.Interval{Lo: c - h, Hi: c + h}
}

// Normals implements Solid.
func (b Box) Normals() []r3.Vector {
	a := b.Axes
	return []r3.Vector{a[0], a[0].Mul(-1), a[1], a[1].Mul(-1), a[2], a[2].Mul(-1)}
}

// Round implements Solid; it is false.
func (b Box) Round() bool { return false }
