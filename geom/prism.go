package geom

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// View is a plane that a profile is drawn in, seen along the axis that it leaves out. There are
// two, since all that is drawn is drawn from the side or from the front.
type View int

const (
	// SideView is the plane of x and z; r2's X is x and its Y is z.
	SideView View = iota
	// FrontView is the plane of y and z; r2's X is y and its Y is z.
	FrontView
)

// Point returns the point of space at p in the view, at depth d along the axis the
// view leaves out (y in the side view, x in the front view). The same axes as Flatten; handedness
// differs between the two views.
func (v View) Point(p r2.Point, d float64) r3.Vector {
	if v == FrontView {
		return r3.Vector{X: d, Y: p.X, Z: p.Y}
	}
	return r3.Vector{X: p.X, Y: d, Z: p.Y}
}

// Flatten returns where p lies in the view, and its depth. It undoes Point.
func (v View) Flatten(p r3.Vector) (r2.Point, float64) {
	if v == FrontView {
		return r2.Point{X: p.Y, Y: p.Z}, p.X
	}
	return r2.Point{X: p.X, Y: p.Z}, p.Y
}

// Axis returns the unit vector along the axis that the view leaves out.
func (v View) Axis() r3.Vector { return v.Point(r2.Point{}, 1) }

// Prism is a convex profile, drawn in a view and swept along the axis that the view
// leaves out. Depth may be unbounded at either end or both, and may be a single
// number: a flat plate. With an empty Depth the prism has no points.
type Prism struct {
	Profile Polygon // convex, counter-clockwise
	View    View
	Depth   r1.Interval
}

// Extent implements Solid. An unbounded prism is bounded only along directions whose
// component along its axis is exactly 0.
func (p Prism) Extent(u r3.Vector) r1.Interval {
	if p.Depth.IsEmpty() || len(p.Profile.Corners) == 0 {
		return r1.EmptyInterval()
	}
	flat, along := p.View.Flatten(u)
	e := p.Profile.extent(flat)
	return r1.Interval{Lo: e.Lo + p.aside(along), Hi: e.Hi - p.aside(-along)}
}

// aside is the least that the depth adds to projections on a direction with that much along the
// axis.
func (p Prism) aside(along float64) float64 {
	switch {
	case along > 0:
		return float64(along * p.Depth.Lo)
	case along < 0:
		return float64(along * p.Depth.Hi)
	}
	return 0
}

// Normals implements Solid: one for each side of the profile in order, then the two
// ends where they are bounded, the low one first.
func (p Prism) Normals() []r3.Vector {
	return p.appendNormals(nil)
}

// appendNormals needs no memory of its own where the list has room.
func (p Prism) appendNormals(list []r3.Vector) []r3.Vector {
	for i := range p.Profile.Corners {
		list = appendNew(list, p.View.Point(p.Profile.normal(i), 0))
	}
	if !math.IsInf(p.Depth.Lo, -1) {
		list = append(list, p.View.Point(r2.Point{}, -1))
	}
	if !math.IsInf(p.Depth.Hi, 1) {
		list = append(list, p.View.Point(r2.Point{}, 1))
	}
	return list
}

// Round implements Solid; it is false.
func (p Prism) Round() bool { return false }

// appendNew appends v unless the list holds it already, to the last bit. Lists are short, so
// looking through them is quicker than a map.
func appendNew(list []r3.Vector, v r3.Vector) []r3.Vector {
	for _, w := range list {
		if v == w {
			return list
		}
	}
	return append(list, v)
}

// Surface implements Shape. None of one without ends or without points.
func (p Prism) Surface(int) []Face {
	if p.Depth.IsEmpty() || math.IsInf(p.Depth.Length(), 1) || len(p.Profile.Corners) < 3 {
		return nil
	}
	// Seen from the right a side view runs counter-clockwise, so it is swept from the left
	// towards the eye; seen from the front, a front view from the rear.
	from, to := p.Depth.Hi, p.Depth.Lo
	if p.View == FrontView {
		from, to = to, from
	}
	var loop []r3.Vector
	for _, c := range p.Profile.Corners {
		loop = append(loop, p.View.Point(c, from))
	}
	return Swept(loop, p.View.Axis().Mul(to-from))
}

// Spine implements Shape: from one end to the other. Through the mean of the profile's corners,
// which is inside of a convex one.
func (p Prism) Spine() (from, to r3.Vector) {
	if math.IsInf(p.Depth.Length(), 1) {
		return from, to
	}
	var sum r2.Point
	for _, c := range p.Profile.Corners {
		sum = sum.Add(c)
	}
	middle := sum.Mul(1 / float64(len(p.Profile.Corners)))
	return p.View.Point(middle, p.Depth.Lo), p.View.Point(middle, p.Depth.Hi)
}

// support implements Shape; one without ends is cut off near the origin first.
func (p Prism) support(u r3.Vector) r3.Vector {
	flat, along := p.View.Flatten(u)
	p = p.bounded(r1.Interval{})
	best := slices.MaxFunc(p.Profile.Corners, func(c, d r2.Point) int {
		return cmp.Compare(dot(flat, c), dot(flat, d))
	})
	return p.View.Point(best, p.Depth.Center()+sign(along)*p.Depth.Length()/2)
}

// moved implements Shape.
func (p Prism) moved(v r3.Vector) Solid {
	flat, along := p.View.Flatten(v)
	corners := make([]r2.Point, len(p.Profile.Corners))
	for i, c := range p.Profile.Corners {
		corners[i] = c.Add(flat)
	}
	p.Profile = Polygon{Corners: corners}
	p.Depth.Lo += along
	p.Depth.Hi += along
	return p
}

// turned implements Shape: a side view stays one in a flat motion, and everything else becomes a
// polyhedron.
func (p Prism) turned(m Motion, at float64) Solid {
	if p.View == SideView && m.Flat() {
		p.Profile = m.polygon(p.Profile, at)
		return p
	}
	return PolyhedronFromPrism(p).turned(m, at)
}

// polyhedron implements Shape; the prism has to have ends.
func (p Prism) polyhedron(int) Polyhedron { return PolyhedronFromPrism(p) }

// core implements Shape.
func (p Prism) core() (core, bool) {
	return core{solid: p, normals: p.Normals(), directions: p.directions()}, true
}

// directions are those of the edges: the axis, and each side of the profile.
func (p Prism) directions() []r3.Vector {
	list := []r3.Vector{p.View.Axis()}
	for i, c := range p.Profile.Corners {
		side := p.Profile.Corners[p.Profile.next(i)].Sub(c)
		list = append(list, unit(p.View.Point(side, 0)))
	}
	return list
}

// features implements Shape; ends that it does not have are put beyond what other reaches.
func (p Prism) features(other Solid) polytope {
	return p.bounded(other.Extent(p.View.Axis())).polytope()
}
