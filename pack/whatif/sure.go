package whatif

import (
	"context"

	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/outcome"
	"rackwright/pack/search"
)

// AskSure finds out how sure the result of a search is, as outcome.Result.AskSure does: where
// none of its layouts is, the problem is searched again with everything at its worst. It fails
// only where search.Fit does.
func AskSure(ctx context.Context, problem pack.Problem, result *search.Result, settings Settings) error {
	means := settings.Means(ctx)
	means.Again = func(worst pack.Problem) (outcome.Result, error) {
		return settings.hasty().fit(ctx, "everything at its worst", worst)
	}
	return result.AskSure(problem, means)
}

// Means are those to find out how sure a layout is without a search.
func (s Settings) Means(ctx context.Context) outcome.Means {
	return outcome.Means{GoesIn: func(problem pack.Problem, layout pack.Layout) (entry.Answer, bool) {
		return s.goesIn(ctx, problem, layout)
	}}
}
