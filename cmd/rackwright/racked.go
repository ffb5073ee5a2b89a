package main

import (
	"context"

	"rackwright/export"
	"rackwright/export/layoutfile"
	"rackwright/export/page"
	"rackwright/export/rackplan"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
)

// joined adds what the order of building needs besides the rack: when posts are reached, and how
// the batteries are joined with cables that go round it. What is not known is left out.
func joined(ctx context.Context, a *rackplan.Answer, file layoutfile.File) {
	if a.Rack == nil {
		return
	}
	if e, err := goingIn(ctx, a.Problem, file, entry.Settings{}); err == nil {
		a.Reach = e.Answer.Reach
	}
	l := page.Layout{Judged: export.Judged{Layout: file.Layout}, Rack: a}
	wired(ctx, a.Problem, &l)
	a.Wiring = l.Wiring
}

// rackedBy reads and judges the rack of a layout for its page.
func rackedBy(path string, p pack.Problem, l page.Layout) (*rackplan.Answer, error) {
	r, err := readRack(path)
	if err != nil {
		return nil, err
	}
	report, err := judge.Judge(l.Framed(p), l.Layout, r, judge.Settings{})
	if err != nil {
		return nil, err
	}
	return &rackplan.Answer{Problem: l.Framed(p), Layout: l.Layout, Rack: r, Report: report, Stock: rack.DefaultStock()}, nil
}
