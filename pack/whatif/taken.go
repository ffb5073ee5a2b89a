package whatif

import (
	"context"
	"math"

	"rackwright/pack"
)

// Taken returns the least concession with which a layout would hold as it stands, no box
// moved, and whether there is one that the frame file allows. Notches are as shallow as they
// can be in whole millimetres, and within that cut wider than needed by what the layout has
// to spare elsewhere, as in Concessions. It searches nothing.
func Taken(ctx context.Context, problem pack.Problem, layout pack.Layout, settings Settings) (Concession, bool) {
	t := &tryer{ctx: ctx, problem: problem, settings: settings}
	t.collect()
	if len(t.things) == 0 {
		return Concession{}, false
	}
	for _, set := range t.sets() {
		f, err := t.conceded(set, math.Inf(1))
		if err != nil || t.lastRails(set) != "" || !pack.Check(t.with(f), layout).Holds() {
			continue
		}
		if c, ok := t.inPlace(set, layout); ok {
			return c, true
		}
	}
	return Concession{}, false
}
