package main

import (
	"context"
	"fmt"
	"os"

	"rackwright/export/rackplan"
	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
)

// checkRack judges the rack in a file.
func (f *checkFlags) checkRack(ctx context.Context, s streams, p pack.Problem, l pack.Layout) (int, error) {
	r, err := readRack(f.rack)
	if err != nil {
		return exitUsage, err
	}
	was := p.Frame
	p, off := concededFor(ctx, p, l)
	report, err := judge.Judge(p, l, r, judge.Settings{})
	if err != nil {
		return exitUsage, err
	}
	if !f.quiet {
		a := rackplan.Answer{Problem: p, Layout: l, Rack: r, Report: report, Stock: rack.DefaultStock(), Removals: rackplan.Removals(was, off, p, l, r)}
		if err := rackplan.Write(s.out, a); err != nil {
			return exitUsage, fmt.Errorf("the answer could not be printed: %w", err)
		}
	}
	if report.Sound() {
		return exitFits, nil
	}
	return exitNoFit, nil
}

func readRack(path string) (*rack.Rack, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return rack.Read(file, path)
}
