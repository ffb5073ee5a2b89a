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

// held are boxes that keep an arrangement from being an answer, none where it is one or the search
// ended before that was known. That is the planner's word, which finds ways and does not prove that there
// is none: barred does that.
func (g *gate) held(spots []model.Spot) []int {
	boxes, err := entry.Held(g.ctx, g.m.Problem, g.m.Layout(spots), g.tool)
	if g.failed(err) {
		return nil
	}
	return boxes
}

// barred returns boxes for which it is certain that no arrangement in which they are within ranges of
// their places, with a spare of at least clear, goes in, wherever the others are; none where that is
// not certain, or the search ended before it was known. The places in spots are overwritten with the
// middles of the ranges. Each box is looked at with half its range as slack, so one answer covers all
// places at once.
func (g *gate) barred(spots []model.Spot, ranges [][3]r1.Interval, clear float64) []int {
	slack := make([]r3.Vector, len(ranges))
	for i, e := range ranges {
		spots[i].At = r3.Vector{X: e[0].Center(), Y: e[1].Center(), Z: e[2].Center()}
		slack[i] = r3.Vector{X: e[0].Length(), Y: e[1].Length(), Z: e[2].Length()}.Mul(0.5).Add(pad)
	}
	boxes, err := entry.Barred(g.ctx, g.m.Problem, g.m.Layout(spots), slack, math.Max(0, clear-clearError), g.tool)
	if g.failed(err) {
		return nil
	}
	return boxes
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
	v.work += model.PerEntry * model.Effort(len(n.boxes))
	if b, ok := v.byEntry(n, v.gate.held(n.spots())); ok {
		v.barred = true
		v.look(n, &b, depth, level, math.Inf(1))
		return v.branch(n, b, depth, level)
	}
	// No layout has more to spare than the cutoff where the program with that spare has no
	// solution.
	found, rests, none := v.ranges(n)
	if found == nil {
		v.learnt.learn(none, v.path, nil)
		return none, true
	}
	v.work += model.PerEntry * model.Effort(len(n.boxes))
	if boxes := v.gate.barred(n.spots(), found, v.cutoff); boxes != nil {
		v.barred = true
		used = v.reason(n, boxes, found, rests)
		v.learnt.learn(used, v.path, nil)
		return used, true
	}
	i, axis := v.toHalve(n, found)
	if v.halvings == 0 || found[i][axis].Length() < leastRange {
		return v.giveUp(n), true
	}
	// Counted for the whole search, so that it ends.
	v.halvings--
	up := geom.WithComponent(r3.Vector{}, axis, 1)
	at := found[i][axis].Center()
	var halves branching
	for _, f := range []model.Plane{{N: up, D: at}, {N: up.Mul(-1), D: -at}} {
		halves.children = append(halves.children, child{open: true, decision: decision{
			choice: choice{of: model.Relation{Sort: model.OfPlace, I: i}, n: f.N, least: f.D, fixed: true},
		}})
	}
	return v.branch(n, halves, depth, level)
}

// reason is what it rests on that some boxes are barred wherever they are in their ranges: their poses,
// and what limits the ranges. Where as much is barred with the whole room that walls leave a box along
// an axis, its range there has no part in it. So few decisions are left, and wherever these come
// together again nothing goes in: what is learnt is of sets of poses and places.
func (v *prover) reason(n *node, boxes []int, found ranges, rests [][3]depths.Set) (used depths.Set) {
	wide := v.anywhere(n)
	for _, i := range boxes {
		used = used.Or(n.mask[i])
		wide[i] = found[i]
	}
	for _, i := range boxes {
		room := placesOf(v.m, n.boxes[i].kind, n.boxes[i].poses[0], v.cutoff)
		for a := range 3 {
			narrow := wide[i][a]
			in := room.Extent(model.AxesOfVehicle[a])
			wide[i][a] = narrow.Union(in)
			v.work += model.PerEntry * model.Effort(len(boxes))
			if v.gate.barred(n.spots(), wide, v.cutoff) == nil {
				wide[i][a] = narrow
				used = used.Or(rests[i][a])
			}
		}
	}
	return used
}

// anywhere are ranges so wide that a box in them is in nobody's way.
func (v *prover) anywhere(n *node) ranges {
	all := make(ranges, len(n.boxes))
	for i := range all {
		for a := range 3 {
			all[i][a] = r1.Interval{Lo: -8 * v.m.Size, Hi: 8 * v.m.Size}
		}
	}
	return all
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
func (v *prover) toHalve(n *node, found ranges) (box, axis int) {
	stuck := v.gate.held(n.spots())
	if len(stuck) == 0 {
		for i := range found {
			stuck = append(stuck, i)
		}
	}
	box = stuck[0]
	decides := false
	for _, i := range stuck {
		for a := range 3 {
			whole := found[i][a]
			if whole.Length() < leastRange || decides && whole.Length() <= found[box][axis].Length() {
				continue
			}
			found[i][a] = r1.IntervalFromPoint(geom.Component(n.at[i], a))
			v.work += model.PerEntry * model.Effort(len(n.boxes))
			alone := v.gate.barred(n.spots(), found, v.cutoff) != nil
			found[i][a] = whole
			if alone && !decides || alone == decides && whole.Length() > found[box][axis].Length() {
				box, axis, decides = i, a, alone
			}
		}
	}
	return box, axis
}

// ranges are, by box and axis, where boxes can be.
type ranges [][3]r1.Interval

// ranges bound the places of the boxes in all layouts that agree with a node and have more
// spare than the cutoff, and tell what each rests on; without ranges what it rests on that there are no
// such layouts. They take six programs for each box, which is why bar comes last of all that is tried.
func (v *prover) ranges(n *node) (found ranges, rests [][3]depths.Set, none depths.Set) {
	boxes := len(n.boxes)
	lo, hi := v.limits()
	// The column of the spare.
	lo[3*boxes] = v.cutoff
	found, rests = make(ranges, boxes), make([][3]depths.Set, boxes)
	objective := make([]float64, len(lo))
	for i := range boxes {
		for a := range 3 {
			k := 3*i + a
			objective[k] = 1
			most, up := v.most(n, objective, lo, hi)
			if math.IsInf(most, -1) {
				return nil, nil, up
			}
			objective[k] = -1
			least, down := v.most(n, objective, lo, hi)
			if math.IsInf(least, -1) {
				return nil, nil, down
			}
			objective[k] = 0
			found[i][a] = r1.Interval{Lo: max(-least, lo[k]), Hi: min(most, hi[k])}
			rests[i][a] = up.Or(down)
		}
	}
	return found, rests, none
}

// most is a bound, with rounding accounted for, on an objective under the rows of a node, and the
// decisions that it rests on; −Inf when they leave nothing. The objective may be any; the node's own
// program, which maximises the spare, stays as it is.
func (v *prover) most(n *node, objective, lo, hi []float64) (float64, depths.Set) {
	s := lp.New(objective, lo, hi)
	for _, row := range n.lp.Rows() {
		s.Push(row)
	}
	s.Solve(math.Inf(-1))
	v.work += model.Effort(s.Work)
	for len(v.y) < len(n.rows) {
		v.y = append(v.y, 0)
	}
	bound := s.SafeBound(v.y)
	return bound, n.restsOf(v.y)
}
