package proof

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/search/improve"
	"rackwright/pack/search/internal/depths"
	"rackwright/pack/search/model"
)

// prover explores one part of the tree of choices, depth first. Where the optimum of a
// node's program breaks a relation, one of that relation's planes has to be chosen:
// these choices are the branches. It looks ahead along several relations, and along
// narrower sets of poses of a box, and branches where the least remains open. A
// refuted branch reports the decisions it rests on; what a refutation did not use is
// not tried in another way (conflict-directed backjumping, Prosser, Computational
// Intelligence 9 (1993)).
//
// A prover works alone; what several share is read only (m, the model, and the clauses in rel).
// Between tasks it keeps what it has learnt and the relaxed boxes, and forgets the rest (reset).
type prover struct {
	m        *model.Model
	rel      *relaxation
	allowed  []poseSet
	sortBy   r3.Vector
	hull     *hull // of the poses; nil where boxes count for the least that any pose asks for
	mirrored bool
	middle   float64
	nodes    []*node // by depth
	trials   []*node // scratch for looking ahead, by depth
	best     found
	refused  found // the best that is no answer, for not going in
	cutoff   float64
	work     model.Effort
	limit    model.Effort // of work, beyond which the rest is handed back
	open     []task
	path     []decision
	x, y     []float64 // scratch
	stuck    float64   // greatest bound of what could not be decided
	enters   func(spots []model.Spot, spare float64, work *model.Effort) bool
	gate     *gate // what else is known of going in
	barred   bool  // something was refuted for not going in
	halvings int   // left before a node whose arrangement does not go in stays undecided
	learnt   *memory
}

// found is an arrangement that is an answer. Spots is nil where nothing was found.
type found struct {
	Spots []model.Spot
	Spare float64
}

// task is a part of the tree: the decisions that lead to it, and its bound. Tasks share no layouts:
// their decisions are different branches. They are all that a tree remembers of itself.
type task struct {
	path  []decision
	bound float64
}

// branching is the branches of a node. Every layout below the node is in at least one of its
// children.
type branching struct {
	children []child
	rests    depths.Set // what the list of branches itself rests on
	score    float64
}

// child is a branch and what looking ahead knows of it.
type child struct {
	decision decision
	open     bool
	used     depths.Set // where it is not open
	by       *nogood    // that refutes it, where it was not asked of a program
	value    float64
}

// tolerance is by how much a node has to beat the best spare to be worth a look.
func (v *prover) tolerance() float64 { return ProvenWithin }

// ProvenWithin is how near in mm the bound comes to the best spare, which is then not asked for
// more. It is far less than any tape shows, and far more than rounding.
const ProvenWithin = 1e-6

// explore works through a task and returns the open parts it leaves. The path is gone down again
// from the root: a task holds decisions only, so that many of them fit into memory.
func (v *prover) explore(t task) {
	n := v.scratch(&v.nodes, 0)
	root := v.root()
	for depth, d := range t.path {
		v.apply(root, d, depth)
	}
	n.copyFrom(root)
	v.path = slices.Clone(t.path)
	for depth, d := range v.path {
		v.learnt.enter(d, depth)
	}
	defer func() {
		for depth, d := range t.path {
			v.learnt.leave(d, depth)
		}
	}()
	if open, _ := v.solve(n, v.cutoff); open {
		n.value = min(n.value, t.bound)
		v.descend(n, len(t.path), 0)
	}
}

// scratch is the node of a level, made when it is first needed. Levels count from where a task
// begins, depths from the root.
func (v *prover) scratch(list *[]*node, level int) *node {
	for len(*list) <= level {
		*list = append(*list, &node{})
	}
	return (*list)[level]
}

// descend decides everything below a solved node. It returns what the refutation of
// the node rests on; whole is false when a part was handed back instead. Handing back is not
// undecided: the part is explored in a later round, with its bound in the meantime.
func (v *prover) descend(n *node, depth, level int) (used depths.Set, whole bool) {
	if n.value <= v.cutoff {
		if used, shut := v.refute(n, v.cutoff); shut {
			return used, true
		}
	}
	if v.work >= v.limit || v.m.Ended() {
		v.handBack(n.value)
		return depths.Set{}, false
	}
	b, broken := v.choose(n, depth, level)
	if !broken {
		return v.accept(n, depth, level)
	}
	return v.branch(n, b, depth, level)
}

// branch goes down to the children of a branching.
//
// A child that rests on less than its own decision refutes the whole node, and the other children
// need not be looked at: that is backjumping.
func (v *prover) branch(n *node, b branching, depth, level int) (used depths.Set, whole bool) {
	if depth >= depths.Max-1 {
		return v.giveUp(n), true
	}
	used, whole = b.rests, true
	for _, c := range b.children {
		childUsed, childWhole := c.used, true
		if c.open {
			childUsed, childWhole = v.into(n, c, depth, level)
		}
		if childWhole && !childUsed.Has(depth) {
			return childUsed, true
		}
		whole = whole && childWhole
		used = used.Or(childUsed.Without(depth))
	}
	// What was handed back in part has not been refuted.
	if whole {
		v.learnt.learn(used, v.path, nil)
	}
	return used, whole
}

// into goes down to a child that looking ahead left open. No child has a greater value than its
// parent: rounding of the program may say so, the layouts do not.
func (v *prover) into(n *node, c child, depth, level int) (depths.Set, bool) {
	next := v.scratch(&v.nodes, level+1)
	next.copyFrom(n)
	v.apply(next, c.decision, depth)
	v.path = append(v.path, c.decision)
	v.learnt.enter(c.decision, depth)
	defer func() {
		v.path = v.path[:len(v.path)-1]
		v.learnt.leave(c.decision, depth)
	}()
	if open, used := v.solve(next, v.cutoff); !open {
		return used, true
	}
	next.value = min(next.value, n.value)
	return v.descend(next, depth+1, level+1)
}

// handBack leaves what is below the present path for a later round.
func (v *prover) handBack(bound float64) {
	v.open = append(v.open, task{slices.Clone(v.path), bound})
}

// accept takes the arrangement of a node in which no relation is broken. Where the true
// spare falls short of the node's value, bodies inside round solids are refined. Where it
// is no answer for not going in, see bar. The order is by cost: what improves the best, then what
// may refute, then arcs, then points, and ways in at last.
func (v *prover) accept(n *node, depth, level int) (used depths.Set, whole bool) {
	spots, spare := improve.Raise(v.m, n.spots(), &v.work)
	v.adopt(spots, spare)
	if used, shut := v.refute(n, v.cutoff); shut {
		return used, true
	}
	if b, ok := v.bySectors(n); ok {
		v.look(n, &b, depth, level, math.Inf(1))
		return v.branch(n, b, depth, level)
	}
	if v.refine(n) {
		return v.descend(n, depth, level)
	}
	return v.bar(n, depth, level)
}

// adopt takes an arrangement for the best so far, if it is an answer with more to spare, and
// tells whether it was.
func (v *prover) adopt(spots []model.Spot, spare float64) bool {
	if spare <= v.best.Spare || v.asksEntry() && spare < 0 {
		return false
	}
	if !v.enters(spots, spare, &v.work) {
		if v.refused.Spots == nil || spare > v.refused.Spare {
			v.refused = found{Spots: spots, Spare: spare}
		}
		return false
	}
	v.best = found{Spots: spots, Spare: spare}
	// A prover's own cutoff rises within a round; those of the others only with the next, so that
	// the result does not depend on who was first.
	v.cutoff = max(v.cutoff, spare+v.tolerance())
	return true
}

// giveUp counts a node as undecided: its value limits how far the bound can fall.
// Nothing may be concluded from it, so it rests on every decision. That keeps whatever is above it
// from being concluded, and learnt.
func (v *prover) giveUp(n *node) depths.Set {
	v.stuck = max(v.stuck, n.value)
	return depths.Set{}.Inverted()
}

// choose finds the branching of a node; broken is false when no relation is broken
// and every pose is settled. With the hull of the poses in the program, poses come last:
// which of them a box takes hardly lowers the value as long as boxes lie in each other, and
// each such split would have everything below it done once more. Without it boxes are far
// too small until their poses are settled.
//
// A branching all of whose children are refuted scores 0 and ends the choice at once.
func (v *prover) choose(n *node, depth, level int) (best branching, broken bool) {
	best.score = math.Inf(1)
	relations := v.broken(n)
	consider := func(b branching) bool {
		v.look(n, &b, depth, level, best.score)
		if b.score < best.score {
			best = b
		}
		return b.score == 0
	}
	for _, r := range relations[:min(len(relations), relationsAhead)] {
		if consider(v.byPlanes(n, r.of)) {
			return best, true
		}
	}
	// In large problems, which have no weights, poses compete with planes from the beginning.
	if len(relations) == 0 || v.hull == nil {
		for _, b := range v.byPoses(n) {
			if consider(b) {
				return best, true
			}
		}
	}
	for _, b := range v.notPassing(n) {
		if consider(b) {
			return best, true
		}
	}
	slices.SortStableFunc(best.children, func(a, b child) int { return cmp.Compare(b.value, a.value) })
	return best, !math.IsInf(best.score, 1)
}

// breach is a clause that the places of a node break, and by how much. Lack is in mm of spare, or
// of distance where a clause asks for no spare.
type breach struct {
	of   model.Relation
	lack float64
}

// broken lists the broken relations, worst first. All relations are looked at, not only those of
// boxes that moved: it is little beside a program. Clauses without planes are those that the set of
// poses says nothing of.
func (v *prover) broken(n *node) []breach {
	var all []breach
	v.work.Relations(len(n.boxes) * (len(n.boxes) + len(v.rel.inner[n.boxes[0].kind][0])))
	look := func(of model.Relation) {
		p := n.place(of)
		for which, c := range v.clausesFor(n, of) {
			if len(c.Planes) == 0 {
				continue
			}
			if lack := lackOf(&c, p, n.value); lack > leastBreach {
				of.Which = which
				all = append(all, breach{of, lack})
			}
		}
	}
	for i := range n.boxes {
		look(model.Relation{Sort: model.OfSolid, I: i})
		look(model.Relation{Sort: model.OfFiner, I: i})
		for j := range i {
			look(model.Relation{Sort: model.OfBoxes, I: i, J: j})
		}
	}
	slices.SortStableFunc(all, func(a, b breach) int { return cmp.Compare(b.lack, a.lack) })
	return all
}

// byPlanes branches on the planes of a relation. A clause is an OR of its planes, so these branches
// cover everything; they may overlap.
func (v *prover) byPlanes(n *node, of model.Relation) branching {
	b := branching{rests: n.masks(of)}
	fixed := of.Sort == model.OfFiner
	for _, f := range v.clausesFor(n, of)[of.Which].Planes {
		b.children = append(b.children, child{decision: decision{
			choice: choice{of: of, n: f.N, k: f.K, least: f.D, fixed: fixed},
		}})
	}
	return b
}

// byPoses branches on the poses of an unsettled box, of the first few: by how far the case
// extends along each axis, or by pose where that is settled. Halves by length first, since a set
// whose members are equally long along an axis asks for more there.
func (v *prover) byPoses(n *node) []branching {
	var all []branching
	boxes := 0
	for i, x := range n.boxes {
		if x.single() || boxes == boxesAhead {
			continue
		}
		boxes++
		before := len(all)
		for axis := range 3 {
			if parts := v.split(x, axis); len(parts) > 1 {
				all = append(all, v.bySets(n, i, parts))
			}
		}
		if len(all) == before {
			all = append(all, v.bySets(n, i, x.apart()))
		}
	}
	return all
}

// apart is each pose of a box alone.
func (x *relaxed) apart() []poseSet {
	parts := make([]poseSet, len(x.poses))
	for k, p := range x.poses {
		parts[k].add(p)
	}
	return parts
}

// bySets branches on sets of poses of box i, which together have to be all that it has left.
func (v *prover) bySets(n *node, i int, parts []poseSet) branching {
	b := branching{rests: n.mask[i]}
	for _, s := range parts {
		b.children = append(b.children, child{decision: decision{turn: true, box: i, set: s}})
	}
	return b
}

// split groups the poses of a box by the half size of the case along an axis of the
// pose and by its tilt. Axes are the pose's own: without a tilt those of the vehicle.
func (v *prover) split(x *relaxed, axis int) []poseSet {
	type key struct {
		half float64
		axes [3]r3.Vector
	}
	var keys []key
	var parts []poseSet
	for _, p := range x.poses {
		q := v.m.Poses[x.kind][p]
		k := key{geom.Component(q.Parts[0].Half, axis), q.Axes}
		i := slices.Index(keys, k)
		if i < 0 {
			i = len(keys)
			keys, parts = append(keys, k), append(parts, poseSet{})
		}
		parts[i].add(p)
	}
	return parts
}

// look solves every child of a branching and scores it: the expected work below,
// which is less the further the children's values fall towards the cutoff. It gives up
// where that is no less than enough. What refutes a child on the way is learnt, as it is below.
func (v *prover) look(n *node, b *branching, depth, level int, enough float64) {
	trial := v.scratch(&v.trials, 0)
	b.score = 0
	for k := range b.children {
		if b.score >= enough {
			return
		}
		c := &b.children[k]
		c.value = math.Inf(-1)
		if c.used, c.by = v.learnt.refuted(c.decision, depth); c.by != nil {
			continue
		}
		trial.copyFrom(n)
		v.apply(trial, c.decision, depth)
		c.open, c.used = v.solve(trial, v.cutoff)
		if !c.open {
			v.learnt.learn(c.used, v.path, &c.decision)
		}
		if c.open {
			c.value = min(trial.value, n.value)
			// A child near the cutoff has little below it, one as high as its parent counts 1. The
			// least keeps children that are all but refuted from counting for nothing.
			b.score += math.Pow(max(1e-3, (c.value-v.cutoff)/(n.value-v.cutoff)), workGrowth)
		}
	}
}

// refute tells whether the program's multipliers prove, rounding included, that the
// node has no layout with a spare above the cutoff, and what decisions they rest on. 1e-9 mm is
// what the bound may be above the cutoff by its own rounding.
func (v *prover) refute(n *node, cutoff float64) (used depths.Set, shut bool) {
	for len(v.y) < len(n.rows) {
		v.y = append(v.y, 0)
	}
	if n.lp.SafeBound(v.y) > cutoff+1e-9 {
		return depths.Set{}, false
	}
	return n.restsOf(v.y), true
}

// restsOf is what the rows with multipliers rest on.
func (n *node) restsOf(y []float64) (used depths.Set) {
	for k, r := range n.rows {
		if y[k] > 0 {
			used = used.Or(r.rests)
		}
	}
	return used
}

// readPlaces takes the places of the boxes out of the program's solution; weights are of no use
// outside of it.
func (v *prover) readPlaces(n *node) {
	n.lp.X(v.x)
	x := v.x
	for i := range n.at {
		n.at[i] = r3.Vector{X: x[3*i], Y: x[3*i+1], Z: x[3*i+2]}
	}
	for k := range n.legs {
		for leg := range n.legs[k] {
			if v.rel.ways != nil {
				n.legs[k][leg] = x[v.legColumn(k)+leg]
			}
		}
	}
}
