package search

import (
	"context"
	"errors"
	"math"
	"slices"
	"sync/atomic"

	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/search/bound"
	"rackwright/pack/search/internal/crew"
	"rackwright/pack/search/model"
	"rackwright/pack/search/proof"
	"rackwright/pack/search/stand"
)

// run is the state of one search.
//
// It is the only place that knows all parts of a search. Everything in it changes between batches
// and rounds alone, in one goroutine; workers get what they need as arguments and return what they
// found.
type run struct {
	m        *model.Model
	ctx      context.Context
	late     context.Context // of ways in: see lateEntries
	fault    atomic.Pointer[error]
	settings Settings
	pool     pool        // answers
	any      pool        // the best of every layout, those that do not go in as well: what starts build on
	waiting  pool        // layouts that are not better than the best answer, not asked for their entry
	refused  []candidate // layouts that are no answers, the last few
	bound    float64     // on the spare of answers, and of layouts with less than nothing to spare
	ofAll    float64     // bound on the spare of all layouts, those that do not go in as well
	reason   string
	asked    bool          // the bound speaks of layouts that go in alone
	stranded bool          // layouts fit, but none that was found goes in
	built    model.Effort  // work of the starts so far
	spent    bool          // what Settings.Work allows is done
	last     int           // start of the last batch that found something better
	bare     *model.Model  // in which boxes may be without posts; made when first needed
	bares    pool          // the best layouts without
	hangs    bool          // some box has no way to stand
	stand    *stand.Search // for layouts that stand; nil until something fits, and where they are not asked for
}

// newRun makes the model, and nothing else that takes time.
func newRun(ctx context.Context, problem pack.Problem, settings Settings) (*run, error) {
	o := model.Options{Stop: func() bool { return ctx.Err() != nil }}
	if !settings.AnyEntry {
		o.Tool = &settings.Tool.Tool
	}
	m, err := model.New(problem, o)
	if err != nil {
		return nil, err
	}
	some := func(limit int) pool { return pool{m: m, prefer: settings.Prefer, limit: limit} }
	r := &run{
		m: m, ctx: ctx, late: entry.Late(ctx, lateEntries), settings: settings,
		pool: some(settings.Layouts), any: some(max(mostParents, settings.Layouts)), waiting: some(2 * settings.Layouts),
		bound: math.Inf(1), ofAll: math.Inf(1),
	}
	return r, nil
}

// Starts come in batches. What a start does depends on its number and on what came
// before its batch, so the number of workers does not matter. The first batches are
// small, so that the first layout is soon told and built on. Between batches the proof works
// as long as the starts did, or a share of that: a small problem is decided before many
// starts are made, and in a large one the starts go on finding what the proof alone would not.
//
// A batch grows by an eighth of what was done, up to mostBatch: results of a batch are not built on
// until it ends, so large ones waste starts and small ones leave workers waiting.
func (r *run) search() {
	defer func() { r.bare, r.bares = nil, pool{} }() // what comes then needs the memory
	cheap, reason := bound.Cheap(r.m)
	r.reason = reason
	r.lower(cheap, true)
	if r.bound < 0 {
		r.tell("nothing can fit")
	}
	p, d := r.newProvings()
	var due model.Effort // of both proofs
	for from, to := 0, firstBatch; from == 0 && !r.refuted() || r.open() && !r.spend(due); from, to = to, to+min(to, max(leastBatch, min(to/8, mostBatch))) {
		before := r.built
		if r.tryBatch(from, to) {
			r.last = from
		}
		r.tell("trying arrangements")
		// By now simple constructions have been tried, and found nothing.
		if to == plainStarts && r.pool.spare() < 0 && r.exactly() {
			p.tree.End()
			d.tree.End() // a bound that tells of steps, not of lengths, is not to be narrowed
			r.tell("nothing can fit")
		}
		if to < startsBeforeProof && r.pool.spare() < 0 {
			continue // what fits at all is wanted first
		}
		due = r.allowed(due + r.share(p.fell.standstill(p.tree.Work), r.built-before, to-r.last))
		d.keepUp(due)
		if d.over() {
			d.tree.Forget() // with all that they have learnt
			p.keepUp(due - d.tree.Work)
		}
		r.standUp(r.built + due)
		if p.over() && d.over() && r.exhausted(to-r.last) {
			return
		}
	}
}

// share is the work that the proof may do for so much work of starts, so many of which have
// found nothing better. A proof that is at a standstill will hardly end in the time that there is:
// it gets little, and less than that while the starts find something.
//
// It is the one schedule of the search. Five cases, from the simplest problem, in which starts are
// of little use once something fits, to one that will not be decided; what the numbers are is in tuned.go.
func (r *run) share(standstill bool, built model.Effort, since int) model.Effort {
	little := built / proofFactor
	if len(r.m.Boxes) > fewBoxes || since <= startsUntilIdle {
		little /= proofFactor
	}
	switch {
	case r.simple() && (since > startsUntilIdle || r.pool.spare() >= 0):
		return proofFactor * proofFactor * built
	case r.simple():
		return proofFactor * built
	case standstill && since <= startsUntilStale:
		return little
	case since > startsUntilIdle:
		return proofFactor * built
	case len(r.m.Boxes) > fewBoxes:
		return little
	}
	return built
}

// simple tells whether the proof will most likely end. Few boxes without posts: what is left then
// is a small tree of planes.
func (r *run) simple() bool {
	return len(r.m.Boxes) <= fewBoxes &&
		!slices.ContainsFunc(r.m.Kinds, func(k pack.Kind) bool { return len(k.Posts) > 0 })
}

// exhausted tells whether starts are to end, after so many that found nothing better. Where layouts
// fit but none goes in the answer may be near, and the starts are stubborn.
func (r *run) exhausted(since int) bool {
	if r.any.spare() >= 0 && r.pool.spare() < 0 {
		return since > stubbornFactor*startsUntilEnd
	}
	return since > startsUntilEnd
}

// allowed is how much the proof may do, of what is due to it, beside what the starts have done.
// Without a limit it is all that is due.
func (r *run) allowed(due model.Effort) model.Effort {
	if r.settings.Work <= 0 {
		return due
	}
	return max(0, min(due, r.settings.Work-r.built))
}

// spend notes whether the work that is allowed is done, with so much of it by the proof.
func (r *run) spend(due model.Effort) bool {
	r.spent = r.settings.Work > 0 && r.built+due >= r.settings.Work
	return r.spent
}

// open tells whether the search may go on and has something to gain. There is nothing to gain where
// spare and bound have met, or where it is enough to know that nothing fits.
func (r *run) open() bool {
	return !r.m.Ended() && !r.closed() && !r.refuted()
}

// refuted tells whether the search is to end because nothing fits.
func (r *run) refuted() bool { return r.settings.Decides && r.told() < 0 }

// closed tells whether the spare is as good as the bound: within Closed, and on the same
// side of 0. The sign matters more than a hundredth of a millimetre: as long as the spare is below
// 0 and the bound is not, it goes on until the two are as near as a proof can bring them.
func (r *run) closed() bool {
	spare := r.pool.spare()
	return r.noneEnters() || r.bound-spare <= Closed && (spare >= 0 || r.bound < 0 || r.bound-spare <= 2*proof.ProvenWithin)
}

// stopped tells why the search ended. A limit on work counts as time: both end a search before it
// is done.
func (r *run) stopped() Stop {
	switch err := r.ctx.Err(); {
	case r.spent && !r.closed() && !r.refuted():
		return Time
	case err == nil || r.closed():
		return Done
	case errors.Is(err, context.DeadlineExceeded):
		return Time
	}
	return Interrupted
}

// tell tells the caller where the search stands. It is called between batches, by one goroutine.
func (r *run) tell(note string) {
	now := Progress{Spare: r.pool.spare(), Bound: r.told(), Note: note, Entering: r.entering()}
	if len(r.pool.best) > 0 {
		l := r.m.Layout(r.pool.best[0].spots)
		now.Layout = &l
	}
	r.settings.Progress(now)
}

// entering tells whether the bound speaks of layouts that go in alone. Only once there is an
// answer: until then the bound is of all layouts.
func (r *run) entering() bool {
	return r.pool.spare() >= 0 && r.asked
}

// told is the bound to tell: of all layouts as long as none is an answer, and may be one. What was
// left out for not going in fits all the same.
func (r *run) told() float64 {
	if r.pool.spare() >= 0 || r.noneEnters() {
		return r.bound
	}
	return r.ofAll
}

// lower notes a bound, which may be one on all layouts.
func (r *run) lower(bound float64, ofAll bool) {
	r.bound = min(r.bound, bound)
	if ofAll {
		r.ofAll = min(r.ofAll, bound)
	}
}

// noneEnters tells whether layouts fit, and it is proven that none of them is an answer.
func (r *run) noneEnters() bool { return r.bound < 0 && r.any.spare() >= 0 }

// atOnce calls do(0) … do(n−1) from the workers.
func (r *run) atOnce(n int, do func(int)) { crew.AtOnce(r.settings.Workers, n, do) }
