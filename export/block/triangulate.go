package block

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r2"
)

// triangulate cuts a simple polygon, counter-clockwise, with holes, each
// counter-clockwise as well, inside it and apart from one another, into triangles. No
// corner is added. Holes are joined to the outline by bridges, then ears are cut
// (Meisters, American Mathematical Monthly 82 (1975); bridges as in Held,
// Algorithmica 30 (2001)); of all ears the one furthest from flat goes first.
func triangulate(outline []r2.Point, holes [][]r2.Point) ([][3]r2.Point, error) {
	ring := slices.Clone(outline)
	left := slices.Clone(holes)
	slices.SortStableFunc(left, func(a, b []r2.Point) int { return cmp.Compare(reach(b), reach(a)) })
	for len(left) > 0 {
		joined, ok := bridged(ring, left[0], left[1:])
		if !ok {
			return nil, fmt.Errorf("%w: no line from a hole of a face to its edge is free of others", ErrMesh)
		}
		ring, left = joined, left[1:]
	}
	return ears(ring)
}

// reach is how far right a ring reaches.
func reach(ring []r2.Point) float64 { return r2.RectFromPoints(ring...).X.Hi }

// bridged joins a hole to the ring by the shortest line that crosses nothing; it is false
// where there is none, as for a hole that is not inside.
func bridged(ring, hole []r2.Point, others [][]r2.Point) ([]r2.Point, bool) {
	bestR, bestH, shortest := 0, 0, math.Inf(1)
	for i, p := range ring {
		for j, q := range hole {
			meets := func(r []r2.Point) bool { return !free(p, q, r) }
			d := q.Sub(p).Norm()
			if d < shortest && opensTo(ring, i, q) && !meets(ring) && !meets(hole) && !slices.ContainsFunc(others, meets) {
				bestR, bestH, shortest = i, j, d
			}
		}
	}
	if math.IsInf(shortest, 1) {
		return nil, false
	}
	var out []r2.Point
	out = append(out, ring[:bestR+1]...)
	for k := range hole { // clockwise, once around
		out = append(out, hole[(bestH-k+len(hole))%len(hole)])
	}
	out = append(out, hole[bestH])
	return append(out, ring[bestR:]...), true
}

// opensTo tells whether a line from corner i towards q starts inside of the ring. A
// corner that a bridge ends at is there twice, and only one of the two opens that way.
func opensTo(ring []r2.Point, i int, q r2.Point) bool {
	a, b, c := around(ring, i)
	in, out := side(a, b, q) > 0, side(b, c, q) > 0
	if side(a, b, c) > 0 {
		return in && out
	}
	return in || out
}

// free tells whether the segment pq meets no edge of a ring but at its own ends.
func free(p, q r2.Point, ring []r2.Point) bool {
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if a == p || a == q || b == p || b == q {
			if inLine(p, q, a, b) {
				return false
			}
			continue
		}
		if side(p, q, a)*side(p, q, b) <= 0 && side(a, b, p)*side(a, b, q) <= 0 {
			return false
		}
	}
	return true
}

// inLine tells whether edge ab, which shares an end with pq, runs along it.
func inLine(p, q, a, b r2.Point) bool {
	far := a
	if a == p || a == q {
		far = b
	}
	return far != p && far != q && math.Abs(side(p, q, far)) < flat && within(far, p, q)
}

func within(a, p, q r2.Point) bool { return a.Sub(p).Dot(a.Sub(q)) <= 0 }

// flat is twice the area in mm² below which three points count as in line.
const flat = 1e-9

// side is twice the area of the triangle abc, positive when it runs counter-clockwise.
func side(a, b, c r2.Point) float64 { return b.Sub(a).Cross(c.Sub(a)) }

// ears cuts a ring, which may touch itself along bridges, into triangles.
func ears(ring []r2.Point) ([][3]r2.Point, error) {
	var out [][3]r2.Point
	ring = slices.Clone(ring)
	for len(ring) > 3 {
		i := bestEar(ring)
		if i < 0 {
			return nil, fmt.Errorf("%w: a face with %d corners left cannot be cut into triangles", ErrMesh, len(ring))
		}
		a, b, c := around(ring, i)
		out = append(out, [3]r2.Point{a, b, c})
		ring = slices.Delete(ring, i, i+1)
	}
	return append(out, [3]r2.Point{ring[0], ring[1], ring[2]}), nil
}

func around(ring []r2.Point, i int) (a, b, c r2.Point) {
	n := len(ring)
	return ring[(i+n-1)%n], ring[i], ring[(i+1)%n]
}

// bestEar is the ear with the greatest height over its longest side, -1 if none.
func bestEar(ring []r2.Point) int {
	best, height := -1, 0.0
	for i := range ring {
		a, b, c := around(ring, i)
		area := side(a, b, c)
		if area < flat {
			continue
		}
		h := area / max(b.Sub(a).Norm(), c.Sub(b).Norm(), a.Sub(c).Norm())
		if h > height && empty(ring, a, b, c) {
			best, height = i, h
		}
	}
	return best
}

// empty tells whether no corner of the ring lies in the triangle abc but its own.
func empty(ring []r2.Point, a, b, c r2.Point) bool {
	for _, p := range ring {
		if p == a || p == b || p == c {
			continue
		}
		if side(a, b, p) >= -flat && side(b, c, p) >= -flat && side(c, a, p) >= -flat {
			return false
		}
	}
	return true
}
