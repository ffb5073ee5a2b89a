package search

import (
	"cmp"
	"context"
	"math"
	"slices"
	"unsafe"

	"github.com/golang/geo/r3"

	"rackwright/pack/search/model"
)

// tree is the tree of choices, as far as it is not worked through. That goes in rounds. In each the
// tasks with the greatest bounds are explored, every one with the same cutoff and with a fixed
// amount of work; then what they found and what they left open is gathered in order. So the
// result does not depend on the workers.
type tree struct {
	asks     asks
	m        *model.Model
	inside   *inside
	tasks    []task // what is not explored, greatest bound first
	provers  []*prover
	bytes    int // that the tasks take, roughly
	halvings int // how often places may still be halved
	stuck    float64
	barred   float64
	work     model.Effort
}

// asks says how a tree is worked through.
type asks struct {
	// depthFirst has the deepest tasks explored first, not those with the greatest bounds: for a
	// tree that asks only whether anything fits.
	depthFirst bool
	memory     int                                                              // bytes that the tasks may take before those are explored first that are soonest done
	ctx        context.Context                                                  // ends what asks for ways in
	failed     func(error) bool                                                 // tells whether there is an error, and keeps it
	anyEntry   bool                                                             // what does not go in counts as well
	enters     func(spots []model.Spot, spare float64, work *model.Effort) bool // tells whether an arrangement is an answer
	atOnce     func(n int, do func(k int))                                      // calls do with 0 … n−1, at the same time as far as there are workers
}

const (
	tasksARound = 8
	// perRound is the work in a round at least.
	perRound = 40_000_000
)

// mostPairs is how many pairs of sets of poses a prover keeps from task to task.
const mostPairs = 20000

// decisionBytes is what a decision of a task takes in memory.
const decisionBytes = int(unsafe.Sizeof(decision{}))

// newTree is the tree of a problem, none of whose layouts has a spare above bound. It has nothing to
// explore where the tables of a proof cannot hold the problem.
func newTree(m *model.Model, in *inside, bound float64, a asks) *tree {
	t := &tree{
		asks: a, m: m, inside: in, provers: make([]*prover, tasksARound), halvings: mostHalvings,
		stuck: in.floor, barred: math.Inf(-1),
	}
	if provable(m) {
		t.tasks = []task{{bound: bound}}
	}
	return t
}

// left is how many tasks are left to explore.
func (t *tree) left() int { return len(t.tasks) }

// bound is the greatest spare that a layout may have of which the tree knows nothing: of what is
// not explored, or could not be decided.
func (t *tree) bound() float64 {
	if len(t.tasks) > 0 {
		return max(t.stuck, t.tasks[0].bound)
	}
	return t.stuck
}

// end leaves what is not explored.
func (t *tree) end() { t.tasks = nil }

// forget lets go of all that has been learnt.
func (t *tree) forget() { t.provers = nil }

// next takes tasks out: those with the greatest bounds, or, while the list takes more
// memory than it may, those with the least, which are soonest done.
func (t *tree) next() (now, rest []task) {
	n := min(len(t.tasks), tasksARound)
	if t.asks.depthFirst || t.bytes > t.asks.memory {
		at := len(t.tasks) - n
		return t.tasks[at:], slices.Clone(t.tasks[:at])
	}
	return t.tasks[:n], slices.Clone(t.tasks[n:])
}

// round explores tasks for what has more to spare than cutoff, with so much work between them,
// and gives what it found.
func (t *tree) round(cutoff float64, work model.Effort) (all []found) {
	now, rest := t.next()
	halvings := min(halvingsATask, t.halvings/len(now))
	t.asks.atOnce(len(now), func(k int) {
		if t.provers[k] == nil {
			t.provers[k] = newProver(t.m, t.inside, t.asks)
			t.provers[k].useHull()
		}
		t.provers[k].reset(cutoff, work/model.Effort(len(now)))
		t.provers[k].halvings = halvings
		t.provers[k].explore(now[k])
	})
	t.share()
	for _, v := range t.provers[:len(now)] {
		if v.best.spots != nil {
			all = append(all, v.best)
		}
		t.work += v.work
		slices.Reverse(v.open) // the deepest come last, and are taken first where that matters
		rest = append(rest, v.open...)
		t.stuck = max(t.stuck, v.stuck)
		t.halvings -= halvings - v.halvings
		t.barred = max(t.barred, v.barred)
	}
	if !t.asks.depthFirst {
		slices.SortStableFunc(rest, func(a, b task) int { return cmp.Compare(b.bound, a.bound) })
	}
	t.tasks, t.bytes = rest, 0
	for _, one := range t.tasks {
		t.bytes += len(one.path) * decisionBytes
	}
	return all
}

// share tells every prover what the others have learnt.
func (t *tree) share() {
	var learnt []*memory
	for _, v := range t.provers {
		if v != nil {
			learnt = append(learnt, v.learnt)
		}
	}
	share(learnt)
}

// provable tells whether the tables of the proof can hold the problem.
func provable(m *model.Model) bool {
	for _, ps := range m.Poses {
		if len(ps) == 0 || len(ps) > maxPoses {
			return false
		}
	}
	return true
}

func newProver(m *model.Model, in *inside, a asks) *prover {
	v := &prover{
		m: m, rel: newRelaxation(m, in.clauses), sortBy: sortAxis(m),
		x: make([]float64, 3*len(m.Boxes)+1), enters: a.enters, learnt: newMemory(),
	}
	for _, ps := range m.Poses {
		var all poseSet
		for p := range ps {
			all.add(p)
		}
		v.allowed = append(v.allowed, all)
	}
	v.middle, v.mirrored = m.Middle, m.Mirrored
	if !a.anyEntry {
		v.gate = &gate{m, a.ctx, a.failed}
	}
	return v
}

func (v *prover) reset(cutoff float64, limit model.Effort) {
	v.best = found{spare: cutoff - provenWithin}
	v.cutoff = cutoff
	v.work, v.limit = 0, limit
	v.open, v.stuck, v.barred = nil, math.Inf(-1), math.Inf(-1)
	if len(v.rel.pairs) > mostPairs {
		clear(v.rel.sets)
		clear(v.rel.pairs)
	}
}

// sortAxis is the longer of the opening's x and z: boxes of a kind are ordered along it.
func sortAxis(m *model.Model) r3.Vector {
	if m.Room[2].Length() > m.Room[0].Length() {
		return r3.Vector{Z: 1}
	}
	return r3.Vector{X: 1}
}
