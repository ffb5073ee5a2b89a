package view

import (
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
)

// aside in millimetres is how far beside an edge is looked for what goes on there: more
// than what rounding leaves between parts.
const aside = 0.05

// withoutSeams returns what is left of an edge of a keep-out that is in pieces, as notched
// ones are, where it is no mere seam: where other pieces neither carry on one of its faces
// in the same plane nor fill all around it.
func withoutSeams(e edge, others []convex) []edge {
	if len(others) == 0 || len(e.normals) != 2 {
		return []edge{e}
	}
	// The piece itself is behind both faces: beyond the first, beyond the second, and
	// beyond both there may be others.
	n, m := e.normals[0].Mul(aside), e.normals[1].Mul(aside)
	first, second, outer := insideOf(e, n.Sub(m), others), insideOf(e, m.Sub(n), others), insideOf(e, n.Add(m), others)
	whole := []r1.Interval{{Lo: 0, Hi: 1}}
	all := minus(whole, minus(whole, first))
	all = minus(all, minus(whole, second))
	all = minus(all, minus(whole, outer))
	seams := append(all, minus(minus(first, second), outer)...)
	seams = append(seams, minus(minus(second, first), outer)...)
	var left []edge
	for _, t := range minus(whole, seams) {
		at := func(t float64) r3.Vector { return e.a.Add(e.b.Sub(e.a).Mul(t)) }
		left = append(left, edge{at(t.Lo), at(t.Hi), e.normals})
	}
	return left
}

// insideOf is where an edge, moved by a step, is inside of any of some solids: intervals
// of [0, 1].
func insideOf(e edge, step r3.Vector, solids []convex) []r1.Interval {
	var all []r1.Interval
	a, d := e.a.Add(step), e.b.Sub(e.a)
	for _, c := range solids {
		in := r1.Interval{Lo: 0, Hi: 1}
		for _, p := range c {
			room, towards := p.d-p.n.Dot(a), p.n.Dot(d)
			switch {
			case towards > 1e-12:
				in.Hi = math.Min(in.Hi, room/towards)
			case towards < -1e-12:
				in.Lo = math.Max(in.Lo, room/towards)
			case room < 0:
				in = r1.EmptyInterval()
			}
		}
		if in.Lo < in.Hi {
			all = append(all, in)
		}
	}
	return all
}

// minus is what of some intervals is in none of others.
func minus(list, others []r1.Interval) []r1.Interval {
	for _, o := range others {
		var left []r1.Interval
		for _, in := range list {
			for _, part := range []r1.Interval{{Lo: in.Lo, Hi: math.Min(in.Hi, o.Lo)}, {Lo: math.Max(in.Lo, o.Hi), Hi: in.Hi}} {
				if part.Lo < part.Hi {
					left = append(left, part)
				}
			}
		}
		list = left
	}
	return list
}

// PieceEdges are the edges, from point to point, of those keep-outs of a frame that are in
// several pieces, as notched ones are, without the seams between the pieces.
func PieceEdges(f *frame.Frame) map[string][][2]r3.Vector {
	s := &Scene{bodies: frameBodies(f)}
	all := map[string][][2]r3.Vector{}
	for _, b := range s.bodies {
		pieces := s.pieces(b)
		if len(pieces) == 0 {
			continue
		}
		for _, e := range b.allEdges() {
			if b.smooth && e.smooth() {
				continue
			}
			for _, left := range withoutSeams(e, pieces) {
				all[b.name] = append(all[b.name], [2]r3.Vector{left.a, left.b})
			}
		}
	}
	return all
}

// pieces are the solids of the other bodies of the same keep-out.
func (s *Scene) pieces(b body) []convex {
	var all []convex
	for _, o := range s.bodies {
		if b.role == keepOutBody && o.role == keepOutBody && o.name == b.name && !slices.EqualFunc(o.faces, b.faces, sameFace) {
			all = append(all, o.solids...)
		}
	}
	return all
}

func sameFace(a, b geom.Face) bool { return slices.Equal(a.Corners, b.Corners) }
