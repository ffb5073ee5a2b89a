package gauge

import (
	"slices"

	"github.com/golang/geo/r2"

	"rackwright/export/drawing"
)

// same is how near in millimetres points count as one.
const same = drawing.Same

// union is the outline around convex shapes, each counter-clockwise: closed loops,
// counter-clockwise around what is covered and clockwise around holes.
//
// Method: every edge is cut where it meets another shape; a stretch stays when its
// middle is inside of no other shape. Of stretches that lie on one another one stays
// when the shapes are on the same side, none when they are on both.
func union(shapes [][]r2.Point) [][]r2.Point {
	var stretches [][2]r2.Point
	for i, s := range shapes {
		for j, a := range s {
			stretches = append(stretches, outside(shapes, i, a, s[(j+1)%len(s)])...)
		}
	}
	return drawing.Join(stretches)
}

// outside are the stretches of edge ab of shape i that belong to the outline.
func outside(shapes [][]r2.Point, i int, a, b r2.Point) [][2]r2.Point {
	var kept [][2]r2.Point
	cuts := []float64{0, 1}
	for j, o := range shapes {
		if j != i {
			cuts = append(cuts, meets(a, b, o)...)
		}
	}
	slices.Sort(cuts)
	d := b.Sub(a)
	for k := 1; k < len(cuts); k++ {
		from, to := cuts[k-1], cuts[k]
		if (to-from)*d.Norm() < same/2 {
			continue
		}
		if visible(shapes, i, a.Add(d.Mul((from+to)/2)), d) {
			kept = append(kept, [2]r2.Point{a.Add(d.Mul(from)), a.Add(d.Mul(to))})
		}
	}
	return kept
}

// meets are the places along ab, from 0 to 1, where it crosses the lines of a convex
// shape's edges, and those nearest to the shape's corners.
func meets(a, b r2.Point, shape []r2.Point) []float64 {
	var list []float64
	d := b.Sub(a)
	add := func(t float64) {
		if t > 0 && t < 1 {
			list = append(list, t)
		}
	}
	for j, p := range shape {
		e := shape[(j+1)%len(shape)].Sub(p)
		if cross := d.Cross(e); cross != 0 {
			add(p.Sub(a).Cross(e) / cross)
		}
		if off := d.Cross(p.Sub(a)) / d.Norm(); off < same && off > -same {
			add(p.Sub(a).Dot(d) / d.Dot(d))
		}
	}
	return list
}

// visible tells whether a point on an edge of shape i, which runs along d, is on the
// outline of all.
func visible(shapes [][]r2.Point, i int, p, d r2.Point) bool {
	for j, o := range shapes {
		if j == i {
			continue
		}
		depth, along := depthIn(o, p)
		switch {
		case depth > same:
			return false
		case depth > -same && (along.Dot(d) < 0 || j < i):
			return false
		}
	}
	return true
}

// depthIn is how far a point is inside a convex shape, negative outside of it, and the
// direction of the edge nearest to it.
func depthIn(shape []r2.Point, p r2.Point) (depth float64, along r2.Point) {
	depth = 1e300
	for j, a := range shape {
		e := shape[(j+1)%len(shape)].Sub(a).Normalize()
		if in := e.Cross(p.Sub(a)); in < depth {
			depth, along = in, e
		}
	}
	return depth, along
}
