package geom

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r2"
)

// ConvexPieces cuts the polygon into convex pieces that share no area: the polygon
// itself when it is convex. Corners of the pieces are corners of p, unchanged.
//
// Method: cut along a diagonal from a reflex corner, then do the same with both
// parts. Of all diagonals it takes one that leaves the fewest reflex corners, of
// those the shortest, then the lowest, then the nearest to the polygon's middle; of
// two that mirror each other, both. At the end it takes back the cuts that the later
// ones made needless, the longest first. No choice depends on where the list of
// corners starts or on handedness, so the pieces follow the polygon when it is
// mirrored in its first coordinate, moved or scaled. (The one exception: two
// diagonals that cross on the middle line itself and mirror each other.)
//
// Without needless cuts there are at most four times as many pieces as the fewest
// possible: S. Hertel and K. Mehlhorn, Fast triangulation of simple polygons, FCT
// 1983, LNCS 158, 207–218. Mostly they are the fewest.
func (p Polygon) ConvexPieces() []Polygon {
	if p.IsConvex() {
		return []Polygon{{Corners: slices.Clone(p.Corners)}}
	}
	c := newCutter(p)
	whole := make([]int, len(p.Corners))
	for i := range whole {
		whole[i] = i
	}
	loops := c.cut(whole)
	var pieces []Polygon
	for _, loop := range c.takeBack(whole, loops) {
		pieces = append(pieces, c.piece(loop))
	}
	return pieces
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

// pockets returns the polygons between the hull and the polygon. Each runs from one corner of the
// hull to the next along the polygon, turned round so that it is counter-clockwise itself.
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
		// Two corners of the hull that follow each other in the polygon.
		if len(corners) < 3 {
			continue
		}
		slices.Reverse(corners)
		pockets = append(pockets, Polygon{Corners: corners})
	}
	return pockets
}

// rim returns the indices of the corners that lie on the edge of the hull, straight
// ones included, in the polygon's order. Straight corners count, or a pocket could begin in the
// middle of a side.
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
	made    [][2]int // the cuts made
}

// newCutter finds all diagonals once; pieces only use those that both their ends are left in.
func newCutter(p Polygon) cutter {
	bounds := p.Bounds()
	size := bounds.Size()
	c := cutter{
		polygon: p,
		middle:  bounds.Center().X,
		// Symmetric polygons have equal diagonals but
		// for rounding: 2⁻⁵³ for each coordinate, a few times over.
		small: 1e-12 * (math.Abs(bounds.Center().X) + math.Abs(bounds.Center().Y) + size.X + size.Y),
	}
	c.inside = p.diagonals(Tolerance)
	return c
}

// diagonals returns those inside the polygon that end at a reflex corner and come
// nowhere else within tolerance of a corner. One that passes nearer to a corner than the tolerance
// would make pieces that touch where they should not.
func (p Polygon) diagonals(tolerance float64) [][2]int {
	var list [][2]int
	for j := range p.Corners {
		for i := range j {
			if (p.reflex(i) || p.reflex(j)) && p.seesAcross(i, j, tolerance) {
				list = append(list, [2]int{i, j})
			}
		}
	}
	return list
}

// seesAcross tells whether the diagonal between two corners is inside the polygon
// and touches it nowhere but at its ends. Sides that share an end with the diagonal cannot cross
// it; the cones at the ends have decided about them.
func (p Polygon) seesAcross(i, j int, tolerance float64) bool {
	if p.next(i) == j || p.next(j) == i {
		return false
	}
	if !p.inCone(i, p.Corners[j], tolerance) || !p.inCone(j, p.Corners[i], tolerance) {
		return false
	}
	// The diagonal itself.
	a, b := p.Corners[i], p.Corners[j]
	for k, c := range p.Corners {
		if k == i || k == j {
			continue
		}
		if distanceToSegment(c, a, b) <= tolerance {
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
// Algorithm: J. O'Rourke, Computational Geometry in C, 2nd edition (1998), section 1.6. The limit
// turns the tolerance, a length, into that of an area of the triangles that cross gives.
func (p Polygon) inCone(i int, q r2.Point, tolerance float64) bool {
	before, at, after := p.Corners[p.previous(i)], p.Corners[i], p.Corners[p.next(i)]
	limit := tolerance * math.Sqrt(dot(q.Sub(at), q.Sub(at)))
	if p.reflex(i) {
		return cross(at, q, after) < -limit || cross(q, at, before) < -limit
	}
	return cross(at, q, before) > limit && cross(q, at, after) > limit
}

// cut returns the convex pieces of a loop. It always ends, for each cut leaves loops with fewer
// corners.
func (c *cutter) cut(loop []int) [][]int {
	if c.piece(loop).IsConvex() {
		return [][]int{loop}
	}
	cuts := c.choose(loop, c.inside)
	if len(cuts) == 0 {
		// Corners hardly farther than Tolerance from a side block the view.
		cuts = c.choose(loop, c.polygon.diagonals(0))
	}
	if len(cuts) == 0 {
		// Only rounding can bring that about. Take all, against ourselves. What a solid is larger
		// than it should be costs room, never safety.
		return [][]int{c.hullLoop(loop)}
	}
	loops := [][]int{loop}
	for _, d := range cuts {
		loops = split(loops, d.ends)
		c.made = append(c.made, d.ends)
	}
	var pieces [][]int
	for _, part := range loops {
		pieces = append(pieces, c.cut(part)...)
	}
	return pieces
}

// hullLoop returns the corners of a loop that are on its convex hull.
func (c *cutter) hullLoop(loop []int) []int {
	hull := c.piece(loop).Hull()
	return slices.DeleteFunc(slices.Clone(loop), func(i int) bool {
		return !slices.Contains(hull.Corners, c.polygon.Corners[i])
	})
}

// takeBack joins pieces again where the joint piece is convex, across the longest
// cuts first. Of cuts that mirror each other and are needless one by one, but not
// both, it takes back none. Keys of a cut are compared anew, with the first left out and the
// longest first.
func (c *cutter) takeBack(whole []int, pieces [][]int) [][]int {
	var cuts []diagonal
	for _, ends := range c.made {
		i, j, _ := across(whole, ends)
		d := c.measure(whole, i, j)
		// Least is best everywhere else.
		d.keys[0], d.keys[1] = 0, -d.keys[1]
		cuts = append(cuts, d)
	}
	for len(cuts) > 0 {
		// Mirror images are tried together.
		group := c.least(cuts)
		cuts = slices.DeleteFunc(cuts, func(d diagonal) bool { return slices.Contains(group, d) })
		needless := slices.DeleteFunc(group, func(d diagonal) bool {
			_, ok := c.joinAll(pieces, []diagonal{d})
			return !ok
		})
		if joined, ok := c.joinAll(pieces, needless); ok {
			pieces = joined
		}
	}
	return pieces
}

// joinAll joins pieces across all of some cuts; it reports false when that leaves one
// that is not convex. All or none: the pieces given stay as they are where one joint is not convex.
func (c *cutter) joinAll(pieces [][]int, cuts []diagonal) ([][]int, bool) {
	for _, d := range cuts {
		var joined []int
		rest := slices.DeleteFunc(slices.Clone(pieces), func(loop []int) bool {
			i, j := slices.Index(loop, d.ends[0]), slices.Index(loop, d.ends[1])
			if i < 0 || j < 0 {
				return false
			}
			// Of the two pieces at the cut one runs from the first end to the
			// second, the other one back. Leave the last corner of each to the next.
			if (i+1)%len(loop) == j {
				i, j = j, i
			}
			if (j+1)%len(loop) != i {
				return false
			}
			for k := i; k != j; k = (k + 1) % len(loop) {
				joined = append(joined, loop[k])
			}
			return true
		})
		if len(rest) != len(pieces)-2 || !c.piece(joined).IsConvex() {
			return pieces, false
		}
		pieces = append(rest, joined)
	}
	return pieces, true
}

// piece is the polygon of a loop, with the corners of the whole, unchanged.
func (c *cutter) piece(loop []int) Polygon {
	corners := make([]r2.Point, len(loop))
	for k, i := range loop {
		corners[k] = c.polygon.Corners[i]
	}
	return Polygon{Corners: corners}
}

// split cuts the loop that diagonal d runs through in two. Both parts have both ends of the
// diagonal. A loop that does not have them is left alone.
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

// choose returns the diagonal of a list to cut a loop at, or two that mirror each
// other. A cut that ends at no reflex corner of the loop helps nothing: that may be so of a
// diagonal whose corner another cut has mended.
func (c *cutter) choose(loop []int, list [][2]int) []diagonal {
	var useful []diagonal
	// Both ends have to be in the loop, and not neighbours.
	for _, d := range list {
		if i, j, ok := across(loop, d); ok {
			if cut := c.measure(loop, i, j); cut.useful {
				useful = append(useful, cut)
			}
		}
	}
	return apart(c.least(useful))
}

// least returns the diagonals with the least keys, the first key first. Those with
// the same keys but for rounding mirror each other. Sorted by place, so that the result does not
// depend on the order of the list.
func (c *cutter) least(diagonals []diagonal) []diagonal {
	best := slices.Clone(diagonals)
	for key := range len(diagonal{}.keys) {
		least := math.Inf(1)
		for _, d := range best {
			least = math.Min(least, d.keys[key])
		}
		best = slices.DeleteFunc(best, func(d diagonal) bool { return d.keys[key] > least+c.small })
	}
	slices.SortFunc(best, func(d, e diagonal) int {
		return cmp.Or(comparePoints(d.low, e.low), comparePoints(d.high, e.high))
	})
	return best
}

// apart returns the diagonals that do not cross one before them.
func apart(diagonals []diagonal) []diagonal {
	var chosen []diagonal
	for _, d := range diagonals {
		if !slices.ContainsFunc(chosen, d.crosses) {
			chosen = append(chosen, d)
		}
	}
	return chosen
}

// crosses tells whether two cuts meet but at a shared end.
func (d diagonal) crosses(e diagonal) bool {
	return d.low != e.low && d.low != e.high && d.high != e.low && d.high != e.high &&
		segmentsCross(d.low, d.high, e.low, e.high, 0)
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

// measure gives a diagonal of a loop the keys that it is compared by.
func (c *cutter) measure(loop []int, i, j int) diagonal {
	d := diagonal{ends: [2]int{loop[i], loop[j]}}
	d.low, d.high = c.polygon.Corners[loop[i]], c.polygon.Corners[loop[j]]
	if d.high.Y < d.low.Y || d.high.Y == d.low.Y && d.high.X < d.low.X {
		d.low, d.high = d.high, d.low
	}
	piece := c.piece(loop)
	d.useful = piece.reflex(i) || piece.reflex(j)
	e := d.high.Sub(d.low)
	// Its sign tells left from right, so keys only use its size.
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
