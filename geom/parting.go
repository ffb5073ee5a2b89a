package geom

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"
)

// PartingNormals returns unit normals, from a to b, of which one parts two convex bodies that do not
// overlap, however they are displaced: the faces of the Minkowski difference, which are spanned by a
// face of either or by an edge of both (S. Gottschalk, Separating axis theorem, TR96-024, UNC
// Chapel Hill, 1996). The bodies are given by their faces; see FacesOf.
//
// Edges that do not reach as far along their common normal as the bodies do span no face of the
// difference and are left out.
func PartingNormals(a, b []Face) []r3.Vector {
	var list []r3.Vector
	add := func(n r3.Vector) {
		for _, o := range list {
			if o.Sub(n).Norm2() < 1e-20 {
				return
			}
		}
		list = append(list, n)
	}
	for _, f := range a {
		add(f.Normal)
	}
	for _, f := range b {
		add(f.Normal.Mul(-1))
	}
	onA, onB := edgesOf(a), edgesOf(b)
	for _, e := range onA {
		for _, f := range onB {
			n := e.along.Cross(f.along)
			if n.Norm2() < 1e-18 {
				continue
			}
			n = n.Normalize()
			for _, u := range []r3.Vector{n, n.Mul(-1)} {
				if e.carries(ExtentOf(a, u), u) && f.carries(ExtentOf(b, u.Mul(-1)), u.Mul(-1)) {
					add(u)
				}
			}
		}
	}
	return list
}

// FacesOf returns the faces of a bounded solid as Surface does, those of a plate without thickness as
// well, with their normals.
func FacesOf(s Solid, around int) []Face {
	if b, ok := s.(Box); ok {
		return Surface(PolyhedronFromBox(b), around)
	}
	return Surface(s, around)
}

// ridge is the edges of a body along one direction, each by one of its ends. Edges in one direction
// give the same normals, so they are tried together.
type ridge struct {
	along r3.Vector
	at    []r3.Vector
}

// carries tells whether one of the edges reaches as far along u as the body does. 1e-7 mm is above
// the rounding of unit vectors over 16 m.
func (e ridge) carries(whole r1.Interval, u r3.Vector) bool {
	for _, p := range e.at {
		if u.Dot(p) > whole.Hi-1e-7 {
			return true
		}
	}
	return false
}

// edgesOf gathers the edges of a body by their directions.
func edgesOf(body []Face) []ridge {
	var list []ridge
next:
	for _, e := range edgesIn(body) {
		for i := range list {
			if list[i].along.Cross(e.along).Norm2() < 1e-18 {
				list[i].at = append(list[i].at, e.at...)
				continue next
			}
		}
		list = append(list, e)
	}
	return list
}

// edgesIn lists the sides of all faces, those that two faces share twice.
func edgesIn(body []Face) []ridge {
	var list []ridge
	for _, f := range body {
		for i, c := range f.Corners {
			if d := f.Corners[(i+1)%len(f.Corners)].Sub(c); d.Norm() > Tolerance {
				list = append(list, ridge{d.Normalize(), []r3.Vector{c}})
			}
		}
	}
	return list
}

// ExtentOf is the projection of a body, given by its faces, on u. As Solid.Extent, for a body that
// is only known by its faces.
func ExtentOf(body []Face, u r3.Vector) r1.Interval {
	e := r1.Interval{Lo: math.Inf(1), Hi: math.Inf(-1)}
	for _, f := range body {
		for _, c := range f.Corners {
			d := u.Dot(c)
			e.Lo, e.Hi = min(e.Lo, d), max(e.Hi, d)
		}
	}
	return e
}
