package geom

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// Hull returns the convex hull of points; a sliver, or without faces, where they lie nearly
// in a plane. Points within flatness of a face count as in it, so that the body may be
// smaller than the hull by that much: planes are the same for what is one face.
//
// Method: incremental. From a tetrahedron on, each point outside takes away the triangles
// that it sees and is joined to their rim (M. Kallay, The complexity of incremental convex
// hull algorithms, Information Processing Letters 19 (1984) 197). Triangles in one plane
// are then one face.
//
// It takes as many steps as points times faces, which is quick for the points of a swept piece.
func Hull(points []r3.Vector) Polyhedron {
	h := newHuller(points)
	if h == nil {
		return Polyhedron{}
	}
	for i := range points {
		h.add(i)
	}
	return Polyhedron{shape: h.polytope()}
}

// flatness in millimetres is far above what places 16 m out are rounded to, and a tenth of
// what counts as a sliver. Lower, and a face would come out as many; higher, and edges would be cut
// off.
const flatness = 1e-7

// huller is a hull under construction: triangles of indices, counter-clockwise seen from
// outside. kept and seen are memory that each point uses again.
type huller struct {
	points []r3.Vector
	facets []facet
	kept   []facet  // used again for each point
	seen   [][2]int // edges of triangles that a point sees
}

// facet is a triangle with its plane: normal·q = offset, the normal outward.
type facet struct {
	at     [3]int
	normal r3.Vector
	offset float64
}

// facet makes the triangle of three points, counter-clockwise seen from outside.
func (h *huller) facet(a, b, c int) facet {
	p := h.points[a]
	n := unit(h.points[b].Sub(p).Cross(h.points[c].Sub(p)))
	return facet{[3]int{a, b, c}, n, n.Dot(p)}
}

// above is how far point i lies above the plane of a triangle, in mm.
func (h *huller) above(t *facet, i int) float64 { return t.normal.Dot(h.points[i]) - t.offset }

// newHuller starts with four points far apart; nil where there are none. Far apart, so that the
// first planes are sure: the leftmost point, the one farthest from it, the one farthest from their
// line, and the one farthest from that plane.
func newHuller(points []r3.Vector) *huller {
	h := &huller{points: points}
	if len(points) < 4 {
		return nil
	}
	farthest := func(far func(p r3.Vector) float64) int {
		best := 0
		for i, p := range points {
			if far(p) > far(points[best]) {
				best = i
			}
		}
		return best
	}
	a := farthest(func(p r3.Vector) float64 { return -p.X })
	b := farthest(func(p r3.Vector) float64 { return p.Sub(points[a]).Norm2() })
	ab := unit(points[b].Sub(points[a]))
	c := farthest(func(p r3.Vector) float64 { return p.Sub(points[a]).Cross(ab).Norm2() })
	// Through the three; the fourth decides which side is outside.
	base := h.facet(a, b, c)
	d := farthest(func(p r3.Vector) float64 { return math.Abs(base.normal.Dot(p) - base.offset) })
	switch high := h.above(&base, d); {
	case base.normal == r3.Vector{} || math.Abs(high) <= flatness:
		return nil
	// The fourth point has to be below the first triangle.
	case high > 0:
		b, c = c, b
	}
	h.facets = []facet{h.facet(a, b, c), h.facet(a, d, b), h.facet(b, d, c), h.facet(c, d, a)}
	return h
}

// add joins point i to the hull unless it is inside. The first triangle that it sees is looked for
// before anything is copied: most points of a swept body are inside.
func (h *huller) add(i int) {
	first := 0
	for first < len(h.facets) && h.above(&h.facets[first], i) <= flatness {
		first++
	}
	if first == len(h.facets) {
		return
	}
	h.kept, h.seen = append(h.kept[:0], h.facets[:first]...), h.seen[:0]
	for j := range h.facets[first:] {
		t := &h.facets[first+j]
		if h.above(t, i) <= flatness {
			h.kept = append(h.kept, *t)
			continue
		}
		for k, a := range t.at {
			h.seen = append(h.seen, [2]int{a, t.at[(k+1)%3]})
		}
	}
	// The edge of what the point sees.
	rim := h.rim()
	if len(rim) == 0 {
		return
	}
	for _, e := range rim {
		h.kept = append(h.kept, h.facet(e[0], e[1], i))
	}
	h.facets, h.kept = h.kept, h.facets
}

// rim are those edges of triangles that are seen that no two of them share, in order. It takes
// what is seen to pieces. An edge that two of them share comes once each way round.
func (h *huller) rim() [][2]int {
	slices.SortFunc(h.seen, func(a, b [2]int) int {
		return cmp.Or(cmp.Compare(min(a[0], a[1]), min(b[0], b[1])), cmp.Compare(max(a[0], a[1]), max(b[0], b[1])))
	})
	rim := h.seen[:0]
	for k := 0; k < len(h.seen); k++ {
		if e := h.seen[k]; k+1 < len(h.seen) && h.seen[k+1] == [2]int{e[1], e[0]} {
			k++
		} else {
			rim = append(rim, e)
		}
	}
	slices.SortFunc(rim, func(a, b [2]int) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
	return rim
}

// polytope joins triangles in one plane to a face. Corners that no face has are dropped, and edges
// found anew (tidy).
func (h *huller) polytope() polytope {
	p := polytope{corners: h.points}
	taken := make([]bool, len(h.facets))
	// The largest first: their planes are the surest.
	area := func(t facet) float64 {
		return h.points[t.at[1]].Sub(h.points[t.at[0]]).Cross(h.points[t.at[2]].Sub(h.points[t.at[0]])).Norm2()
	}
	slices.SortStableFunc(h.facets, func(a, b facet) int { return cmp.Compare(area(b), area(a)) })
	for i := range h.facets {
		if taken[i] {
			continue
		}
		t := &h.facets[i]
		// Corners of all triangles in its plane.
		var in []int
		for j := range h.facets[i:] {
			if o := &h.facets[i+j]; !taken[i+j] && h.coplanar(t, o) {
				taken[i+j] = true
				in = append(in, o.at[:]...)
			}
		}
		if loop := h.around(t.normal, in); len(loop) >= 3 {
			p.faces = append(p.faces, face{normal: t.normal, loop: loop})
		}
	}
	return p.tidy()
}

// coplanar tells whether a facet lies in the plane of another. Ten times flatness, since a
// triangle's own plane may be off by that over its neighbours.
func (h *huller) coplanar(t, o *facet) bool {
	return t.normal.Dot(o.normal) > 0.5 && !slices.ContainsFunc(o.at[:], func(k int) bool { return math.Abs(h.above(t, k)) > 10*flatness })
}

// around returns the corners of the convex hull of points in a plane, counter-clockwise about
// its normal. In plan, seen against the normal. Corners in one place are one.
func (h *huller) around(n r3.Vector, in []int) []int {
	axes := axesAlong(n)
	at := map[r2.Point]int{}
	var flat []r2.Point
	for _, k := range in {
		q := r2.Point{X: axes[1].Dot(h.points[k]), Y: axes[2].Dot(h.points[k])}
		at[q] = k
		flat = append(flat, q)
	}
	var loop []int
	for _, q := range hullOf(flat) {
		loop = append(loop, at[q])
	}
	return loop
}
