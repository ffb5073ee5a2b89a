package geom

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// Bounds returns the low and the high corner of the axis-parallel block around bodies. They
// may be infinite; where there are no points low is above high. It asks each body for its extent
// along the three axes, so it is the least block for bodies of any kind.
func Bounds(bodies ...Solid) (low, high r3.Vector) {
	x, y, z := r1.EmptyInterval(), r1.EmptyInterval(), r1.EmptyInterval()
	for _, b := range bodies {
		x = x.Union(b.Extent(r3.Vector{X: 1}))
		y = y.Union(b.Extent(r3.Vector{Y: 1}))
		z = z.Union(b.Extent(r3.Vector{Z: 1}))
	}
	return r3.Vector{X: x.Lo, Y: y.Lo, Z: z.Lo}, r3.Vector{X: x.Hi, Y: y.Hi, Z: z.Hi}
}

// PolygonAround returns a regular polygon around a circle: each side touches it, the last
// one at its rightmost point. Around, not through: what keeps clear of the polygon keeps clear of
// the circle. Corners run counter-clockwise.
func PolygonAround(middle r2.Point, radius float64, sides int) Polygon {
	reach := Circumradius(radius, sides)
	p := Polygon{Corners: make([]r2.Point, sides)}
	for i := range p.Corners {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / float64(sides))
		p.Corners[i] = r2.Point{X: middle.X + reach*cos, Y: middle.Y + reach*sin}
	}
	return p
}

// Circumradius returns how far from the middle the corners of a regular polygon are whose
// sides are a radius from it. The sides have to be three at least; with two the corners are
// infinitely far away.
func Circumradius(radius float64, sides int) float64 {
	return radius / math.Cos(math.Pi/float64(sides))
}

// PolyhedronAround returns a cylinder with a number of flat sides around it, each of which
// touches it along a line; it is curved. The flat ends stay where they are. That it is curved keeps
// the shortest distance as its measure, so cutting it does not change what is asked of it.
func PolyhedronAround(c Cylinder, sides int) Polyhedron {
	axes := axesAlong(c.Axis())
	middle := c.From.Add(c.To).Mul(0.5)
	half := c.To.Sub(c.From).Norm() / 2
	profile := PolygonAround(r2.Point{}, c.Radius, sides)
	// A prism along x, turned: its front view has y and z.
	p := Prism{Profile: profile, View: FrontView, Depth: r1.Interval{Lo: -half, Hi: half}}.polytope()
	// The three axes are a rotation from the prism's own; faces keep their loops.
	turn := func(v r3.Vector) r3.Vector { return axes[0].Mul(v.X).Add(axes[1].Mul(v.Y)).Add(axes[2].Mul(v.Z)) }
	for i, q := range p.corners {
		p.corners[i] = middle.Add(turn(q))
	}
	for i := range p.faces {
		p.faces[i].normal = unit(turn(p.faces[i].normal))
	}
	return Polyhedron{shape: p, Curved: true}
}
