package entry

import (
	"context"

	"github.com/golang/geo/r3"

	"rackwright/pack"
	"rackwright/pack/entry/ways"
)

// Barred tells whether it is certain that no layout near one goes in: none that has each box
// off its place by at most slack along the axes, stands as that does, and keeps every gap of
// the pack with at least spare, which is not negative, to spare. False says nothing. Its
// errors are those of Plan.
//
// Method: every box is taken apart from what of the others is in its way wherever they are
// (ways.Near). What is left stays stuck: the first of it that left, in any such layout, would
// have had a way past the rest.
func Barred(ctx context.Context, problem pack.Problem, layout pack.Layout, slack []r3.Vector, spare float64) (bool, error) {
	s, err := newScene(problem, layout)
	if err != nil {
		return false, err
	}
	air := min(s.air, spare)
	p := &planner{scene: s, ctx: ctx, movers: s.newMovers(func(box int) *ways.Near { return s.near(box, slack, air) })}
	_, left := p.takeApart(p.bare(), 0, nil)
	if err := ctx.Err(); err != nil {
		return false, err
	}
	return !left.Empty(), nil
}

// near is how far a box may be off its place as seen from each owner, and the air that it
// keeps to it.
func (s *scene) near(box int, slack []r3.Vector, air float64) *ways.Near {
	n := &ways.Near{}
	for other := range s.boxes {
		n.Slack, n.Air = append(n.Slack, slack[box].Add(slack[other])), append(n.Air, air)
	}
	for _, t := range s.things {
		one := air
		if t.side {
			one = s.sideAir(air)
		}
		n.Slack, n.Air = append(n.Slack, slack[box]), append(n.Air, one)
	}
	return n
}

// sideAir is the air that a box keeps to the plate that stands for a side of the opening. The
// pack's gap is to all that is beyond the side, from which the plate differs by rounding.
// Where the outline is not convex it is to pieces, by other sheets: then it may be none.
func (s *scene) sideAir(air float64) float64 {
	const rounding = 1e-6 // mm
	if !s.convex {
		return 0
	}
	return max(0, air-rounding)
}
