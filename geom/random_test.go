package geom

import (
	"math"
	"math/rand/v2"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"pgregory.net/rapid"
)

// Generators of solids for the property tests. Sizes and places are those of a
// vehicle, in millimetres; a part of them lies on whole numbers and along the axes,
// where ties and touching are common.

func number(t *rapid.T, lo, hi float64, name string) float64 {
	if rapid.Bool().Draw(t, name+" whole") {
		return float64(rapid.IntRange(int(math.Ceil(lo)), int(hi)).Draw(t, name))
	}
	return rapid.Float64Range(lo, hi).Draw(t, name)
}

func vector(t *rapid.T, size float64, name string) r3.Vector {
	return r3.Vector{
		X: number(t, -size, size, name+".x"),
		Y: number(t, -size, size, name+".y"),
		Z: number(t, -size, size, name+".z"),
	}
}

// rotation draws three perpendicular unit vectors: the vehicle's own, tilted about y,
// or any.
func rotation(t *rapid.T, name string) [3]r3.Vector {
	switch rapid.IntRange(0, 2).Draw(t, name+" kind") {
	case 0:
		return [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}
	case 1:
		sin, cos := math.Sincos(number(t, -45, 45, name+" tilt") * math.Pi / 180)
		return [3]r3.Vector{{X: cos, Z: -sin}, {Y: 1}, {X: sin, Z: cos}}
	}
	first := unit(vector(t, 1, name))
	return axesAlong(first)
}

func anyBox(t *rapid.T) Box {
	return Box{
		Centre: vector(t, 300, "centre"),
		Axes:   rotation(t, "axes"),
		Half: r3.Vector{
			X: number(t, 0, 150, "half.x"), Y: number(t, 0, 150, "half.y"), Z: number(t, 0, 150, "half.z"),
		},
	}
}

func anyPrism(t *rapid.T, bounded bool) Prism {
	p := Prism{Profile: convexPolygon(t), View: View(rapid.IntRange(0, 1).Draw(t, "view"))}
	lo := number(t, -200, 200, "depth from")
	p.Depth = r1.Interval{Lo: lo, Hi: lo + number(t, 0, 200, "depth")}
	if !bounded {
		if rapid.Bool().Draw(t, "open low") {
			p.Depth.Lo = math.Inf(-1)
		}
		if rapid.Bool().Draw(t, "open high") {
			p.Depth.Hi = math.Inf(1)
		}
	}
	return p
}

func convexPolygon(t *rapid.T) Polygon {
	n := rapid.IntRange(3, 12).Draw(t, "corners")
	middle := r2.Point{X: number(t, -200, 200, "middle.x"), Y: number(t, -200, 200, "middle.y")}
	var corners []r2.Point
	for range n {
		corners = append(corners, middle.Add(r2.Point{X: number(t, -150, 150, "corner.x"), Y: number(t, -150, 150, "corner.y")}))
	}
	hull := hullOf(corners)
	if len(hull) < 3 {
		hull = []r2.Point{middle, middle.Add(r2.Point{X: 40}), middle.Add(r2.Point{Y: 30})}
	}
	return Polygon{Corners: hull}
}

func anyTube(t *rapid.T) Tube {
	from := vector(t, 300, "from")
	to := from
	if rapid.IntRange(0, 5).Draw(t, "ball") > 0 {
		to = vector(t, 300, "to")
	}
	return Tube{From: from, To: to, Radius: number(t, 0, 60, "radius")}
}

func anyCylinder(t *rapid.T) Cylinder {
	from := vector(t, 300, "from")
	along := rotation(t, "axis")[rapid.IntRange(0, 2).Draw(t, "which")]
	return Cylinder{From: from, To: from.Add(along.Mul(number(t, 1, 200, "length"))), Radius: number(t, 1, 120, "radius")}
}

// anyPolyhedron is a bar with flat sides, cut by a plane or two through its inside.
func anyPolyhedron(t *rapid.T) Polyhedron {
	c := anyCylinder(t)
	p := PolyhedronAround(c, rapid.IntRange(3, 12).Draw(t, "sides"))
	for range rapid.IntRange(0, 2).Draw(t, "cuts") {
		n := rotation(t, "cut")[0]
		p = p.Clipped(HalfSpace{n, n.Dot(center(c)) + number(t, 0.1, 100, "from the middle")})
	}
	return p
}

func anySolid(t *rapid.T) Solid {
	switch rapid.IntRange(0, 4).Draw(t, "solid") {
	case 0:
		return anyBox(t)
	case 1:
		return anyPrism(t, true)
	case 2:
		return anyTube(t)
	case 3:
		return anyPolyhedron(t)
	}
	return anyCylinder(t)
}

// star returns a polygon with n corners, every other one drawn in towards the middle
// by an amount that goes round with k.
func star(n, k int) Polygon {
	corners := make([]r2.Point, n)
	for i := range corners {
		radius := 300.0
		if i%2 == 1 {
			radius = 120 + float64(i*k*37%100)
		}
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		corners[i] = r2.Point{X: radius * cos, Y: radius * sin}
	}
	return Polygon{Corners: corners}
}

// simplePolygon draws a polygon on the lattice that need not be convex: a star around
// a point, or a triangle to which corners are added between two others as long as no
// sides cross.
func simplePolygon(t *rapid.T) Polygon {
	n := rapid.IntRange(4, 24).Draw(t, "corners")
	if rapid.Bool().Draw(t, "star") {
		corners := make([]r2.Point, n)
		for i := range corners {
			radius := number(t, 20, 300, "radius")
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			corners[i] = onLattice(radius*cos, radius*sin)
		}
		return Polygon{Corners: corners}
	}
	p := Polygon{Corners: []r2.Point{{X: 0, Y: 0}, {X: 100, Y: 0}, {X: 50, Y: 80}}}
	for range n {
		at := rapid.IntRange(0, len(p.Corners)-1).Draw(t, "after")
		c := onLattice(number(t, -200, 200, "x"), number(t, -200, 200, "y"))
		if q, err := PolygonFromCorners(slices.Insert(slices.Clone(p.Corners), at+1, c)); err == nil {
			p = q
		}
	}
	return p
}

func onLattice(x, y float64) r2.Point {
	return r2.Point{X: math.Round(x*1024) / 1024, Y: math.Round(y*1024) / 1024}
}

// randomSolids draws solids the size of a vehicle's parts.
type randomSolids struct{ *rand.Rand }

func (r randomSolids) between(lo, hi float64) float64 { return lo + r.Float64()*(hi-lo) }

func (r randomSolids) vector(size float64) r3.Vector {
	return r3.Vector{X: r.between(-size, size), Y: r.between(-size, size), Z: r.between(-size, size)}
}

func (r randomSolids) axes() [3]r3.Vector {
	first := unit(r3.Vector{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})
	second := unit(first.Cross(r3.Vector{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}))
	return [3]r3.Vector{first, second, unit(first.Cross(second))}
}

func (r randomSolids) box() Solid {
	half := r3.Vector{X: r.between(10, 150), Y: r.between(10, 150), Z: r.between(10, 150)}
	return Box{Centre: r.vector(300), Axes: r.axes(), Half: half}
}

func (r randomSolids) tube() Solid {
	return Tube{From: r.vector(300), To: r.vector(300), Radius: r.between(5, 40)}
}

func (r randomSolids) cylinder() Solid {
	from := r.vector(300)
	return Cylinder{From: from, To: from.Add(r.axes()[0].Mul(r.between(10, 200))), Radius: r.between(10, 100)}
}

// polyhedron is a bar with flat sides or a box, cut by up to four planes.
func (r randomSolids) polyhedron() Solid {
	c := r.cylinder().(Cylinder)
	p := PolyhedronAround(c, 3+r.IntN(20))
	if r.IntN(2) == 0 {
		p = PolyhedronFromBox(r.box().(Box))
	}
	for range r.IntN(5) {
		n := r.axes()[0]
		e := p.Extent(n)
		p = p.Clipped(HalfSpace{n, e.Lo + r.between(0.3, 1)*e.Length()})
	}
	return p
}

// pairs draws n pairs. Of every four, two are brought near to touching, apart or
// overlapping by a micrometre to a millimetre.
func (r randomSolids) pairs(n int, a, b func() Solid) [][2]Solid {
	pairs := make([][2]Solid, n)
	for i := range pairs {
		p, q := a(), b()
		if i%4 >= 2 {
			d := math.Pow(10, r.between(-3, 0)) * float64(i%4*2-5)
			s := separate(p, q)
			q = moved(q, s.normal.Mul(d-s.distance))
		}
		pairs[i] = [2]Solid{p, q}
	}
	return pairs
}

func (r randomSolids) prism() Solid {
	corners := make([]r2.Point, 3+r.IntN(6))
	for i := range corners {
		corners[i] = r2.Point{X: r.between(-150, 150), Y: r.between(-150, 150)}
	}
	p := Prism{Profile: Polygon{Corners: hullOf(corners)}, View: View(r.IntN(2)), Depth: endless()}
	if r.IntN(2) == 0 {
		p.Depth.Lo = r.between(-200, 100)
	}
	if r.IntN(2) == 0 {
		p.Depth.Hi = p.finiteLow() + r.between(1, 200)
	}
	return p
}

func (p Prism) finiteLow() float64 { return finite(p.Depth.Lo, 0) }
