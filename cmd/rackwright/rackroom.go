package main

import (
	"context"
	"errors"
	"math"
	"slices"
	"time"

	"rackwright/export/answer"
	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/outcome"
	"rackwright/pack/rack"
	"rackwright/pack/rack/design"
	"rackwright/pack/rack/judge"
	"rackwright/pack/search"
)

// asked is what a search of the problem finds, with room for a rack where that is asked for.
func (f *fitFlags) asked(ctx context.Context, s streams, p pack.Problem, tool entry.Settings, prefer []search.Preference) (answer.Input, error) {
	in := answer.Input{Problem: p}
	var err error
	if !f.forRack {
		in.Result, err = f.search(ctx, s, p, tool, prefer)
		return in, err
	}
	if f.proof != "" {
		return in, errors.New("--proof is of the problem as it is, not with room for a --rack")
	}
	ways, err := design.Keeps(p, design.Settings{})
	if err != nil {
		return in, err
	}
	kept := ways[0]
	in.Rack = &answer.RackRoom{Beside: kept.Beside, Ends: kept.Ends, Under: kept.Under, Over: kept.Over}
	r, near, ok := f.inRows(ctx, p, ways, tool)
	if !ok {
		tellNearest(in.Rack, p, near)
		if r, err = f.searchRacked(ctx, s, p, kept.Problem, tool, prefer); err != nil {
			return in, err
		}
	}
	if !r.Verdict.Fits() {
		in.Rack.Lack, in.Rack.Proven = math.Max(0.01, -r.Spare), r.Verdict == pack.ProvenNoFit
	}
	f.limit = time.Now() // what follows has its share of the time from now on
	in.Result = r.In(p)
	in.Rack.Built = slices.ContainsFunc(in.Result.Layouts, racked)
	return in, nil
}

// quickTries is how many racks are judged for a layout whose levels are moved.
const quickTries = 10

// rackFor designs a rack for a layout, judged as the rack command does.
func rackFor(ctx context.Context, p pack.Problem, l pack.Layout, s design.Settings) (design.Result, error) {
	return design.New(ctx, p, l, s, func(r *rack.Rack, loads bool) design.Verdict {
		return verdictOf(p, l, r, judge.Settings{NoLoads: !loads, Briefly: true})
	})
}

// mostWants is how many things in the way of a rack are told.
const mostWants = 4

// tellNearest tells what lacks for the rows or the rack that came nearest.
func tellNearest(room *answer.RackRoom, p pack.Problem, near design.Tried) {
	var none design.NoRows
	switch {
	case errors.As(near.Err, &none):
	case near.Err != nil:
		room.Why = []string{near.Err.Error()}
		return
	default:
		room.Why = near.Result.Why[:min(2, len(near.Result.Why))]
		return
	}
	room.Rows = none.Boxes()
	for _, w := range none.Wants[:min(mostWants, len(none.Wants))] {
		room.Wants = append(room.Wants, answer.RackWant{At: w.Obstacle, Short: w.Short, Key: keyOf(p, w.Obstacle)})
	}
}

// keyOf is where the files say where something in the way is.
func keyOf(p pack.Problem, name string) string {
	keys := map[frame.ObstacleKind]string{
		frame.Side: "opening.outline", frame.Width: "opening.across or stations", frame.RailTube: "rails", frame.KeptOut: "keepouts",
		frame.Moves: "moving", frame.Road: "ground",
	}
	for _, o := range p.Obstacles() {
		if o.Name == name {
			return keys[o.Kind] + " in the frame file"
		}
	}
	return "stand, posts and gaps in the pack file"
}

// inRows looks for a layout with a rack among boxes in rows on levels, and tells whether there is one;
// else what comes nearest.
func (f *fitFlags) inRows(ctx context.Context, p pack.Problem, ways []design.Kept, tool entry.Settings) (search.Result, design.Tried, bool) {
	limited, stop := f.withTime(ctx)
	defer stop()
	t := design.Seek(limited, p, ways, design.Asks{
		Holds: func(l pack.Layout) bool { return f.wanted(limited, p, l, tool) },
		Design: func(l pack.Layout, quickly bool) (design.Result, error) {
			s := design.Settings{}
			if quickly {
				s.Tries = quickTries
			}
			return rackFor(limited, p, l, s)
		},
	})
	if !t.Sound() || t.Weak() {
		return search.Result{}, t, false
	}
	way, err := entry.Plan(ctx, p, t.Layout, tool)
	if err != nil {
		return search.Result{}, t, false
	}
	r := search.Result{Stopped: search.Done, Bound: math.Inf(1), AnyEntry: f.any()}
	r.Layouts = []search.Found{{Layout: t.Layout, Report: pack.Check(p, t.Layout), Entry: way, Why: []outcome.Reason{outcome.Racked}}}
	r.Decide()
	return r, t, true
}

// withTime is a context that ends after the --time that is given. Without one, the tries for a rack are
// counted, so that a slow machine finds the same.
func (f *fitFlags) withTime(ctx context.Context) (context.Context, context.CancelFunc) {
	if !f.timed {
		return context.WithCancel(ctx)
	}
	return context.WithTimeout(ctx, f.time)
}

// wanted tells whether a layout holds, stands on as many levels and keeps as much as is asked for, and
// goes in.
func (f *fitFlags) wanted(ctx context.Context, p pack.Problem, l pack.Layout, tool entry.Settings) bool {
	report, standing := pack.Check(p, l), pack.StandingOf(p, l)
	switch {
	case !report.Holds() || !standing.Stands(), f.stand.Levels > 0 && len(standing.Levels) != f.stand.Levels, report.Spare < f.stand.Keep:
		return false
	case f.any():
		return true
	}
	way, err := entry.Plan(ctx, p, l, tool)
	return err == nil && way.Holds()
}

// searchRacked searches with room kept, first with all posts up, until a rack is found for a layout.
// That one comes first. Where none is, what the whole search found is the result.
func (f *fitFlags) searchRacked(ctx context.Context, s streams, p, kept pack.Problem, tool entry.Settings, prefer []search.Preference) (search.Result, error) {
	var r search.Result
	for _, tried := range []pack.Problem{design.PostsUp(kept), kept} {
		var err error
		if r, err = f.search(ctx, s, tried, tool, prefer); err != nil {
			return r, err
		}
		for i := range r.Layouts {
			if l := r.Layouts[i]; r.Verdict.Fits() && f.settle(ctx, p, &l, tool) {
				r.Layouts = slices.Concat([]search.Found{l}, r.Layouts[:i], r.Layouts[i+1:])
				r.Decide()
				return r, nil
			}
		}
	}
	return r, nil
}

func racked(l search.Found) bool { return l.For(outcome.Racked) }

// settle moves whole levels of a layout that stands until a rack is found for it, or a time that is given
// is over, and tells whether one is.
func (f *fitFlags) settle(ctx context.Context, p pack.Problem, l *search.Found, tool entry.Settings) bool {
	limited, stop := f.withTime(ctx)
	defer stop()
	holds := func(l pack.Layout) bool { return pack.Check(p, l).Holds() && pack.StandingOf(p, l).Stands() }
	if !holds(l.Layout) {
		return false
	}
	t := design.Settle(limited, p, l.Layout, holds, func(l pack.Layout) (design.Result, error) {
		return rackFor(limited, p, l, design.Settings{Tries: quickTries})
	})
	if !t.Sound() {
		return false
	}
	way, err := entry.Plan(ctx, p, t.Layout, tool)
	if err != nil || !f.any() && !way.Holds() {
		return false
	}
	l.Layout, l.Report, l.Entry = t.Layout, pack.Check(p, t.Layout), way
	l.Why = append([]outcome.Reason{outcome.Racked}, slices.DeleteFunc(slices.Clone(l.Why), func(r outcome.Reason) bool { return r == outcome.MostToSpare })...)
	return true
}
