package search

import (
	"math"
	"math/rand/v2"

	"rackwright/pack/search/improve"
	"rackwright/pack/search/model"
	"rackwright/pack/search/start"
)

// tryBatch makes the starts from…to−1, and tells whether the best got better.
//
// All of a batch's starts see the pools as they were before it. Whether bare boxes are worth it is
// decided here, once, since the second model takes as much memory as the first.
func (r *run) tryBatch(from, to int) bool {
	if r.bare == nil && r.m.Reach != nil && r.isCalm(from) {
		r.bare = r.m.Bare()
		r.bares = pool{m: r.bare, prefer: r.settings.Prefer, limit: mostParents}
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

// isCalm tells whether start n comes after some that found nothing better. Where nothing fits yet
// posts are not the trouble.
func (r *run) isCalm(n int) bool { return n-r.last >= startsUntilBare && r.pool.spare() >= 0 }

// started is what a start makes: candidates, which have no places where they are of no use, and
// the bare layout that they come from, if there is one. Bare layouts are kept apart: they are of
// another model.
type started struct {
	found []candidate
	bare  candidate
}

// start makes a candidate, and another from it where nothing better has been found for a while. It
// makes none when the search has to end. What it takes is added to work.
//
// The source of chance comes from the seed and n alone. Start 0 is made even when there is no time
// at all, so that every search has a layout to tell.
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
		c, o.bare = r.undressed(candidatesPerStart*n, from[rng.IntN(len(from))], rng, work)
	} else {
		c = r.startFrom(n, from, rng, work)
	}
	o.found = []candidate{c, r.redressed(candidatesPerStart*n+candidatesPerStart/2, c, work)}
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
//
// Which of the three ways it goes follows from n: shaken, sliced or built.
func (r *run) startFrom(n int, from []candidate, rng *rand.Rand, work *model.Effort) candidate {
	var spots []model.Spot
	built := builtBefore(n)
	switch {
	case n >= plainStarts && n%startsPerBuilt != 0 && len(from) > 0:
		c := from[rng.IntN(len(from))]
		spots = start.Shaken(r.m, c.spots, c.tight, start.Aim(r.m, r.toBeat(), rng), rng, work)
	case built%2 == 1 && len(r.m.Boxes) > 1:
		spots = start.Sliced(r.m, r.toBeat(), r.bound, rng, work)
	default:
		best := r.toBeat()
		if n < plainStarts {
			best = 0
		}
		spots = start.Built(r.m, built/2, best, n == 0, rng, work)
	}
	// A few starts look at the spare alone, for the tools' clauses ask for a little too much.
	v := improve.New(r.m, spots)
	if n%startsPerSpareOnly != startsPerSpareOnly-1 {
		v.ForTools()
	}
	return r.improved(candidatesPerStart*n, v, work)
}

// improved runs an improver, and gives what it reaches as candidate number n, and what it
// reaches at first as number n+1. Both are worth offering: what gains spare may lose its way in.
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
// go round, and sliced, in turns. It numbers recipes without gaps, which go round by number.
func builtBefore(n int) int {
	if n < plainStarts {
		return n
	}
	return plainStarts + (n-plainStarts)/startsPerBuilt
}

// leastPromising is the spare below which other planes are not tried. While nothing fits everything
// is promising.
func (r *run) leastPromising() float64 {
	if s := r.toBeat(); s > 0 {
		return promisingPart * s
	}
	return math.Inf(-1)
}

// toBeat is the spare that a start has to exceed to count: that of the best answer, 0
// where layouts fit but do not go in, or that of the nearest layout. Never below −Size, so that
// differences of it are numbers.
func (r *run) toBeat() float64 {
	if s := r.pool.spare(); s >= 0 || r.any.spare() < 0 {
		return max(s, -r.m.Size)
	}
	return 0
}

// toShake gives the arrangements that may be disturbed: now and then the answers, which are
// few. Otherwise the best of all layouts, stuck ones too.
func (r *run) toShake(rng *rand.Rand) []candidate {
	if rng.IntN(8) == 0 && r.pool.spare() >= 0 {
		return r.pool.best
	}
	return r.any.best
}
