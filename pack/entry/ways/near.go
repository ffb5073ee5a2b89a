package ways

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// leastBarrier returns what is common to the barriers of standing to moving, wherever that is
// near its place. Off it by t, with halves n·d > g(n) − air there, it has the halves
// n·d > g(n) − air − n·t: what is common to all has the greatest of these.
//
// A way that one of the movers has is outside of its own barriers, so of these; where these
// leave none, none of them has one.
func (m *Mover) leastBarrier(owner int, moving geom.Box, standing geom.Solid) *barrier {
	b := &barrier{owner: owner, moving: moving, mover: m, standing: standing, air: m.place.Near.Air[owner]}
	normals := geom.SheetNormals(moving, standing)
	if standing.Round() {
		// What overlaps a flat body inside of it, as much thicker as the air, is nearer than that.
		inner, ok := within(thicker(standing, b.air))
		if !ok {
			b.halves = []half{b.half(r3.Vector{X: 1}, 1e30)} // nothing
			return b
		}
		standing, b.air = inner, 0
		normals = overlapNormals(moving, inner)
	}
	slack := m.place.Near.Slack[owner]
	for _, n := range normals {
		if gap := geom.GapAlong(moving, standing, n); !math.IsInf(gap, -1) {
			b.halves = append(b.halves, b.half(n, gap-b.air+n.Abs().Dot(slack)))
		}
	}
	return b
}

// thicker is a body inside of all that is within some air of a round solid.
func thicker(s geom.Solid, air float64) geom.Solid {
	bar, ok := geom.BarOf(s)
	if !ok {
		return s
	}
	bar.Radius += air
	return bar.Solid()
}

// innerSides is how many flat sides the body inside a round one has.
const innerSides = 8

// within returns a flat body inside a round one.
func within(s geom.Solid) (geom.Polyhedron, bool) {
	if from, to := geom.Spine(s); from == to {
		return geom.Polyhedron{}, false
	}
	p := geom.PolyhedronOf(s, innerSides)
	p.Curved = false
	return p, true
}

// overlapNormals are the directions from a box to a polyhedron of which one parts them when
// they do not overlap: the normals of their faces, and what is square to an edge of each
// (S. Gottschalk, Separating axis theorem, TR96-024, UNC Chapel Hill, 1996).
func overlapNormals(a geom.Box, b geom.Polyhedron) []r3.Vector {
	list := geom.SheetNormals(a, b)
	for _, loop := range b.Faces() {
		for i, c := range loop {
			side := loop[(i+1)%len(loop)].Sub(c)
			for _, axis := range a.Axes {
				if n := axis.Cross(side); n.Norm() > 1e-9*side.Norm() {
					list = appendApart(list, n.Normalize())
				}
			}
		}
	}
	return list
}

// appendApart appends a direction and its opposite unless the list has it nearly.
func appendApart(list []r3.Vector, n r3.Vector) []r3.Vector {
	for _, o := range list {
		if o.Sub(n).Norm2() < 1e-20 {
			return list
		}
	}
	return append(list, n, n.Mul(-1))
}
