package geom

import (
	"math"
	"slices"

	"github.com/golang/geo/r2"
)

// ConvexPieces cuts the polygon into convex pieces that share no area: the polygon
// itself when it is convex. Corners of the pieces are corners of p, unchanged.
//
// Method: cut along a diagonal from a reflex corner, then do the same with both
// parts. Of all diagonals it takes one that leaves the fewest reflex corners, of
// those the shortest, then the lowest, then the nearest to the polygon's middle: no
// choice depends on where the list of corners starts or on handedness, so the pieces
// follow the polygon when it is mirrored in its first coordinate, moved or scaled.
// (The one exception: two diagonals that cross on the middle line itself and mirror
// each other.) The number of pieces is at most twice that of the reflex corners plus
// one, as any such cutting gives, and mostly the least possible; finding the least
// for sure is not attempted.
func (p Polygon) ConvexPieces() []Polygon {
	if p.IsConvex() {
		return []Polygon{{Corners: slices.Clone(p.Corners)}}
	}
	c := newCutter(p)
	whole := make([]int, len(p.Corners))
	for i := range whole {
		whole[i] = i
	}
	return c.cut(whole)
}

// OutsidePieces returns what lies outside the polygon but inside its convex hull, in
// convex pieces: each pocket cut by ConvexPieces, in the order of the corners. A
// pocket that is convex stays whole. It is empty for a convex polygon.
func (p Polygon) OutsidePieces() []Polygon {
	var pieces []Polygon
	for _, pocket := range p.pockets() {
		pieces = append(pieces, pocket.ConvexPieces()...)
	}
	return pieces
}

// pockets returns the polygons between the hull and the polygon.
func (p Polygon) pockets() []Polygon {
	rim := p.rim()
	var pockets []Polygon
	for k, from := range rim {
		to := rim[(k+1)%len(rim)]
		var corners []r2.Point
		for i := from; ; i = p.next(i) {
			corners = append(corners, p.Corners[i])
			if i == to {
				break
			}
		}
		if len(corners) < 3 {
			continue
		}
		slices.Reverse(corners)
		pockets = append(pockets, Polygon{Corners: corners})
	}
	return pockets
}

// rim returns the indices of the corners that lie on the edge of the hull, straight
// ones included, in the polygon's order.
func (p Polygon) rim() []int {
	hull := p.Hull()
	var rim []int
	for i, c := range p.Corners {
		if hull.onEdge(c) {
			rim = append(rim, i)
		}
	}
	return rim
}

// cutter cuts one polygon into convex pieces. A loop is a list of indices of its
// corners, counter-clockwise.
type cutter struct {
	polygon Polygon
	middle  float64  // of the polygon, in its first coordinate
	small   float64  // lengths that differ by less count as the same
	inside  [][2]int // diagonals inside the polygon that end at a reflex corner
}

func newCutter(p Polygon) cutter {
	bounds := p.Bounds()
	size := bounds.Size()
	c := cutter{
		polygon: p,
		middle:  bounds.Center().X,
		// Symmetric polygons that are not on the lattice have equal diagonals but
		// for rounding: 2⁻⁵³ for each coordinate, a few times over.
		small: 1e-12 * (math.Abs(bounds.Center().X) + math.Abs(bounds.Center().Y) + size.X + size.Y),
	}
	for j := range p.Corners {
		for i := range j {
			if (p.reflex(i) || p.reflex(j)) && p.seesAcross(i, j) {
				c.inside = append(c.inside, [2]int{i, j})
			}
		}
	}
	return c
}

// seesAcross tells whether the diagonal between two corners is inside the polygon
// and touches it nowhere but at its ends.
func (p Polygon) seesAcross(i, j int) bool {
	if p.next(i) == j || p.next(j) == i || !p.inCone(i, p.Corners[j]) || !p.inCone(j, p.Corners[i]) {
		return false
	}
	a, b := p.Corners[i], p.Corners[j]
	for k, c := range p.Corners {
		if k == i || k == j {
			continue
		}
		if distanceToSegment(c, a, b) <= Tolerance {
			return false
		}
		n := p.next(k)
		if n != i && n != j && segmentsCross(a, b, c, p.Corners[n], 0) {
			return false
		}
	}
	return true
}

// inCone tells whether q lies strictly between the two sides that meet at corner i,
// seen from it.
//
// Algorithm: J. O'Rourke, Computational Geometry in C, 2nd edition (1998), section 1.6.
func (p Polygon) inCone(i int, q r2.Point) bool {
	before, at, after := p.Corners[p.previous(i)], p.Corners[i], p.Corners[p.next(i)]
	limit := Tolerance * math.Sqrt(dot(q.Sub(at), q.Sub(at)))
	if p.reflex(i) {
		return cross(at, q, after) < -limit || cross(q, at, before) < -limit
	}
	return cross(at, q, before) > limit && cross(q, at, after) > limit
}

// cut returns the convex pieces of a loop.
func (c cutter) cut(loop []int) []Polygon {
	piece := c.piece(loop)
	if piece.IsConvex() {
		return []Polygon{piece}
	}
	cuts := c.choose(loop)
	if len(cuts) == 0 {
		// Only corners within Tolerance of a side can leave no diagonal: take all.
		return []Polygon{piece.Hull()}
	}
	loops := [][]int{loop}
	for _, d := range cuts {
		loops = split(loops, d)
	}
	var pieces []Polygon
	for _, part := range loops {
		pieces = append(pieces, c.cut(part)...)
	}
	return pieces
}

func (c cutter) piece(loop []int) Polygon {
	corners := make([]r2.Point, len(loop))
	for k, i := range loop {
		corners[k] = c.polygon.Corners[i]
	}
	return Polygon{Corners: corners}
}

// split cuts the loop that diagonal d runs through in two.
func split(loops [][]int, d [2]int) [][]int {
	for k, loop := range loops {
		i, j, ok := across(loop, d)
		if !ok {
			continue
		}
		first := slices.Clone(loop[i : j+1])
		second := append(slices.Clone(loop[j:]), loop[:i+1]...)
		return slices.Replace(slices.Clone(loops), k, k+1, first, second)
	}
	return loops
}

// across returns the positions of a diagonal's ends in a loop, the first one first;
// it reports false when they are not both there or are neighbours.
func across(loop []int, d [2]int) (i, j int, ok bool) {
	i, j = slices.Index(loop, d[0]), slices.Index(loop, d[1])
	if i > j {
		i, j = j, i
	}
	return i, j, i >= 0 && j-i > 1 && j-i < len(loop)-1
}

// choose returns the diagonal to cut a loop at, or two that mirror each other.
func (c cutter) choose(loop []int) [][2]int {
	var best []diagonal
	for _, d := range c.inside {
		if i, j, ok := across(loop, d); ok {
			if cut := c.measure(loop, i, j); cut.useful {
				best = append(best, cut)
			}
		}
	}
	for key := range len(diagonal{}.keys) {
		least := math.Inf(1)
		for _, d := range best {
			least = math.Min(least, d.keys[key])
		}
		best = slices.DeleteFunc(best, func(d diagonal) bool { return d.keys[key] > least+c.small })
	}
	return c.apart(best)
}

// apart returns those of equally good diagonals that do not cross one before them.
func (c cutter) apart(best []diagonal) [][2]int {
	slices.SortFunc(best, func(d, e diagonal) int {
		if r := comparePoints(d.low, e.low); r != 0 {
			return r
		}
		return comparePoints(d.high, e.high)
	})
	var chosen [][2]int
	for k, d := range best {
		crosses := slices.ContainsFunc(best[:k], func(e diagonal) bool {
			return d.low != e.low && d.low != e.high && d.high != e.low && d.high != e.high &&
				segmentsCross(d.low, d.high, e.low, e.high, 0)
		})
		if !crosses {
			chosen = append(chosen, d.ends)
		}
	}
	return chosen
}

// diagonal is a possible cut of a loop.
type diagonal struct {
	ends      [2]int   // corners of the polygon
	low, high r2.Point // where they are, the lower one first
	useful    bool     // an end of it is reflex in the loop
	// What is compared, least is best: reflex corners that stay, length, height of
	// the middle, its distance from the polygon's middle, width, slope.
	keys [6]float64
}

func (c cutter) measure(loop []int, i, j int) diagonal {
	d := diagonal{ends: [2]int{loop[i], loop[j]}}
	d.low, d.high = c.polygon.Corners[loop[i]], c.polygon.Corners[loop[j]]
	if d.high.Y < d.low.Y || d.high.Y == d.low.Y && d.high.X < d.low.X {
		d.low, d.high = d.high, d.low
	}
	piece := c.piece(loop)
	d.useful = piece.reflex(i) || piece.reflex(j)
	e := d.high.Sub(d.low)
	off := (d.low.X+d.high.X)/2 - c.middle
	d.keys = [6]float64{
		piece.stays(i, j) + piece.stays(j, i),
		math.Sqrt(dot(e, e)),
		(d.low.Y + d.high.Y) / 2,
		math.Abs(off),
		math.Abs(e.X),
		-math.Copysign(1, off) * e.X,
	}
	return d
}

// stays returns how many of the two corners that a cut makes of corner i stay
// reflex, less 1 when it was reflex and none does.
func (p Polygon) stays(i, j int) float64 {
	if !p.reflex(i) {
		return 0
	}
	before, at, after, to := p.Corners[p.previous(i)], p.Corners[i], p.Corners[p.next(i)], p.Corners[j]
	if turn(before, at, to, Tolerance) == right || turn(to, at, after, Tolerance) == right {
		return 0
	}
	return -1
}
