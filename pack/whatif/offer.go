package whatif

import (
	"context"

	"rackwright/pack"
	"rackwright/pack/limit"
	"rackwright/pack/outcome"
)

// Offer takes over a layout that was found for another problem as the first of a result, where it
// is an answer with more to spare: moved to where it has the most, or else as it is, which goes in
// where larger boxes did.
func (s Settings) Offer(ctx context.Context, problem pack.Problem, r *outcome.Result, layout pack.Layout) {
	if moved, _, err := limit.Best(problem, layout); err == nil && s.take(ctx, problem, r, moved) {
		return
	}
	s.take(ctx, problem, r, layout)
}

// take makes a layout the first of a result if it is a better one, and tells whether it is.
func (s Settings) take(ctx context.Context, problem pack.Problem, r *outcome.Result, layout pack.Layout) bool {
	found := outcome.Found{Layout: layout, Report: pack.Check(problem, layout)}
	spare := found.Report.Spare
	if len(found.Report.Faults) > 0 {
		return false // of a number of boxes, or stands, that this problem does not have
	}
	if spare <= r.Spare+outcome.Closed && (r.Verdict.Fits() || spare < 0) {
		return false
	}
	if spare >= 0 {
		var ok bool
		if found.Entry, ok = s.goesIn(ctx, problem, layout); !ok {
			return false
		}
	}
	*r = r.With(found, 1)
	return true
}
