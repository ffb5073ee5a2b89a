package proof

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/search/model"
)

// A node may break no relation with the flat bodies inside round solids, and still come
// too close to the solids themselves. Then the body gets more points where the box
// touches it, and the relation a further clause, which the node breaks. What was
// branched on before stays as it was: a place that keeps clear of the body by a plane of
// before may keep clear of the grown one by a plane that only that has, so nothing more
// may be asked of the old plane.

// roundKey names a round solid with what it requires. The points are shared by all boxes and poses
// that keep the same gap: where one touches others often will.
type roundKey struct {
	solid geom.Solid
	gap   float64
}

// refine adds clauses that the places of a node without an unsettled box break. It
// tells whether there is one. All solids that are too near are refined at once; the next program
// may then avoid all of them.
func (v *prover) refine(n *node) bool {
	refined := false
	for i, x := range n.boxes {
		p := x.poses[0]
		for k, c := range v.m.Solids[x.kind][p] {
			if c.Round == nil {
				continue
			}
			if left, f := c.Sharp(v.m.Poses[x.kind][p], n.at[i]); n.value-left > leastBreach {
				refined = v.rel.refineOne(x, k, f.N, n.at[i], n.value) || refined
			}
		}
	}
	return refined
}

// refineOne adds a clause for solid k of a box that touches it in direction u, seen
// from the solid. It tells whether a box at a place breaks the clause at a spare.
//
// It replaces x.finer and does not change it: other nodes may hold the old list.
func (r *relaxation) refineOne(x *relaxed, k int, u, at r3.Vector, spare float64) bool {
	outer := r.m.Solids[x.kind][x.poses[0]][k]
	key := roundKey{outer.Round, outer.Gap}
	// Beyond that the node stays undecided, with its value.
	if len(r.near[key]) >= mostAddedPoints {
		return false
	}
	r.near[key] = append(r.near[key], angleAround(outer, u))
	c := faceted{}.clause(r.m.Poses[x.kind][x.poses[0]], outer, ringAngles(r.near[key]))
	if spare-c.Left(at) <= leastBreach {
		return false
	}
	x.finer = append(slices.Clone(x.finer), make([]model.Clause, len(x.solids)-len(x.finer))...)
	x.finer[k] = c
	return true
}

// angleAround is the angle of a direction around the axis of a clause's round solid. Only the angle
// counts: points are added to whole rings.
func angleAround(c model.Clause, u r3.Vector) float64 {
	q := coreOf(c)
	_, a, b := frameOf(q.from, q.to)
	return math.Atan2(u.Dot(b), u.Dot(a))
}
