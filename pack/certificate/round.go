package certificate

import (
	"cmp"
	"fmt"
	"math/big"
	"slices"
)

// round is a tube with round ends, or a bar with flat ones.
type round struct {
	from, to vec
	radius   *big.Rat
	flat     bool
}

// Body is points inside the region that a part may not enter, around a round solid: the
// solid grown by the required gap. A box that keeps clear of the region keeps clear of
// the hull of the points, along a direction that is square to a face of their sum.
type Body struct {
	Solid  int         `json:"solid"`
	Points [][]float64 `json:"points"`
}

// Limits of a body. The numbers of points are below 2¹⁸ then, those of edges below 2¹⁹, of
// their products below 2³⁹, and the sums of products with points below 2⁵⁹: exact in an
// int64.
const (
	mostPoints = 64
	perMM      = 16    // points are whole multiples of 1/16 mm
	farthest   = 16384 // mm from the origin, along each axis
)

// addBody checks that the points are inside, and gives the solid their hull.
func (s *Space) addBody(b Body) error {
	if b.Solid < 0 || b.Solid >= len(s.solids) || s.solids[b.Solid].round == nil {
		return fmt.Errorf("solid %d is not round", b.Solid)
	}
	q := &s.solids[b.Solid]
	if q.corners != nil || len(b.Points) < 4 || len(b.Points) > mostPoints {
		return fmt.Errorf("solid %d has to have one body of 4 to %d points", b.Solid, mostPoints)
	}
	var points [][3]int64
	for _, p := range b.Points {
		if len(p) != 3 {
			return fmt.Errorf("%v of solid %d is no point", p, b.Solid)
		}
		var whole [3]int64
		for k, x := range p {
			if !(x >= -farthest && x <= farthest) || x*perMM != float64(int64(x*perMM)) {
				return fmt.Errorf("%v of solid %d is no multiple of 1/%d mm", p, b.Solid, perMM)
			}
			whole[k] = int64(x * perMM)
		}
		at := vector(p[0], p[1], p[2])
		if !q.round.holds(at, q.need.toCase) {
			return fmt.Errorf("%v is not inside solid %d", p, b.Solid)
		}
		points, q.corners = append(points, whole), append(q.corners, at)
	}
	normals := facets(points)
	for _, n := range normals {
		q.addFace(vec{integer(n[0]), integer(n[1]), integer(n[2])})
	}
	q.edges = outerEdges(points, normals)
	q.findWays(s.tilts, s.along)
	return nil
}

func integer(n int64) *big.Rat { return new(big.Rat).SetInt64(n) }

// holds tells whether p is no farther than gap from the solid; of a bar with flat ends,
// whether it is beside the bar or straight before an end.
func (r *round) holds(p vec, gap *big.Rat) bool {
	axis, to := minus(r.to, r.from), minus(p, r.from)
	t, long := whole(0), dot(axis, axis)
	if long.Sign() > 0 {
		t = quo(dot(axis, to), long)
	}
	reach := add(r.radius, gap)
	end := least(most(t, whole(0)), whole(1))
	if r.flat && t.Cmp(end) != 0 {
		past := sub(t, end)
		if less(mul(gap, gap), mul(mul(past, past), long)) {
			return false
		}
		end, reach = t, r.radius
	}
	off := minus(to, vec{mul(end, axis[0]), mul(end, axis[1]), mul(end, axis[2])})
	return !less(mul(reach, reach), dot(off, off))
}

// edge is the way from one point of a body to one before it, by number; they are none for
// an edge of a box.
type edge struct {
	by           [3]int64
	point, other int
}

func edgesOf(points [][3]int64) []edge {
	var all []edge
	for i, p := range points {
		for j, o := range points[:i] {
			all = append(all, edge{[3]int64{p[0] - o[0], p[1] - o[1], p[2] - o[2]}, i, j})
		}
	}
	return all
}

// A face of the sum of the hull of the points and a box is spanned by two edges, between
// points or of the box, and every point of an edge is an outermost one. facets are
// directions square to all those that the same edges span whatever the tilt of the box:
// between points, or one of them the edge across. Those that edgesAcross lists are the
// rest but for the sides of the box. Some of the directions may be of no face; that only
// adds branches.
func facets(points [][3]int64) [][3]int64 {
	edges := append([]edge{{[3]int64{0, 1, 0}, none, none}}, edgesOf(points)...)
	outermost := func(n [3]int64, point int) bool {
		for _, p := range points {
			if point != none && product(n, p) > product(n, points[point]) {
				return false
			}
		}
		return true
	}
	seen := map[[3]int64]bool{}
	var all [][3]int64
	for i, a := range edges {
		for _, b := range edges[:i] {
			n := crossed(a.by, b.by)
			for _, n := range [][3]int64{n, {-n[0], -n[1], -n[2]}} {
				if n == [3]int64{} || !outermost(n, a.point) || !outermost(n, b.point) {
					continue
				}
				if n = lowest(n); !seen[n] {
					seen[n] = true
					all = append(all, n)
				}
			}
		}
	}
	return all
}

// outerEdges are the edges with both ends outermost along one of the facets. Those of the
// hull are among them, for each is an edge of a facet of the hull; where all points are in
// a line, of a facet with the edge across.
func outerEdges(points [][3]int64, facets [][3]int64) []edge {
	together := map[[2]int]bool{}
	for _, n := range facets {
		far := product(n, slices.MaxFunc(points, func(p, o [3]int64) int { return cmp.Compare(product(n, p), product(n, o)) }))
		var outermost []int
		for i, p := range points {
			if product(n, p) < far {
				continue
			}
			for _, j := range outermost {
				together[[2]int{i, j}] = true
			}
			outermost = append(outermost, i)
		}
	}
	return slices.DeleteFunc(edgesOf(points), func(e edge) bool { return !together[[2]int{e.point, e.other}] })
}

// edgesAcross are directions square to an edge between points and one that the box has
// forward or up when it is tilted.
func (q *solid) edgesAcross(t *tilt) []direction {
	var all []direction
	for _, e := range q.edges {
		if e.by[1] == 0 || e.by[0] == 0 && e.by[2] == 0 {
			continue // the direction is across, or one along the sides of the box
		}
		for _, own := range []direction{t.forward(), t.up()} {
			n := square(e.by, own)
			for _, n := range []direction{n, n.opposite()} {
				if q.mayBeOutermost(n, e.point) {
					all = append(all, n)
				}
			}
		}
	}
	return all
}

// square is square to both.
func square(e [3]int64, n direction) direction {
	var c direction
	for k := range 3 {
		i, j := (k+1)%3, (k+2)%3
		c[k] = n[j].times(integer(e[i])).plus(n[i].times(integer(-e[j])))
	}
	return c
}

// mayBeOutermost tells whether no point is known to be farther along n.
func (q *solid) mayBeOutermost(n direction, point int) bool {
	at := q.corners[point]
	return !slices.ContainsFunc(q.corners, func(p vec) bool { return n.along(minus(p, at)).low.Sign() > 0 })
}

func product(a, b [3]int64) int64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func crossed(a, b [3]int64) [3]int64 {
	return [3]int64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// lowest is n divided by what its components have in common.
func lowest(n [3]int64) [3]int64 {
	var common int64
	for _, x := range n {
		for x != 0 {
			common, x = x, common%x
		}
	}
	if common < 0 {
		common = -common
	}
	if common == 0 {
		return n
	}
	return [3]int64{n[0] / common, n[1] / common, n[2] / common}
}
