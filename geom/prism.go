package geom

import (
	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// View is a plane that a profile is drawn in, seen along the axis that it leaves out.
type View int

const (
	// SideView is the plane of x and z; r2's X is x and its Y is z.
	SideView View = iota
	// FrontView is the plane of y and z; r2's X is y and its Y is z.
	FrontView
)

// Point returns the point of space at p in the view, at depth d along the axis the
// view leaves out (y in the side view, x in the front view).
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

// Prism is a convex profile, drawn in a view and swept along the axis that the view
// leaves out. Depth may be unbounded.
type Prism struct {
	Profile Polygon // convex
	View    View
	Depth   r1.Interval
}
