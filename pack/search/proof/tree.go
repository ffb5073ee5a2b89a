package proof

import (
	"cmp"
	"context"
	"math"
	"slices"
	"unsafe"

	"github.com/golang/geo/r3"

	"rackwright/pack/entry"
	"rackwright/pack/search/model"
)

// Tree is the tree of choices, as far as it is not worked through. That goes in rounds. In each the
// tasks with the greatest bounds are explored, every one with the same cutoff and with a fixed
// amount of work; then what they found and what they left open is gathered in order. So the
// result does not depend on the workers.
//
// It is not safe for several goroutines; within Round it starts some itself through
// Settings.AtOnce.
type Tree struct {
	asks     Settings
	m        *model.Model
	inside   *Inside
	tasks    []task // what is not explored, greatest bound first
	provers  []*prover
	Bytes    int                // that the tasks take, roughly
	halvings int                // how often places may still be halved
	clauses  [][][]model.Clause // of parts and solids of the frame; see Inside.within
	tools    *tools
	ways     *ways
	asked    bool // tools were asked for
	Stuck    float64
	Barred   bool // something was refuted for not going in
	Work     model.Effort
}

// Settings says how a tree is worked through. It holds functions of the caller's, so that this
// package asks for ways in and for workers without knowing how a search is run.
type Settings struct {
	// depthFirst has the deepest tasks explored first, not those with the greatest bounds: for a
	// tree that asks only whether anything fits.
	DepthFirst bool
	Memory     int                                                              // bytes that the tasks may take before those are explored first that are soonest done
	Ctx        context.Context                                                  // ends what asks for ways in
	Failed     func(error) bool                                                 // tells whether there is an error, and keeps it
	Tool       entry.Settings                                                   // of what goes in
	AnyEntry   bool                                                             // what does not go in counts as well
	Enters     func(spots []model.Spot, spare float64, work *model.Effort) bool // tells whether an arrangement is an answer
	AtOnce     func(n int, do func(k int))                                      // calls do with 0 … n−1, at the same time as far as there are workers
}

// decisionBytes is what a decision of a task takes in memory.
const decisionBytes = int(unsafe.Sizeof(decision{}))

// New is the tree of a problem, none of whose layouts has a spare above bound. It has nothing to
// explore where the tables of a proof cannot hold the problem. Stuck begins at the floor of the
// bodies: nothing below it may ever be claimed.
func New(m *model.Model, in *Inside, bound float64, a Settings) *Tree {
	t := &Tree{
		asks: a, m: m, inside: in, provers: make([]*prover, tasksARound), halvings: mostHalvings,
		Stuck: in.Floor,
	}
	if provable(m) {
		t.tasks = []task{{bound: bound}}
	}
	return t
}

// Left is how many tasks are left to explore.
func (t *Tree) Left() int { return len(t.tasks) }

// Bound is the greatest spare that a layout may have of which the tree knows nothing: of what is
// not explored, or could not be decided.
func (t *Tree) Bound() float64 {
	if len(t.tasks) > 0 {
		return max(t.Stuck, t.tasks[0].bound)
	}
	return t.Stuck
}

// End leaves what is not explored. The bound is then what could not be decided, so only who no
// longer asks for it may end a tree.
func (t *Tree) End() { t.tasks = nil }

// Forget lets go of all that has been learnt. It frees most of the memory: nogoods and relaxed
// boxes.
func (t *Tree) Forget() { t.provers = nil }

// next takes tasks out: those with the greatest bounds, or, while the list takes more
// memory than it may, those with the least, which are soonest done. Clones, since the tasks of a
// round are appended to while others are still read.
func (t *Tree) next() (now, rest []task) {
	n := min(len(t.tasks), tasksARound)
	if t.asks.DepthFirst || t.Bytes > t.asks.Memory {
		at := len(t.tasks) - n
		return t.tasks[at:], slices.Clone(t.tasks[:at])
	}
	return t.tasks[:n], slices.Clone(t.tasks[n:])
}

// Round explores tasks for what has more to spare than cutoff, with so much work between them,
// and gives what it found.
//
// The cutoff may not fall from call to call: what has been refuted stays refuted. It returns
// layouts found, those that do not go in among them; which is which the caller asks for himself.
func (t *Tree) Round(cutoff float64, work model.Effort) (all []found) {
	if t.inside.made() == nil {
		return nil
	}
	if !t.useRoom(cutoff) {
		return nil
	}
	now, rest := t.next()
	halvings := min(halvingsATask, t.halvings/len(now))
	t.asks.AtOnce(len(now), func(k int) {
		if t.provers[k] == nil {
			t.provers[k] = newProver(t.m, t.inside, t.asks)
			t.provers[k].rel.inner, t.provers[k].rel.tools, t.provers[k].rel.pruned = t.clauses, t.tools, true
			t.provers[k].rel.ways = t.ways
			t.provers[k].usePoses()
			t.provers[k].useHull()
		}
		t.provers[k].reset(cutoff, work/model.Effort(len(now)))
		t.provers[k].halvings = halvings
		t.provers[k].explore(now[k])
	})
	// Before the results are gathered, while all provers rest.
	t.share()
	for _, v := range t.provers[:len(now)] {
		if v.best.Spots != nil {
			all = append(all, v.best)
		}
		if v.refused.Spots != nil {
			all = append(all, v.refused)
		}
		t.Work += v.work
		slices.Reverse(v.open) // the deepest come last, and are taken first where that matters
		rest = append(rest, v.open...)
		t.Stuck = max(t.Stuck, v.stuck)
		// What a task did not use is left for the next.
		t.halvings -= halvings - v.halvings
		t.Barred = t.Barred || v.barred
	}
	// Stable, so that tasks with the same bound keep their order.
	if !t.asks.DepthFirst {
		slices.SortStableFunc(rest, func(a, b task) int { return cmp.Compare(b.bound, a.bound) })
	}
	t.tasks, t.Bytes = rest, 0
	for _, one := range t.tasks {
		t.Bytes += len(one.path) * decisionBytes
	}
	return all
}

// useRoom makes the clauses with the frame, and again in the first round in which layouts have to go in:
// with the tools' room from then on, and without what was learnt before. It tells whether there are any:
// there are none where the search ended meanwhile.
func (t *Tree) useRoom(cutoff float64) bool {
	asks := !t.asks.AnyEntry && asksEntry(cutoff)
	if t.clauses != nil && t.asked == asks {
		return true
	}
	t.asked, t.clauses = asks, t.inside.within(cutoff)
	if asks {
		t.tools, t.ways = newTools(t.m), newWays(t.m, cutoff)
		t.Barred = t.ways != nil && slices.ContainsFunc(t.ways.leads, func(all []bool) bool { return slices.Contains(all, false) })
	}
	t.provers = make([]*prover, tasksARound)
	return t.clauses != nil
}

// AsksTools tells whether the tree knows the tools' room: what it says then is true of layouts in which
// they have it.
func (t *Tree) AsksTools() bool { return t.tools != nil }

// AsksEntry tells whether what the tree says is true of layouts that go in alone.
func (t *Tree) AsksEntry() bool { return t.asked }

// share tells every prover what the others have learnt. Provers that were never used are nil.
func (t *Tree) share() {
	var learnt []*memory
	for _, v := range t.provers {
		if v != nil {
			learnt = append(learnt, v.learnt)
		}
	}
	share(learnt)
}

// provable tells whether the tables of the proof can hold the problem. Beyond that sets of poses
// would not fit into poseSet; the pack's limits let no kind have more but for bare poses.
func provable(m *model.Model) bool {
	for _, ps := range m.Poses {
		if len(ps) == 0 || len(ps) > maxPoses {
			return false
		}
	}
	return true
}

// newProver is one that has seen nothing. The clauses are those of the whole floor; a tree gives it
// narrower ones.
func newProver(m *model.Model, in *Inside, a Settings) *prover {
	v := &prover{
		m: m, rel: newRelaxation(m, in.made()), sortBy: sortAxis(m),
		x: make([]float64, 3*len(m.Boxes)+1), enters: a.Enters, learnt: newMemory(),
	}
	for _, ps := range m.Poses {
		var all poseSet
		for p := range ps {
			all.add(p)
		}
		v.allowed = append(v.allowed, all)
	}
	v.middle, v.mirrored = m.Middle, m.Mirrored
	if !a.AnyEntry {
		v.gate = &gate{m, a.Ctx, a.Tool, a.Failed}
	}
	return v
}

// reset prepares a prover for a task: what it found and spent is gone, what it has learnt stays,
// for the cutoff is no lower.
func (v *prover) reset(cutoff float64, limit model.Effort) {
	v.best, v.refused = found{Spare: cutoff - ProvenWithin}, found{}
	v.cutoff = cutoff
	v.work, v.limit = 0, limit
	v.open, v.stuck, v.barred = nil, math.Inf(-1), false
	if len(v.rel.pairs) > mostPairs {
		clear(v.rel.sets)
		clear(v.rel.pairs)
	}
}

// sortAxis is the longer of the opening's x and z: boxes of a kind are ordered along it. Along the
// longer one boxes differ more, so the order says more.
func sortAxis(m *model.Model) r3.Vector {
	if m.Room[2].Length() > m.Room[0].Length() {
		return r3.Vector{Z: 1}
	}
	return r3.Vector{X: 1}
}
