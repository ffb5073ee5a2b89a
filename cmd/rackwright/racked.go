package main

import (
	"context"

	"rackwright/export"
	"rackwright/export/layoutfile"
	"rackwright/export/page"
	"rackwright/export/rackplan"
	"rackwright/pack"
	"rackwright/pack/rack/judge"
	"rackwright/pack/whatif"
)

// joined adds what the order of building needs besides the rack: how the batteries are joined with
// cables that go round it. What is not known is left out.
func joined(ctx context.Context, a *rackplan.Answer, file layoutfile.File) {
	if a.Rack == nil {
		return
	}
	l := page.Layout{Judged: export.Judged{Layout: file.Layout}, Rack: a}
	wired(ctx, mostWiringGiven, a.Problem, &l)
	a.Wiring = l.Wiring
}

// rackedBy reads and judges the rack of a layout for its page.
func rackedBy(ctx context.Context, path, stock string, p pack.Problem, l page.Layout) (*rackplan.Answer, error) {
	r, err := readRackBought(ctx, path, stock)
	if err != nil {
		return nil, err
	}
	if err := tiedMounts(p, l.Layout, r); err != nil {
		return nil, err
	}
	report, err := judge.Judge(l.Framed(p), l.Layout, r, judge.Settings{})
	if err != nil {
		return nil, err
	}
	return &rackplan.Answer{Problem: l.Framed(p), Layout: l.Layout, Rack: r, Report: report}, nil
}

// concededFor is the problem that a layout holds in: with its frame as it is, or with the least
// concession that the frame file allows. It names the rails that come off.
func concededFor(ctx context.Context, p pack.Problem, l pack.Layout) (with pack.Problem, off []string) {
	if pack.Check(p, l).Holds() {
		return p, nil
	}
	if c, ok := whatif.Taken(ctx, p, l, whatif.Settings{}); ok {
		p.Frame = c.Frame
		return p, c.Off
	}
	return p, nil
}
