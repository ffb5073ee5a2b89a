package search

import (
	"context"
	"math"

	"rackwright/pack"
	"rackwright/pack/search/bound"
	"rackwright/pack/search/model"
)

// Look tells what can be seen of a problem without a search: a bound, and where it is below 0 why
// nothing fits. Its errors are those of Fit. It takes milliseconds for everyday problems, and is
// what a comparison of many packs asks first.
func Look(ctx context.Context, problem pack.Problem) (Result, error) {
	m, err := model.New(problem, model.Options{Stop: func() bool { return ctx.Err() != nil }})
	if err != nil {
		return Result{}, err
	}
	res := Result{Bound: math.Inf(1)}
	if m.Ended() {
		res.Stopped = Interrupted
	} else {
		res.Bound, res.Reason = bound.Cheap(m)
	}
	res.Decide()
	return res, nil
}
