package block

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// convex is the surface of a convex body: flat faces whose corners run counter-clockwise
// seen from outside.
type convex struct{ faces [][]r3.Vector }

// bodyOf is a solid of the frame as a convex body; false for half-spaces.
func bodyOf(s geom.Solid) (convex, bool) {
	var c convex
	for _, face := range geom.Surface(s, barCorners) {
		c.faces = append(c.faces, face.Corners)
	}
	return c, len(c.faces) > 0
}

// merged is the surface around solids of the frame, and true. Where they only just touch,
// and have no closed surface together, it is that of each of them, and false.
func merged(solids []geom.Solid) (m Mesh, one bool, err error) {
	var bodies []convex
	for _, s := range solids {
		if body, ok := bodyOf(s); ok {
			bodies = append(bodies, body)
		}
	}
	if m, err := union(bodies); err == nil {
		return m, true, nil
	}
	for _, s := range solids {
		m.join(ofSolid(s))
	}
	return m, len(bodies) == 1, nil
}

// plane is where n·p = at; n points out of the body.
type plane struct {
	n  r3.Vector
	at float64
}

func planeOf(face []r3.Vector) plane {
	var n r3.Vector
	for i, p := range face { // Newell's sum, which no single short edge spoils
		n = n.Add(p.Cross(face[(i+1)%len(face)]))
	}
	n = n.Normalize()
	return plane{n, n.Dot(face[0])}
}

// near is how near in millimetres points and planes count as one: far above rounding, far
// below what a printer shows.
const near = 1e-6

// union is the surface around convex bodies that run into each other. What each face has
// inside of other bodies is cut away, plane by plane; then corners that lie on edges of
// others are put into them, so that every edge is shared. It is an error when the result
// is not closed, as where bodies only just touch.
func union(bodies []convex) (Mesh, error) {
	planes, boxes := make([][]plane, len(bodies)), make([]levelBox, len(bodies))
	for i, b := range bodies {
		boxes[i] = boxAround(b.faces...)
		for _, f := range b.faces {
			planes[i] = append(planes[i], planeOf(f))
		}
	}
	var pieces [][]r3.Vector
	for i, b := range bodies {
		for k, f := range b.faces {
			left, around := [][]r3.Vector{f}, boxAround(f)
			for j := range bodies {
				if j != i && around.meets(boxes[j]) {
					left = allOutside(left, planes[i][k], planes[j], j < i)
				}
			}
			pieces = append(pieces, left...)
		}
	}
	m := shared(pieces)
	return m, m.closed()
}

// levelBox is a box along the axes, by its low and its high corner.
type levelBox struct{ low, high r3.Vector }

func boxAround(faces ...[]r3.Vector) levelBox {
	b := levelBox{faces[0][0], faces[0][0]}
	for _, f := range faces {
		for _, v := range f {
			b.low, b.high = lower(b.low, v), higher(b.high, v)
		}
	}
	return b
}

// meets tells whether two boxes are less than near apart.
func (b levelBox) meets(o levelBox) bool {
	return min(b.high.X-o.low.X, o.high.X-b.low.X, b.high.Y-o.low.Y, o.high.Y-b.low.Y, b.high.Z-o.low.Z, o.high.Z-b.low.Z) > -near
}

// allOutside is what pieces of a face in a plane have outside of a body. Where a face of
// the body lies in the same plane, looking the same way, it counts as inside with first.
func allOutside(pieces [][]r3.Vector, own plane, body []plane, first bool) [][]r3.Vector {
	var all [][]r3.Vector
	for _, p := range pieces {
		if !meets(p, own, body, first) {
			all = append(all, p)
			continue
		}
		for _, b := range body {
			if len(p) == 0 || coplanar(own, b) {
				continue
			}
			var out []r3.Vector
			out, p = split(p, b)
			if len(out) > 2 {
				all = append(all, out)
			}
		}
	}
	return all
}

// coplanar tells whether two planes are one, whichever way they look.
func coplanar(a, b plane) bool {
	along := a.n.Dot(b.n)
	return along > 1-1e-12 && max(a.at-b.at, b.at-a.at) < near || along < 1e-12-1 && max(a.at+b.at, -a.at-b.at) < near
}

// meets tells whether a piece has something inside of a body.
func meets(p []r3.Vector, own plane, body []plane, first bool) bool {
	for _, b := range body {
		if coplanar(own, b) {
			if own.n.Dot(b.n) > 0 && !first {
				return false
			}
			continue
		}
		if _, p = split(p, b); len(p) < 3 {
			return false
		}
	}
	return true
}

// split cuts a convex polygon at a plane into what lies before it and behind it.
func split(p []r3.Vector, b plane) (before, behind []r3.Vector) {
	for i, v := range p {
		w := p[(i+1)%len(p)]
		dv, dw := b.n.Dot(v)-b.at, b.n.Dot(w)-b.at
		if dv >= -near {
			before = append(before, v)
		}
		if dv <= near {
			behind = append(behind, v)
		}
		if dv > near && dw < -near || dv < -near && dw > near {
			x := v.Add(w.Sub(v).Mul(dv / (dv - dw)))
			before, behind = append(before, x), append(behind, x)
		}
	}
	if !some(before, b, 1) {
		before = nil
	}
	if !some(behind, b, -1) {
		behind = nil
	}
	return before, behind
}

// some tells whether a corner lies on a side of a plane, and not only on it.
func some(p []r3.Vector, b plane, side float64) bool {
	return slices.ContainsFunc(p, func(v r3.Vector) bool { return side*(b.n.Dot(v)-b.at) > near })
}

// shared makes triangles of flat pieces that share their edges: corners that are nearly
// the same become one, and corners that lie on an edge of another piece are put into it.
func shared(pieces [][]r3.Vector) Mesh {
	var corners []r3.Vector
	one := func(v r3.Vector) r3.Vector {
		for _, c := range corners {
			if max(c.X-v.X, v.X-c.X, c.Y-v.Y, v.Y-c.Y, c.Z-v.Z, v.Z-c.Z) < 10*near {
				return c
			}
		}
		corners = append(corners, v)
		return v
	}
	var merged [][]r3.Vector
	for _, p := range pieces {
		var q []r3.Vector
		for _, v := range p {
			if v = one(v); len(q) == 0 || q[len(q)-1] != v {
				q = append(q, v)
			}
		}
		for len(q) > 1 && q[0] == q[len(q)-1] {
			q = q[:len(q)-1]
		}
		if len(q) > 2 {
			merged = append(merged, q)
		}
	}
	var m Mesh
	for _, p := range merged {
		m.fan(withCorners(p, corners))
	}
	return m
}

// withCorners puts into the edges of a polygon all corners that lie on them.
func withCorners(p, corners []r3.Vector) []r3.Vector {
	var out []r3.Vector
	for i, a := range p {
		b := p[(i+1)%len(p)]
		out = append(out, a)
		d := b.Sub(a)
		type stop struct {
			t float64
			v r3.Vector
		}
		var stops []stop
		for _, c := range corners {
			t := c.Sub(a).Dot(d) / d.Norm2()
			if c != a && c != b && t > 0 && t < 1 && c.Sub(a.Add(d.Mul(t))).Norm() < 20*near {
				stops = append(stops, stop{t, c})
			}
		}
		slices.SortFunc(stops, func(x, y stop) int { return cmp.Compare(x.t, y.t) })
		for _, s := range stops {
			out = append(out, s.v)
		}
	}
	return out
}

// fan adds a convex polygon, which may have straight corners.
func (m *Mesh) fan(p []r3.Vector) {
	if len(p) == 3 {
		m.add(p[0], p[1], p[2])
		return
	}
	var middle r3.Vector
	for _, v := range p {
		middle = middle.Add(v)
	}
	middle = middle.Mul(1 / float64(len(p)))
	for i, v := range p {
		m.add(v, p[(i+1)%len(p)], middle)
	}
}

// closed returns an error unless triangles run along every edge as often one way as the
// other.
func (m Mesh) closed() error {
	edges := map[[2]r3.Vector]int{}
	for _, t := range m.Triangles {
		for i := range t {
			a, b := t[i], t[(i+1)%3]
			edges[[2]r3.Vector{a, b}]++
			edges[[2]r3.Vector{b, a}]--
		}
	}
	for e, n := range edges {
		if n != 0 {
			return fmt.Errorf("%w: the surface is open at %v", ErrMesh, e[0])
		}
	}
	return nil
}
