package model

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// Sharp is Best with the exact direction to a round solid: the plane square to the
// shortest line between the part and the solid. The part's box is p's, placed at at. Where the fan
// has a direction that is as good, the clause's own plane is the answer.
func (c Clause) Sharp(p *Pose, at r3.Vector) (float64, Plane) {
	left, f := c.Best(at)
	if c.Round == nil {
		return left, f
	}
	gap, u := geom.SheetGap(p.Solid(c.Part, at), c.Round)
	if gap-c.Gap <= left {
		return left, f
	}
	return gap - c.Gap, Plane{N: u.Mul(-1), D: p.Reach(c.Part, u) - c.Round.Extent(u).Lo + c.Gap, K: 1}
}

// SharpLeft is the spare of an arrangement in mm, with exact distances to round solids: the figure
// that the judge gives. What the fan of directions
// gives is never more, so only relations that would set the result are measured. See OrNothing.
func (m *Model) SharpLeft(spots []Spot) float64 {
	left := math.Inf(1)
	for i, s := range spots {
		left = min(left, m.sharpLoneLeft(i, s, left))
		for j := range i {
			left = min(left, m.PairLeft(j, spots[j], i, s))
		}
	}
	return OrNothing(left, geom.Tolerance/2)
}

// OrNothing is 0 for what falls short of it by no more than slack: rounding is not held against
// the builder. A spare gets half of geom.Tolerance, so that the judge, who reckons in another way,
// gives 0 as well; a bound gets all of it, so that what the judge takes for a fit is below none.
func OrNothing(mm, slack float64) float64 {
	if mm < 0 && mm >= -slack {
		return 0
	}
	return mm
}

// sharpLoneLeft is LoneLeft with exact distances, or limit where it is not less. The limit makes it
// cheap: an exact distance to a round solid is a search of its own, a plane is three products.
func (m *Model) sharpLoneLeft(i int, s Spot, limit float64) float64 {
	p := m.PoseOf(i, s)
	for _, f := range m.Walls[p.Kind][s.Pose] {
		limit = min(limit, f.Left(s.At))
	}
	for _, c := range m.Solids[p.Kind][s.Pose] {
		if c.Left(s.At) < limit {
			l, _ := c.Sharp(p, s.At)
			limit = min(limit, l)
		}
	}
	return limit
}

// Rounding is the spare in millimetres that rounding may cost: nothing that counts. It is not
// geom.Tolerance, though the number is the same: that one is of single distances, this is how far
// programs may miss.
const Rounding = 1e-9
