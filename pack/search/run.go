package search

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"sync/atomic"

	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/search/bound"
	"rackwright/pack/search/improve"
	"rackwright/pack/search/model"
	"rackwright/pack/search/proof"
	"rackwright/pack/search/stand"
	"rackwright/pack/search/start"
)

// run is the state of one search.
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
	barred   float64     // with bound, on that of all layouts
	reason   string
	stranded bool          // layouts fit, but none that was found goes in
	built    model.Effort  // work of the starts so far
	last     int           // start of the last batch that found something better
	bare     *model.Model  // in which boxes may be without posts; made when first needed
	bares    pool          // the best layouts without
	hangs    bool          // some box has no way to stand
	stand    *stand.Search // for layouts that stand; nil until something fits, and where they are not asked for
}

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
		pool: some(settings.Layouts), any: some(max(parents, settings.Layouts)), waiting: some(2 * settings.Layouts),
		bound: math.Inf(1), barred: math.Inf(-1),
	}
	return r, nil
}

// Starts come in batches. What a start does depends on its number and on what came
// before its batch, so the number of workers does not matter. The first batches are
// small, so that the first layout is soon told and built on. Between batches the proof works
// as long as the starts did, or a share of that: a small problem is decided before many
// starts are made, and in a large one the starts go on finding what the proof alone would not.
const (
	plain    = 4   // starts that are built without looking at what was found before
	oneBuilt = 4   // of so many starts after these one is built
	wanted   = 8   // starts before the proof begins where none has found what fits yet
	first    = 2   // starts in the first batch
	batch    = 4   // in the next
	later    = 8   // after some 64, when there is less to build on
	calm     = 8   // starts without a better layout after which some leave posts out at first
	idle     = 128 // starts without a better layout after which the proof gets more of the time
	patient  = 4   // times as much, then
	fewBoxes = 9   // so few that it gets more from the beginning, where they have no posts; with more it gets little
	lastIdle = 192 // the same as idle, after which the starts end where the proof is over
	stubborn = 20  // times as many, while what fits is no answer
)

func (r *run) search() {
	defer func() { r.bare, r.bares = nil, pool{} }() // what comes then needs the memory
	r.bound, r.reason = bound.Cheap(r.m)
	if r.bound < 0 {
		r.tell("nothing can fit")
	}
	p, d := r.newProvings()
	var due model.Effort // of both proofs
	for from, to := 0, first; from == 0 || r.open(); from, to = to, to+min(to, max(batch, min(to/8, later))) {
		before := r.built
		if r.tryBatch(from, to) {
			r.last = from
		}
		r.tell("trying arrangements")
		if to == plain && r.pool.spare() < 0 && r.exactly() {
			p.tree.End()
			d.tree.End() // a bound that tells of steps, not of lengths, is not to be narrowed
			r.tell("nothing can fit")
		}
		if to < wanted && r.pool.spare() < 0 {
			continue // what fits at all is wanted first
		}
		due += r.share(p.fell.standstill(p.tree.Work), r.built-before, to-r.last)
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
func (r *run) share(standstill bool, built model.Effort, since int) model.Effort {
	little := built / patient
	if len(r.m.Boxes) > fewBoxes || since <= idle {
		little /= patient
	}
	switch {
	case r.simple() && since > idle:
		return patient * patient * built
	case r.simple():
		return patient * built
	case standstill:
		return little
	case since > idle:
		return patient * built
	case len(r.m.Boxes) > fewBoxes:
		return little
	}
	return built
}

// simple tells whether the proof will most likely end.
func (r *run) simple() bool {
	return len(r.m.Boxes) <= fewBoxes &&
		!slices.ContainsFunc(r.m.Kinds, func(k pack.Kind) bool { return len(k.Posts) > 0 })
}

// exhausted tells whether starts are to end, after so many that found nothing better.
func (r *run) exhausted(since int) bool {
	if r.any.spare() >= 0 && r.pool.spare() < 0 {
		return since > stubborn*lastIdle
	}
	return since > lastIdle
}

// open tells whether the search may go on and has something to gain.
func (r *run) open() bool {
	return !r.m.Ended() && !r.closed()
}

// closed tells whether the spare is as good as the bound: within Closed, and on the same
// side of 0.
func (r *run) closed() bool {
	spare := r.pool.spare()
	return r.bound-spare <= Closed && (spare >= 0 || r.bound < 0 || r.bound-spare <= 2*proof.ProvenWithin)
}

// stopped tells why the search ended.
func (r *run) stopped() Stop {
	switch err := r.ctx.Err(); {
	case err == nil || r.closed():
		return Done
	case errors.Is(err, context.DeadlineExceeded):
		return Time
	}
	return Interrupted
}

func (r *run) tell(note string) {
	r.settings.Progress(Progress{Spare: r.pool.spare(), Bound: r.told(), Note: note})
}

// told is the bound to tell: of all layouts as long as none is an answer.
func (r *run) told() float64 {
	if r.pool.spare() >= 0 {
		return r.bound
	}
	return max(r.bound, r.barred)
}

// tryBatch makes the starts from…to−1, and tells whether the best got better.
func (r *run) tryBatch(from, to int) bool {
	if r.bare == nil && r.m.Reach != nil && r.isCalm(from) {
		r.bare = r.m.Bare()
		r.bares = pool{m: r.bare, prefer: r.settings.Prefer, limit: parents}
	}
	before, all := r.pool.spare(), r.any.spare()
	made := make([]started, to-from)
	took := make([]model.Effort, to-from)
	r.atOnce(to-from, func(k int) { made[k] = r.start(from+k, &took[k]) })
	var found []candidate
	for k, o := range made {
		r.built += took[k]
		found = append(found, o.found...)
		if o.bare.spots != nil {
			r.bares.add(o.bare)
		}
	}
	r.offerAll(found)
	return r.pool.spare() > before+improve.LeastGain || r.any.spare() > all+improve.LeastGain
}

// isCalm tells whether start n comes after some that found nothing better.
func (r *run) isCalm(n int) bool { return n-r.last >= calm && r.pool.spare() >= 0 }

// atOnce calls do(0) … do(n−1) from the workers.
func (r *run) atOnce(n int, do func(int)) {
	jobs := make(chan int)
	var wg sync.WaitGroup
	for range min(n, r.settings.Workers) {
		wg.Go(func() {
			for k := range jobs {
				do(k)
			}
		})
	}
	for k := range n {
		jobs <- k
	}
	close(jobs)
	wg.Wait()
}

// started is what a start makes: candidates, which have no places where they are of no use, and
// the bare layout that they come from, if there is one.
type started struct {
	found []candidate
	bare  candidate
}

// start makes a candidate, and another from it where nothing better has been found for a while. It
// makes none when the search has to end. What it takes is added to work.
func (r *run) start(n int, work *model.Effort) (o started) {
	if r.m.Ended() && n > 0 {
		return o
	}
	rng := rand.New(rand.NewPCG(r.settings.Seed, uint64(n)))
	from := r.toShake(rng)
	if r.bare == nil || !r.isCalm(n) {
		o.found = []candidate{r.startFrom(n, from, rng, work)}
		return o
	}
	var c candidate
	if r.startsBare(n) {
		c, o.bare = r.undressed(perStart*n, from[rng.IntN(len(from))], rng, work)
	} else {
		c = r.startFrom(n, from, rng, work)
	}
	o.found = []candidate{c, r.redressed(perStart*n+perStart/2, c, work)}
	return o
}

// startsBare tells whether start n leaves posts out at first: one in four does, and most where there
// are many boxes, of which one alone, turned or moved, gains less.
func (r *run) startsBare(n int) bool {
	if len(r.m.Boxes) > fewBoxes {
		return n%8 != 0
	}
	return n%4 == 1
}

// startFrom makes a candidate with posts, from one of a list or anew.
func (r *run) startFrom(n int, from []candidate, rng *rand.Rand, work *model.Effort) candidate {
	var spots []model.Spot
	built := builtBefore(n)
	switch {
	case n >= plain && n%oneBuilt != 0 && len(from) > 0:
		c := from[rng.IntN(len(from))]
		spots = start.Shaken(r.m, c.spots, c.tight, start.Aim(r.m, r.toBeat(), rng), rng, work)
	case built%2 == 1 && len(r.m.Boxes) > 1:
		spots = start.Sliced(r.m, r.toBeat(), r.bound, rng, work)
	default:
		best := r.toBeat()
		if n < plain {
			best = 0
		}
		spots = start.Built(r.m, built/2, best, n == 0, rng, work)
	}
	v := improve.New(r.m, spots)
	if n%forSpare != forSpare-1 {
		v.ForTools()
	}
	return r.improved(perStart*n, v, work)
}

// forSpare tells that one of so many starts looks at the spare alone, for the room for tools
// is taken a little too large.
const forSpare = 8

// improved runs an improver, and gives what it reaches as candidate number n, and what it
// reaches at first as number n+1.
func (r *run) improved(n int, v *improve.Improver, work *model.Effort) candidate {
	spots, spare := v.Run(r.leastPromising())
	*work += v.Work
	c := candidate{spots: v.Spots, spare: v.Spare, tight: v.Tight, start: n}
	if spare < c.spare {
		c.early = &candidate{spots: spots, spare: spare, start: n + 1}
	}
	return c
}

// builtBefore is how many starts before start n are built, not shaken: by recipes, whose kinds
// go round, and sliced, in turns.
func builtBefore(n int) int {
	if n < plain {
		return n
	}
	return plain + (n-plain)/oneBuilt
}

// promising is the part of the best spare that an arrangement has to have for other planes to
// be tried.
const promising = 0.9

// leastPromising is the spare below which other planes are not tried.
func (r *run) leastPromising() float64 {
	if s := r.toBeat(); s > 0 {
		return promising * s
	}
	return math.Inf(-1)
}

// toBeat is the spare that a start has to exceed to count: that of the best answer, 0
// where layouts fit but do not go in, or that of the nearest layout.
func (r *run) toBeat() float64 {
	if s := r.pool.spare(); s >= 0 || r.any.spare() < 0 {
		return max(s, -r.m.Size)
	}
	return 0
}

// parents is how many layouts starts may build on: with fewer they soon make the same again,
// with more they build on what is too far from the best.
const parents = 12

// toShake gives the arrangements that may be disturbed: now and then the answers, which are
// few.
func (r *run) toShake(rng *rand.Rand) []candidate {
	if rng.IntN(8) == 0 && r.pool.spare() >= 0 {
		return r.pool.best
	}
	return r.any.best
}
