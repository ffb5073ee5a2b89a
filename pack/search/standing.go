package search

import (
	"cmp"
	"math"
	"slices"

	"rackwright/pack"
	"rackwright/pack/outcome"
	"rackwright/pack/search/improve"
	"rackwright/pack/search/model"
	"rackwright/pack/search/stand"
)

// Stand says what layouts that stand are to be like. The zero value asks for whatever is easiest to
// build, with nothing kept beside 0.
type Stand struct {
	Levels int // that are wanted; 0 for whatever is easiest to build
	// Keep is the spare in millimetres that they keep everywhere; negative for what makes them
	// sure.
	Keep float64
}

// standing makes the search for layouts that stand when something first fits, where it is asked
// for and boxes have ways to stand, and tells whether there is one. Not for problems at their
// worst: these are only asked whether they fit.
func (r *run) standing() bool {
	s := r.settings
	if r.pool.spare() < 0 || s.Stand == nil || r.m.Problem.Worst {
		return false
	}
	if r.stand != nil || r.hangs {
		return r.stand != nil
	}
	o := model.Options{Stop: r.m.Ended}
	if !s.AnyEntry {
		o.Tool = &s.Tool.Tool
	}
	var worst *model.Model
	if problem := r.m.Problem; problem.GivesAccuracy() {
		var err error
		if worst, err = model.New(problem.AtWorst(), o); r.failed(err) {
			return false
		}
	}
	r.stand = stand.New(r.m, worst, stand.Settings{
		Seed: s.Seed, Workers: s.Workers, AnyEntry: s.AnyEntry, Tool: s.Tool,
		Levels: s.Stand.Levels, Keep: s.Stand.Keep, Stop: o.Stop, Late: r.late, Failed: r.failed,
	})
	r.hangs = r.stand == nil
	return !r.hangs
}

// standUp goes on with layouts that stand as far as is their due, once something is known to
// fit: what stands has no more to spare. What they have more than the best is a layout like any
// other.
//
// It shares the batches' rhythm, so its results come in at fixed points as well.
func (r *run) standUp(work model.Effort) {
	if !r.standing() {
		return
	}
	r.stand.Consider(r.pool.best[0].spots)
	r.stand.KeepUp(work / standShare)
	r.takeStanding()
}

// standOn ends the search for layouts that stand, when all else has come to its end. Its own
// patience ends it, or the end of the search.
func (r *run) standOn() {
	if !r.standing() {
		return
	}
	r.stand.Consider(r.pool.best[0].spots)
	for !r.stand.Over() && !r.m.Ended() && !r.spent {
		r.stand.Batch()
		r.tell("looking for layouts that stand")
	}
	r.takeStanding()
}

// takeStanding offers what stands and has more to spare than the best.
func (r *run) takeStanding() {
	if spots, spare := r.stand.Best(); spots != nil && spare > r.pool.spare()+Closed {
		r.offer(candidate{spots: spots, spare: spare, start: firstOfProof - 2})
	}
}

// addStanding puts the layouts that stand into a result, after its first: each for a reason,
// and what else was found no more, which is much the same. The first layout stays the one with the
// most to spare; where that stands and is easiest to build it gets both reasons.
func (r *run) addStanding(res *Result) error {
	if r.stand == nil || len(res.Layouts) == 0 || res.Layouts[0].Report.Spare < 0 {
		return nil
	}
	res.Layouts[0].Why = []outcome.Reason{outcome.MostToSpare}
	res.Levels = r.stand.Table()
	list := res.Layouts[:1]
	for _, c := range r.stand.Choices(r.preferring()) {
		f, stands, err := r.found(c.Layout)
		switch {
		case err != nil:
			return err
		case !stands:
			continue
		}
		f.Why = c.Why
		if stand.Twins(r.m, list[0].Layout, c.Layout) && len(list) == 1 && f.Report.Spare >= list[0].Report.Spare-Closed {
			f.Why = append([]outcome.Reason{outcome.MostToSpare}, c.Why...)
			list[0] = f
			continue
		}
		list = append(list, f)
	}
	res.Layouts = list[:min(len(list), max(r.settings.Layouts, 1))]
	return nil
}

// found has the pack's own judge look at a layout that is to stand. One that it finds not to is a
// defect of this program, never an answer: tests ask that there is none.
func (r *run) found(l pack.Layout) (f Found, stands bool, err error) {
	f = Found{Layout: l, Report: pack.Check(r.m.Problem, l)}
	if !f.Report.Holds() || !pack.StandingOf(r.m.Problem, l).Stands() {
		return f, false, nil
	}
	f.Entry, err = r.entry(l, false)
	return f, err == nil, err
}

// preferring are the preferences as measures of layouts. A layout that is not this search's counts
// as the worst.
func (r *run) preferring() []func(pack.Layout) float64 {
	var list []func(pack.Layout) float64
	for _, p := range r.settings.Prefer {
		list = append(list, func(l pack.Layout) float64 {
			spots := r.spotsOf(l)
			if spots == nil {
				return math.Inf(1)
			}
			return improve.Measure(r.m, p, spots)
		})
	}
	return list
}

// spotsOf are the places of a layout that this search has made. Nil where a placement is none of
// the model's poses.
func (r *run) spotsOf(l pack.Layout) []model.Spot {
	spots := make([]model.Spot, len(l.Placements))
	for i, at := range l.Placements { // in the order of the boxes
		kind := r.m.Boxes[i].Kind
		n := slices.IndexFunc(r.m.Poses[kind], func(p *model.Pose) bool {
			return p.Up == at.Up && p.Front == at.Front && cmp.Compare(p.Tilt, at.Tilt) == 0
		})
		if n < 0 {
			return nil
		}
		spots[i] = model.Spot{Pose: n, At: at.Centre}
	}
	return spots
}
