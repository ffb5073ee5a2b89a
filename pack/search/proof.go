package search

import (
	"cmp"
	"math"
	"slices"
	"unsafe"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/search/model"
)

// The tree of choices is worked through in rounds. In each the tasks with the
// greatest bounds are explored, every one with the best spare as it stood when the
// round began and with a fixed number of nodes; then what they found and what they
// left open is gathered in order. So the result does not depend on the workers.
const (
	tasksARound  = 8
	perRound     = 40_000_000 // work in a round at least
	firstOfProof = 1 << 40    // number of its first candidate, beyond those of starts
)

// mostPairs is how many pairs of sets of poses a prover keeps from task to task.
const mostPairs = 20000

// proof is how far the proof has come. Its rounds lower the run's bound and raise its
// spare until they meet.
type proof struct {
	run     *run
	tasks   []task  // what is not explored, greatest bound first
	floor   float64 // below it the bodies inside round solids prove nothing
	stuck   float64 // the greatest bound of what could not be decided
	provers []*prover
	found   int // number for the next candidate
	taken   int // bytes that the tasks take, roughly
	work    model.Effort
	fell    progress // when the bound last fell
	// halvings is how often places may still be halved.
	halvings int
	// decides is set for a proof that asks only whether anything fits: it goes depth first
	// with a cutoff just below 0, which refutes far sooner than the spare of the nearest
	// layout would.
	decides bool
}

// progress is where the bound was when it last fell by a fair part of its distance from
// the best spare, and how much work it had taken by then.
type progress struct {
	bound float64
	work  model.Effort
}

// fair is that part.
const fair = 0.02

// standstill tells whether the proof has done as much work since its bound fell as before.
func (p *proof) standstill() bool { return p.work > 2*p.fell.work+standing }

const standing = 2 * perRound

// decisionBytes is what a decision of a task takes in memory.
const decisionBytes = int(unsafe.Sizeof(decision{}))

func (r *run) newProof() *proof {
	p := &proof{
		run: r, floor: floorOf(r.inner), stuck: floorOf(r.inner),
		provers: make([]*prover, tasksARound), found: firstOfProof,
		halvings: mostHalvings, fell: progress{bound: r.bound},
	}
	if r.provable() {
		p.tasks = []task{{bound: r.bound}}
	}
	return p
}

// newDecision makes the proof that asks whether anything fits. It is over as soon as
// something does.
func (r *run) newDecision() *proof {
	p := r.newProof()
	p.decides = true
	if r.bound < 0 {
		p.tasks = nil
	}
	return p
}

// cutoff is the spare that tasks have to exceed.
func (p *proof) cutoff() float64 {
	if p.decides {
		return max(-Closed, p.floor)
	}
	return max(p.run.toBeat()+provenWithin, p.floor)
}

// over tells whether no round has anything left to do, or the tasks take far more
// memory than they may.
func (p *proof) over() bool {
	return len(p.tasks) == 0 || p.taken > 2*p.run.settings.Memory || p.decides && (p.stuck >= 0 || p.run.any.spare() >= -Closed)
}

// next takes tasks out: those with the greatest bounds, or, while the list takes more
// memory than it may, those with the least, which are soonest done.
func (p *proof) next() (now, rest []task) {
	n := min(len(p.tasks), tasksARound)
	if p.decides || p.taken > p.run.settings.Memory {
		at := len(p.tasks) - n
		return p.tasks[at:], slices.Clone(p.tasks[:at])
	}
	return p.tasks[:n], slices.Clone(p.tasks[n:])
}

// keepUp makes rounds until they have taken so much work, or are over.
func (p *proof) keepUp(with model.Effort) {
	for p.work < with && !p.over() && p.run.open() {
		p.round(max(perRound, with-p.work))
	}
}

// round explores tasks, with so much work between them.
func (p *proof) round(work model.Effort) {
	now, rest := p.next()
	halvings := min(halvingsATask, p.halvings/len(now))
	p.run.atOnce(len(now), func(k int) {
		if p.provers[k] == nil {
			p.provers[k] = p.run.newProver()
			p.provers[k].useHull()
		}
		p.provers[k].reset(p.cutoff(), work/model.Effort(len(now)))
		p.provers[k].halvings = halvings
		p.provers[k].explore(now[k])
	})
	var learnt []*memory
	for _, v := range p.provers {
		if v != nil {
			learnt = append(learnt, v.learnt)
		}
	}
	share(learnt)
	for _, v := range p.provers[:len(now)] {
		p.take(v.best)
		p.work += v.work
		slices.Reverse(v.open) // the deepest come last, and are taken first where that matters
		rest = append(rest, v.open...)
		p.stuck = max(p.stuck, v.stuck)
		p.halvings -= halvings - v.halvings
		p.run.barred = max(p.run.barred, v.barred)
	}
	if !p.decides {
		slices.SortStableFunc(rest, func(a, b task) int { return cmp.Compare(b.bound, a.bound) })
	}
	p.tasks, p.taken = rest, 0
	for _, t := range p.tasks {
		p.taken += len(t.path) * decisionBytes
	}
	p.lower()
	p.run.tell("narrowing the bound")
}

// lower sets the bound to the greatest of what is not explored, undecided or found.
func (p *proof) lower() {
	if p.decides {
		if len(p.tasks) == 0 && p.stuck < 0 && p.run.any.spare() < -Closed {
			p.run.bound = min(p.run.bound, max(p.stuck, p.cutoff()))
		}
		return
	}
	bound := max(p.stuck, p.run.toBeat()+provenWithin)
	if len(p.tasks) > 0 {
		bound = max(bound, p.tasks[0].bound)
	}
	p.run.bound = min(p.run.bound, model.OrNothing(bound, geom.Tolerance))
	if best := p.run.toBeat(); p.run.bound-best < (1-fair)*(p.fell.bound-best) {
		p.fell = progress{p.run.bound, p.work}
	}
}

// take adds what a prover found to the pool, under a number of its own.
func (p *proof) take(c candidate) {
	if c.spots != nil {
		c.start = p.found
		p.found++
		p.run.offer(c)
	}
}

// provable tells whether the tables of the proof can hold the problem.
func (r *run) provable() bool {
	for _, ps := range r.m.Poses {
		if len(ps) == 0 || len(ps) > maxPoses {
			return false
		}
	}
	return true
}

func (r *run) newProver() *prover {
	v := &prover{
		m: r.m, rel: newRelaxation(r.m, r.inner), ctx: r.ctx, sortBy: sortAxis(r.m),
		x: make([]float64, 3*len(r.m.Boxes)+1), enters: r.enters, learnt: newMemory(),
	}
	for _, ps := range r.m.Poses {
		var all poseSet
		for p := range ps {
			all.add(p)
		}
		v.allowed = append(v.allowed, all)
	}
	v.middle, v.mirrored = r.m.Middle, r.m.Mirrored
	if !r.settings.AnyEntry {
		v.gate = &gate{r}
	}
	return v
}

func (v *prover) reset(cutoff float64, limit model.Effort) {
	v.best = candidate{spare: cutoff - provenWithin}
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
