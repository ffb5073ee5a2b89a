package main

import (
	"rackwright/export/page"
	"rackwright/pack"
	"rackwright/pack/wire"
)

// wired plans the wiring of a layout for the page, where the pack file says enough for that. That
// no plan was found is told in words.
func wired(p pack.Problem, l *page.Layout) {
	if len(l.Report.Faults) > 0 {
		return
	}
	if w, faults := p.Pack.Wired(); len(faults) > 0 || w.Series*w.Parallel*w.Strings < 2 {
		return
	}
	plan, err := wire.Make(p, l.Layout, wire.Settings{})
	if err != nil {
		l.Unwired = err.Error()
		return
	}
	l.Wiring = &plan
}
