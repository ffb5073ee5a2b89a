package proof

import (
	"context"
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/entry"
	"rackwright/pack/lp"
	"rackwright/pack/search/internal/depths"
	"rackwright/pack/search/model"
)

// A node whose best arrangement does not go in is not done with: others that agree with its
// choices may. It is refuted where it is certain that none of those with more spare than the
// cutoff goes in: the node's program bounds where their boxes are, and entry.Barred looks at
// all of these places at once. Else the places are halved, and each half is a node.

// gate answers whether arrangements go in. It is nil for a search that does not ask.
//
// It belongs to one prover. An error of entry is not returned down the tree: it ends the search as
// a whole, so failed keeps it and every question then gets the answer that concludes nothing.
type gate struct {
	m      *model.Model
	ctx    context.Context
	tool   entry.Settings
	failed func(error) bool // tells whether there is an error, which then is told
}

// goesIn tells whether an arrangement goes in, and which boxes are stuck in it; that it does where the
// search ended before that was known. That is the planner's word, which finds ways and does not
// prove that there is none: barred does that.
func (g *gate) goesIn(spots []model.Spot) (ok bool, stuck []int) {
	ok, why, err := entry.GoesIn(g.ctx, g.m.Problem, g.m.Layout(spots))
	if g.failed(err) {
		return true, nil
	}
	for i, at := range g.m.Layout(spots).Placements {
		for _, part := range why.Boxes {
			if part == at.Part() {
				stuck = append(stuck, i)
			}
		}
	}
	return ok, stuck
}

// barred tells whether no arrangement within ranges of the places, with a spare of at least
// clear, goes in; not where the search ended before that was known. The places in spots are
// overwritten with the middles of the ranges. Each box is looked at with half its range as slack,
// so one answer covers all places at once.
func (g *gate) barred(spots []model.Spot, ranges [][3]r1.Interval, clear float64) bool {
	slack := make([]r3.Vector, len(ranges))
	for i, e := range ranges {
		spots[i].At = r3.Vector{X: e[0].Center(), Y: e[1].Center(), Z: e[2].Center()}
		slack[i] = r3.Vector{X: e[0].Length(), Y: e[1].Length(), Z: e[2].Length()}.Mul(0.5).Add(pad)
	}
	ok, err := entry.Barred(g.ctx, g.m.Problem, g.m.Layout(spots), slack, math.Max(0, clear-clearError), g.tool)
	return !g.failed(err) && ok
}

// pad is added to what boxes may be off their places, and clearError taken off the spare
// that they certainly have: far more than rounding, which is below 1e-9 mm, far less than
// matters.
var pad = r3.Vector{X: 1e-6, Y: 1e-6, Z: 1e-6}

// Taking less for certain than is so only makes what is barred harder to show.
const clearError = 1e-6

// asksEntry tells whether layouts have to go in to count: with less than nothing to spare boxes
// overlap, and whether they go in is not asked. It turns on once and stays on: the cutoff never
// falls.
func (v *prover) asksEntry() bool { return v.gate != nil && asksEntry(v.cutoff) }

func asksEntry(cutoff float64) bool { return cutoff >= -2*ProvenWithin }

// bar decides a node in which no relation is broken and whose arrangement is no answer.
//
// It returns, like descend, what the refutation rests on. Where places are barred that is every
// decision, for the ranges come from all rows of the program.
func (v *prover) bar(n *node, depth, level int) (used depths.Set, whole bool) {
	if v.gate != nil && !v.asksEntry() {
		v.handBack(n.value) // to be looked at as soon as it is asked
		return depths.Set{}, false
	}
	if v.gate == nil || depth >= depths.Max-1 {
		return v.giveUp(n), true
	}
	// The planner may find a way in for the very places of the node.
	spots := n.spots()
	// Exact distances: the node's own value may be more than the layout has.
	if v.adopt(spots, v.m.SharpLeft(spots)) {
		if used, shut := v.refute(n, v.cutoff); shut {
			return used, true
		}
	}
	// No layout has more to spare than the cutoff where the program with that spare has no
	// solution.
	ranges, some := v.ranges(n)
	if !some {
		return depths.Set{}.Inverted(), true
	}
	v.work += model.PerEntry * model.Effort(len(n.boxes))
	if v.gate.barred(n.spots(), ranges, v.cutoff) {
		v.barred = max(v.barred, n.value)
		return depths.Set{}.Inverted(), true
	}
	i, axis := v.toHalve(n, ranges)
	if v.halvings == 0 || ranges[i][axis].Length() < leastRange {
		return v.giveUp(n), true
	}
	// Counted for the whole search, so that it ends.
	v.halvings--
	whole = true
	up := geom.WithComponent(r3.Vector{}, axis, 1)
	at := ranges[i][axis].Center()
	for _, f := range []model.Plane{{N: up, D: at}, {N: up.Mul(-1), D: -at}} {
		_, one := v.into(n, child{decision: decision{
			choice: choice{of: model.Relation{Sort: model.OfPlace, I: i}, n: f.N, least: f.D, fixed: true},
		}}, depth, level)
		whole = whole && one
	}
	return depths.Set{}.Inverted(), whole
}

// spots are the places of a node with every pose settled. Only bar and accept ask, which come after
// the last pose has been settled.
func (n *node) spots() []model.Spot {
	spots := make([]model.Spot, len(n.boxes))
	for i, x := range n.boxes {
		spots[i] = model.Spot{Pose: x.poses[0], At: n.at[i]}
	}
	return spots
}

// toHalve is the coordinate to halve, of the boxes that are stuck where the node's places
// are, or of all where none is: one that alone keeps it from being certain that nothing goes
// in, or else that with the widest range. The trial takes a range away as if its box were pinned to
// the node's place. What then is barred shows where the doubt comes from; it concludes nothing.
func (v *prover) toHalve(n *node, ranges [][3]r1.Interval) (box, axis int) {
	_, stuck := v.gate.goesIn(n.spots())
	if len(stuck) == 0 {
		for i := range ranges {
			stuck = append(stuck, i)
		}
	}
	box = stuck[0]
	decides := false
	for _, i := range stuck {
		for a := range 3 {
			whole := ranges[i][a]
			if whole.Length() < leastRange || decides && whole.Length() <= ranges[box][axis].Length() {
				continue
			}
			ranges[i][a] = r1.IntervalFromPoint(geom.Component(n.at[i], a))
			v.work += model.PerEntry * model.Effort(len(n.boxes))
			alone := v.gate.barred(n.spots(), ranges, v.cutoff)
			ranges[i][a] = whole
			if alone && !decides || alone == decides && whole.Length() > ranges[box][axis].Length() {
				box, axis, decides = i, a, alone
			}
		}
	}
	return box, axis
}

// ranges bound the places of the boxes in all layouts that agree with a node and have more
// spare than the cutoff; false when there are none. They take six programs for each box, which is
// why bar comes last of all that is tried.
func (v *prover) ranges(n *node) ([][3]r1.Interval, bool) {
	boxes := len(n.boxes)
	lo, hi := v.limits()
	// The column of the spare.
	lo[3*boxes] = v.cutoff
	ranges := make([][3]r1.Interval, boxes)
	objective := make([]float64, len(lo))
	for i := range boxes {
		for a := range 3 {
			k := 3*i + a
			objective[k] = 1
			most := v.most(n, objective, lo, hi)
			objective[k] = -1
			least := v.most(n, objective, lo, hi)
			objective[k] = 0
			if math.IsInf(most, -1) || math.IsInf(least, -1) {
				return nil, false
			}
			ranges[i][a] = r1.Interval{Lo: max(-least, lo[k]), Hi: min(most, hi[k])}
		}
	}
	return ranges, true
}

// most is a bound, with rounding accounted for, on an objective under the rows of a node;
// −Inf when they leave nothing. The objective may be any; the node's own program, which maximises
// the spare, stays as it is.
func (v *prover) most(n *node, objective, lo, hi []float64) float64 {
	s := lp.New(objective, lo, hi)
	for _, row := range n.lp.Rows() {
		s.Push(row)
	}
	s.Solve(math.Inf(-1))
	v.work += model.Effort(s.Work)
	return s.SafeBound(make([]float64, len(n.lp.Rows())))
}
