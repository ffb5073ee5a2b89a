package main

import (
	"context"
	"errors"
	"math"

	"rackwright/export/answer"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/rack/design"
	"rackwright/pack/search"
)

// found is what a search of the problem finds, with room for a rack where that is asked for.
func (f *fitFlags) found(ctx context.Context, s streams, p pack.Problem, tool entry.Settings, prefer []search.Preference) (answer.Input, error) {
	in := answer.Input{Problem: p}
	var err error
	if !f.rack {
		in.Result, err = f.search(ctx, s, p, tool, prefer)
		return in, err
	}
	if f.proof != "" {
		return in, errors.New("--proof is of the problem as it is, not with room for a --rack")
	}
	kept, err := design.Keep(p, design.Settings{})
	if err != nil {
		return in, err
	}
	r, err := f.search(ctx, s, kept.Problem, tool, prefer)
	if err != nil {
		return in, err
	}
	in.Rack = &answer.RackRoom{Beside: kept.Beside, Ends: kept.Ends, Under: kept.Under}
	if !r.Verdict.Fits() {
		in.Rack.Lack, in.Rack.Proven = math.Max(0.01, -r.Spare), r.Verdict == pack.ProvenNoFit
	}
	in.Result = r.In(p)
	return in, nil
}
