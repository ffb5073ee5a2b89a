package search

import (
	"math/rand/v2"

	"rackwright/pack/search/improve"
	"rackwright/pack/search/model"
	"rackwright/pack/search/start"
)

// Where boxes stand decides how much a layout can have to spare; which way their posts look
// decides whether it has that. Seldom does one box, turned or moved, gain anything: its
// neighbours have to turn and make room with it. So some starts leave posts out at first: layouts
// of bare boxes are found in a fourth of the time, and with more to spare. Then all boxes are given
// their posts (dresser).

// undressed makes a candidate from one with posts, or from a bare layout found before, by pushing
// bare boxes apart; one without places where it does not get better than the best answer. It gives
// the bare layout as well.
//
// Half of them go on from bare layouts that are kept between batches: the best of these are often
// stuck on posts, and with a little more shaking are not.
func (r *run) undressed(n int, from candidate, rng *rand.Rand, work *model.Effort) (to, bare candidate) {
	if len(r.bares.best) > 0 && rng.IntN(2) == 0 {
		from = r.bares.best[rng.IntN(len(r.bares.best))]
	}
	least := r.pool.spare()
	most := bareAimPart * max(least, r.bares.spare())
	target := least + (most-least)*rng.Float64()
	v := improve.New(r.bare, start.Shaken(r.bare, r.bare.BareSpots(from.spots), from.tight, target, rng, work))
	v.Climb()
	*work += v.Work
	bare = candidate{spots: v.Spots, spare: v.Spare, start: n}
	if v.Spare < least+leastDressingGain {
		return candidate{}, bare
	}
	return r.dressedAs(n, v, least, work), bare
}

// redressed makes a candidate from one that comes near the best answer, by giving its boxes their
// posts anew; one without places where that does not make it better than both. It is tried for each
// candidate that comes near, since it takes a small part of what a start takes.
func (r *run) redressed(n int, c candidate, work *model.Effort) candidate {
	if c.spots == nil || c.spare < redressingPart*r.pool.spare() {
		return candidate{}
	}
	v := improve.New(r.bare, r.bare.BareSpots(c.spots))
	return r.dressedAs(n, v, max(c.spare, r.pool.spare()), work)
}

// dressedAs gives the boxes of a bare layout their posts, and improves what that leads to. Places
// come from the bare model, whose numbers of dressed poses are those of the model.
func (r *run) dressedAs(n int, v *improve.Improver, least float64, work *model.Effort) candidate {
	spots, ok := v.Dress(least, work)
	if !ok {
		return candidate{}
	}
	v = improve.New(r.m, spots)
	v.ForTools()
	return r.improved(n, v, work)
}
