package certificate

import (
	"fmt"
	"math/big"
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
				return fmt.Errorf("%v of solid %d is not on the lattice of 1/%d mm", p, b.Solid, perMM)
			}
			whole[k] = int64(x * perMM)
		}
		at := vector(p[0], p[1], p[2])
		if !q.round.holds(at, q.need.toCase) {
			return fmt.Errorf("%v is not inside solid %d", p, b.Solid)
		}
		points, q.corners = append(points, whole), append(q.corners, at)
	}
	for _, n := range facets(points) {
		q.addFace(vec{new(big.Rat).SetInt64(n[0]), new(big.Rat).SetInt64(n[1]), new(big.Rat).SetInt64(n[2])})
	}
	return nil
}

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

// facets are directions square to all faces of the sum of the hull of the points and a
// box: each face is spanned by two edges, between points or along axes, and every point
// of an edge is an outermost one. Some of the directions may be of no face; that only
// adds branches.
func facets(points [][3]int64) [][3]int64 {
	type edge struct {
		by    [3]int64
		point int // one of its ends, or none for an axis
	}
	edges := []edge{{[3]int64{1, 0, 0}, none}, {[3]int64{0, 1, 0}, none}, {[3]int64{0, 0, 1}, none}}
	for i, p := range points {
		for j := range i {
			edges = append(edges, edge{[3]int64{p[0] - points[j][0], p[1] - points[j][1], p[2] - points[j][2]}, i})
		}
	}
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
