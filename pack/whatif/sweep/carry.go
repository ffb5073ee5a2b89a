package sweep

import (
	"context"

	"rackwright/pack/search"
	"rackwright/pack/whatif"
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

// offer takes over the layout of another point where it is an answer with more to spare.
func (p *Point) offer(ctx context.Context, from Point, settings search.Settings) {
	if p.Done && from.Done && len(from.Result.Layouts) > 0 {
		whatif.Settings{Search: settings}.Offer(ctx, p.Problem, &p.Result, from.Result.Layouts[0].Layout)
	}
}
