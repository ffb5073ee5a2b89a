package whatif

import (
	"fmt"
	"math"

	"rackwright/pack"
	"rackwright/pack/limit"
	"rackwright/pack/outcome"
	"rackwright/pack/search"
)

// reduce makes concessions of the least parts of a set that its layout does with, when
// its boxes are moved a little, and tells whether there is one.
func (t *tryer) reduce(set uint64, layout pack.Layout) (bool, error) {
	if t.out.Plain = t.plain(layout); t.out.Plain != nil {
		return true, nil
	}
	found := false
	for _, part := range t.sets() {
		if part&set != part || t.lastRails(part) != "" || found && t.decided(part) {
			continue
		}
		f, err := t.conceded(part, math.Inf(1))
		if err != nil {
			continue
		}
		at := layout
		if !pack.Check(t.with(f), at).Holds() {
			var fits bool
			if at, fits = limit.Fitting(t.with(f), layout); !fits {
				continue
			}
		}
		c, ok, err := t.shallowest(part, at)
		if err != nil {
			return found, err
		}
		if ok {
			t.fits[part], found = c, true
		}
	}
	return found, nil
}

// plain is a layout with its boxes moved a little, if that fits with nothing changed.
func (t *tryer) plain(layout pack.Layout) *search.Found {
	at, fits := limit.Fitting(t.problem, layout)
	if !fits {
		return nil
	}
	c, ok := t.judged(Concession{Found: search.Found{Layout: at}, Frame: t.problem.Frame})
	if !ok {
		return nil
	}
	return &c.Found
}

// shallowest makes the concession of a set with as little depth as it can find: first
// that which the layout itself needs when it moves, then by searching again with half of
// it. Depths are whole millimetres where the trim allows.
func (t *tryer) shallowest(set uint64, layout pack.Layout) (Concession, bool, error) {
	high := t.deepest(set)
	best, ok := t.made(set, high, layout, depthToSpare)
	if high == 0 {
		return best, ok, nil
	}
	low := 0.0
	for try := 0; math.Ceil(high)-1 > low && try < mostShallower+10; try++ {
		d := halfway(low, high)
		f, err := t.conceded(set, d)
		if err != nil {
			return best, ok, err
		}
		at, found := limit.Fitting(t.with(f), layout)
		if !found && try < mostShallower && t.ctx.Err() == nil {
			r, err := t.settings.hasty().fit(t.ctx, fmt.Sprintf("%s, %.0f mm deep", t.names(set), d), t.with(f))
			if err != nil {
				return best, ok, err
			}
			if found = r.Verdict.Fits(); found {
				at = r.Layouts[0].Layout
			}
		}
		if found {
			if c, made := t.made(set, d, at, depthToSpare); made {
				best, ok, high, layout = c, true, d, at
				continue
			}
		}
		low = d
	}
	if ok && !best.Sure {
		best.Surer = t.surer(set, high, layout)
	}
	return best, ok, nil
}

// halfway is about half way from a whole millimetre to a depth that has another one before
// it, in whole ones.
func halfway(low, high float64) float64 { return max(low+1, math.Floor((low+high)/2)) }

// inPlace makes the concession of a set for a layout that stays as it stands, with the least
// depth in whole millimetres.
func (t *tryer) inPlace(set uint64, layout pack.Layout) (Concession, bool) {
	high := t.deepest(set)
	best, ok := t.made(set, high, layout, depthToSpare)
	for low := 0.0; ok && math.Ceil(high)-1 > low; {
		d := halfway(low, high)
		if c, made := t.made(set, d, layout, depthToSpare); made {
			best, high = c, d
		} else {
			low = d
		}
	}
	return best, ok
}

// surer finds the least depth, beyond one that is not, with which the layout still fits
// with everything at its worst, moved as it has to be.
func (t *tryer) surer(set uint64, depth float64, layout pack.Layout) *Concession {
	var best *Concession
	low, high := depth, t.deepest(set)
	for d := high; d > low; d = math.Floor((low + high) / 2) {
		c, ok := t.sureAt(set, d, layout)
		switch {
		case ok:
			best, high = &c, d
		case d == t.deepest(set):
			return nil
		default:
			low = d
		}
	}
	return best
}

// sureAt makes a concession of a depth that is sure.
func (t *tryer) sureAt(set uint64, depth float64, layout pack.Layout) (Concession, bool) {
	f, err := t.conceded(set, depth)
	if err != nil {
		return Concession{}, false
	}
	at, fits := limit.Fitting(t.with(f).AtWorst(), layout)
	if !fits {
		return Concession{}, false
	}
	// A notch has to be wider by the errors of the frame and of the box.
	wider := 0.0
	for _, k := range t.problem.Pack.Kinds {
		wider = max(wider, t.problem.Frame.GreatestAccuracy()+k.Accuracy+k.Swell)
	}
	c, ok := t.made(set, depth, at, wider+depthToSpare)
	return c, ok && c.Sure
}

// made makes the concession of a set for a layout that keeps clear of everything but a
// depth of the keep-outs: cuts the notches, by as much wider as the layout has to spare
// and at most by wider, and has the judge look at what is left. Where the boxes do not
// get past what is left, grooves are cut.
func (t *tryer) made(set uint64, depth float64, layout pack.Layout, wider float64) (Concession, bool) {
	f, err := t.conceded(set, depth)
	if err != nil {
		return Concession{}, false
	}
	more := min(max(pack.Check(t.with(f), layout).Spare, 0), wider)
	var c Concession
	for _, groove := range []bool{false, true} {
		c = Concession{Found: search.Found{Layout: layout}, Frame: t.problem.Frame}
		ok := true
		for _, th := range t.in(set) {
			if th.rail != none {
				c.Off = append(c.Off, th.name)
			}
		}
		for _, th := range t.cuts(set) {
			ok = ok && t.notch(&c, th, depth, more, groove)
		}
		c.Frame = c.Frame.WithRailsOff(t.rails(set))
		if ok {
			if c, ok = t.judged(c); ok {
				return c, true
			}
		}
	}
	return c, false
}

// notch cuts the notches of one keep-out.
func (t *tryer) notch(c *Concession, th thing, depth, more float64, groove bool) bool {
	k := t.problem.Frame.KeepOuts[th.cut]
	cut, err := newCutter(k, inside(th, depth))
	if err != nil {
		return false
	}
	list, err := bodies(t.problem, c.Layout, k)
	if err != nil {
		return false
	}
	for _, b := range list {
		cut.cut(b, more, groove)
	}
	c.Notches = append(c.Notches, cut.notches...)
	c.Frame = c.Frame.WithKeepOut(th.cut, cut.keepOuts()...)
	return true
}

// judged looks at a concession as it would be built.
func (t *tryer) judged(c Concession) (Concession, bool) {
	problem := t.with(c.Frame)
	c.Report = pack.Check(problem, c.Layout)
	if !c.Report.Holds() {
		return c, false
	}
	var ok bool
	if c.Entry, ok = t.settings.goesIn(t.ctx, problem, c.Layout); !ok {
		return c, false
	}
	_, _, c.Sure = outcome.SurePlaces(problem, c.Layout, t.settings.Means(t.ctx))
	return c, true
}
