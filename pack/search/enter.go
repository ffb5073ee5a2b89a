package search

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/search/improve"
	"rackwright/pack/search/model"
)

// A layout is only an answer when its boxes can be brought to their places and its
// posts reached. The run keeps two pools: every layout, for the search to build on, and
// the answers. What has less than nothing to spare overlaps; whether it goes in is not
// asked.

// offer takes a candidate into the pools it belongs to. It asks at once, so it is for the few that
// come one at a time: of proofs, puzzles and what stands.
func (r *run) offer(c candidate) {
	r.any.add(c)
	if r.pool.wants(c) && r.isAnswer(&c, &r.built) {
		r.pool.add(c)
	}
}

// offerAll offers the candidates of a batch of starts. Whether one goes in takes a while
// to find out: those that are better than the best answer are asked at once, the best ones
// first, a few at a time; others wait until the search ends. After each few the best answer may be
// better, and those that follow no longer worth asking.
func (r *run) offerAll(found []candidate) {
	found = slices.DeleteFunc(found, func(c candidate) bool { return c.spots == nil })
	slices.SortStableFunc(found, func(a, b candidate) int { return cmp.Compare(b.spare, a.spare) })
	for len(found) > 0 && found[0].spare > r.pool.spare()+improve.LeastGain {
		n := min(len(found), askedAtOnce)
		lists := make([][]candidate, n)
		took := make([]model.Effort, n)
		r.atOnce(n, func(k int) { lists[k] = r.answers(found[k], &took[k]) })
		// In the order of the list, whichever was decided first.
		for k := range n {
			r.built += took[k]
			r.take(lists[k])
		}
		found = found[n:]
	}
	r.take(found)
}

// take puts candidates into the pools they belong to. All go into any, whatever they are: an
// arrangement that is stuck may be a step from one that is not.
func (r *run) take(list []candidate) {
	defer func() { r.refused = r.refused[max(0, len(r.refused)-mostRefused):] }()
	for _, c := range list {
		r.any.add(c)
		switch c.entry {
		case yes:
			r.pool.add(c)
		case unasked:
			r.waiting.add(c)
		case no:
			if !r.wasRefused(c) { // else few would fill the list
				r.refused = append(r.refused, c)
			}
		}
	}
}

// askWaiting asks those that wait, as far as they would be kept. They would not be the best answer,
// but may be the second or third that is offered.
func (r *run) askWaiting() {
	for list := r.waiting.best; len(list) > 0 && r.pool.wants(list[0]); list = list[min(askedAtOnce, len(list)):] {
		some := list[:min(askedAtOnce, len(list))]
		r.atOnce(len(some), func(k int) { r.isAnswer(&some[k], new(model.Effort)) })
		r.take(some)
	}
}

// wasRefused tells whether a candidate is one that was found to be no answer before: starts
// from one layout often end in the same other. Poses have to be the same ones here: posts decide
// whether a tool reaches them.
func (r *run) wasRefused(c candidate) bool {
	equal := func(p, q *model.Pose) bool { return p == q }
	return slices.ContainsFunc(r.refused, func(o candidate) bool {
		return math.Abs(o.spare-c.spare) < improve.Tie && match(r.m, o.spots, c.spots, equal)
	})
}

// answers lists a candidate, asked for its entry, and where it is no answer those that may be
// instead: what it was before other planes were tried, and one that gives tools their room.
//
// What it was before is worth asking because other planes often gain a hair of spare by moving a
// box into the way of another.
func (r *run) answers(c candidate, work *model.Effort) []candidate {
	list := r.earlier(c, work)
	if list[0].entry != no || r.wasRefused(c) {
		return list
	}
	v := improve.New(r.m, c.spots)
	if v.ForTools(); !v.Lacking {
		return list
	}
	// Numbers of candidates are spread over a start's share of them, so that each has one of its
	// own.
	near := r.improved(c.start+candidatesPerStart/4, v, work)
	if v.Lacking {
		return list
	}
	return append(r.earlier(near, work), list...)
}

// earlier lists a candidate, asked for its entry, and where it is no answer what it was before
// other planes were tried.
func (r *run) earlier(c candidate, work *model.Effort) []candidate {
	r.askIfBest(&c, work)
	list := []candidate{c}
	if c.entry == no && c.early != nil {
		r.askIfBest(c.early, work)
		list = append(list, *c.early)
	}
	return list
}

// askIfBest asks a candidate for its entry if it would be the best answer. Asking costs as much as
// a short search, hence not for every candidate.
func (r *run) askIfBest(c *candidate, work *model.Effort) {
	if c.spare <= r.pool.spare()+improve.LeastGain {
		return
	}
	if r.wasRefused(*c) {
		c.entry = no
		return
	}
	r.isAnswer(c, work)
}

// candidatesPerStart is how many candidates a start can make: it and what it is dressed as, each improved or
// not, and with these asked for their entry. It follows from what a start does.
const candidatesPerStart = 8

// isAnswer tells whether a candidate is an answer, and notes it. The answer is kept with the
// candidate, and never asked twice.
func (r *run) isAnswer(c *candidate, work *model.Effort) bool {
	if c.entry == unasked {
		c.entry = r.asksEntry(c.spots, c.spare, work)
	}
	return c.entry == yes
}

// wants tells whether a candidate would be kept for its spare. Whether it would displace one that
// is alike is not looked at.
func (p *pool) wants(c candidate) bool {
	return len(p.best) < p.limit || c.spare > p.best[len(p.best)-1].spare
}

// enters tells whether an arrangement may be an answer, as far as is known.
func (r *run) enters(spots []model.Spot, spare float64, work *model.Effort) bool {
	return r.asksEntry(spots, spare, work) == yes
}

// asksEntry finds out whether an arrangement may be an answer. It stays unasked where the search has
// to end before that is known. What overlaps is not asked: it is offered as the nearest layout, not
// as one to build.
func (r *run) asksEntry(spots []model.Spot, spare float64, work *model.Effort) known {
	if r.settings.AnyEntry || spare < 0 {
		return yes
	}
	*work += model.PerEntry * model.Effort(len(spots))
	ok, err := entry.Holds(r.late, r.m.Problem, r.m.Layout(spots), r.settings.Tool)
	switch {
	case r.failed(err):
		return unasked
	case ok:
		return yes
	}
	return no
}

// failed tells whether there is an error, and keeps it for Fit to return unless it is that the search
// has to end. Workers may call it at the same time; the first error stays.
func (r *run) failed(err error) bool {
	if err == nil {
		return false
	}
	if !isEnd(err) {
		r.fault.CompareAndSwap(nil, &err)
	}
	return true
}

// isEnd tells whether an error is that a context has ended. Wrapped or not.
func isEnd(err error) bool {
	return errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded)
}

// entry plans how the boxes of an arrangement go in, which is part of every answer. A search that
// is out of time still gives its layout, with the plan unknown.
//
// What is known to go in has looks of its own, though the search has ended: else it would be told as if it
// were not known, where others have used up what there was.
func (r *run) entry(l pack.Layout, goesIn bool) (entry.Answer, error) {
	late := r.late
	if goesIn {
		late = entry.Late(r.ctx, lateEntries)
	}
	a, err := entry.Plan(late, r.m.Problem, l, r.settings.Tool)
	if isEnd(err) {
		return entry.Answer{Unknown: true}, nil
	}
	return a, err
}

// tidyAll settles and rounds what the result tells of, but for answers that then would not
// go in. Of very many relations it leaves all as it is when time is up.
//
// It comes after the search and takes no part in its work; what it may take is limited by counts of
// its own.
func (r *run) tidyAll() {
	if r.m.Ended() && r.m.Pairs() > model.Many {
		return
	}
	r.askWaiting()
	r.any.best = r.any.best[:min(len(r.any.best), r.settings.Layouts)]
	if r.any.spare() > r.pool.spare()+Closed {
		r.tidy(&r.any, func([]model.Spot, float64) bool { return true })
	}
	r.tidy(&r.pool, func(spots []model.Spot, spare float64) bool { return r.enters(spots, spare, new(model.Effort)) })
}

// tidy settles every candidate of a pool and moves its places to round numbers where that
// costs nothing and the result is still good. Settling keeps the spare, but not the way in; so each
// is asked again, and left as it was where that is lost.
func (r *run) tidy(p *pool, good func(spots []model.Spot, spare float64) bool) {
	r.atOnce(len(p.best), func(i int) {
		c := &p.best[i]
		if spots, spare := improve.Rounded(r.m, improve.Settle(r.m, r.settings.Prefer, c.spots, c.spare), c.spare); good(spots, spare) {
			c.spots, c.spare = spots, spare
		}
	})
	slices.SortStableFunc(p.best, p.rank)
}
