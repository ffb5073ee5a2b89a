package main

import (
	"context"
	"errors"
	"time"

	"rackwright/export/page"
	"rackwright/pack"
	"rackwright/pack/wire"
)

// mostWiring is how long planning the wiring of a layout may keep the page waiting: one that was found
// by a search with a limit, and one that was asked for.
const (
	mostWiring      = 5 * time.Second
	mostWiringGiven = time.Minute
)

// wired plans the wiring of a layout for the page, where the pack file says enough for that, with
// cables that go round its rack where it has one, in so much time at most. That no plan was found is told
// in words.
func wired(ctx context.Context, most time.Duration, p pack.Problem, l *page.Layout) {
	if len(l.Report.Faults) > 0 {
		return
	}
	if w, faults := p.Pack.Wired(); len(faults) > 0 || w.Series*w.Parallel*w.Strings < 2 {
		return
	}
	ctx, stop := context.WithTimeout(ctx, most)
	defer stop()
	var settings wire.Settings
	if l.Rack != nil {
		settings.Rack = wire.Around(l.Rack.Rack)
	}
	plan, err := planned(ctx, p, l.Layout, settings)
	if errors.Is(err, errStopped) {
		l.Unwired = "there was no time for it; rackwright wire plans it"
		return
	}
	if err != nil {
		l.Unwired = err.Error()
		return
	}
	l.Wiring = &plan
}
