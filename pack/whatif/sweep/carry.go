package sweep

import (
	"context"

	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/limit"
	"rackwright/pack/search"
)

// A layout of one value is often good for the next one too, when its boxes move a
// little: searches that are cut short miss less that way. carry offers the layout of each
// point to the next, upwards and downwards.
func carry(ctx context.Context, points []Point, settings search.Settings) {
	for i := 1; i < len(points) && ctx.Err() == nil; i++ {
		points[i].offer(ctx, points[i-1], settings)
	}
	for i := len(points) - 2; i >= 0 && ctx.Err() == nil; i-- {
		points[i].offer(ctx, points[i+1], settings)
	}
}

// offer takes over the layout of another point where it is an answer with more to
// spare: moved to where it has the most, or else as it is, which goes in where larger
// boxes did.
func (p *Point) offer(ctx context.Context, from Point, settings search.Settings) {
	if !p.Done || !from.Done || len(from.Result.Layouts) == 0 {
		return
	}
	as := from.Result.Layouts[0].Layout
	if moved, _, err := limit.Best(p.Problem, as); err == nil && p.takes(ctx, moved, settings) {
		return
	}
	p.takes(ctx, as, settings)
}

// takes makes a layout the point's result if it is a better one.
func (p *Point) takes(ctx context.Context, layout pack.Layout, settings search.Settings) bool {
	found := search.Found{Layout: layout, Report: pack.Check(p.Problem, layout)}
	spare := found.Report.Spare
	if len(found.Report.Faults) > 0 {
		return false // of a number of boxes, or stands, that the next value does not have
	}
	if spare <= p.Result.Spare+search.Closed && (p.Result.Verdict.Fits() || spare < 0) {
		return false
	}
	if spare >= 0 && !settings.AnyEntry {
		var err error
		found.Entry, err = entry.Plan(context.WithoutCancel(ctx), p.Problem, layout, settings.Tool)
		if err != nil || !found.Entry.Holds() {
			return false
		}
	}
	p.Result = p.Result.With(found, 1)
	return true
}
