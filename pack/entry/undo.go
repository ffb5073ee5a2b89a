package entry

import (
	"context"
	"fmt"

	"rackwright/pack"
	"rackwright/pack/entry/ways"
)

// Undo returns how to get at one box alone: the boxes that have to come out before
// it, and last the box itself, each with its legs outward. With the fewest things off
// it takes the fewest boxes, of more than 4096 sets of boxes to try one that none can
// be left out of. The steps are empty when the box cannot come out at all.
// It returns an error when the layout has no such box or does not belong to the
// problem, and that of ctx when it ends before the answer is known.
func Undo(ctx context.Context, problem pack.Problem, layout pack.Layout, box pack.Part) ([]Step, error) {
	p, err := newPlanner(ctx, problem, layout)
	if err != nil {
		return nil, err
	}
	target := p.index(box)
	if target < 0 {
		return nil, fmt.Errorf("the layout has no %v", box)
	}
	p.above = p.standings()
	steps := p.undo(target)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return steps, nil
}

func (p *planner) undo(target int) []Step {
	frees := func(present ways.Set, boxes []int) bool {
		_, ok := p.takeOut(present, target, boxes)
		return ok
	}
	var others []int
	for i := range p.boxes {
		if i != target {
			others = append(others, i)
		}
	}
	if !frees(p.bare(), others) {
		return nil
	}
	off := leastSubset(p.looseOwners(), func(off []int) bool { return frees(p.without(off), others) })
	first := leastSubset(others, func(boxes []int) bool { return frees(p.without(off), boxes) })
	out, _ := p.takeOut(p.without(off), target, first)
	return p.stepsOut(out, off)
}

// takeOut takes out those of boxes that can go, and then target, and tells whether
// target could go.
func (p *planner) takeOut(present ways.Set, target int, boxes []int) ([]removal, bool) {
	stays := present
	for _, i := range append([]int{target}, boxes...) {
		stays = stays.Without(i)
	}
	after := make([]ways.Set, len(p.boxes))
	for i := range p.boxes {
		if stays.Has(i) || i == target {
			after[i] = ways.SetOf(len(p.boxes)) // never goes
		}
	}
	out, left := p.takeApart(present, 0, after)
	rest := left.Union(p.thingsIn(present))
	way, ok := p.wayOut(target, 0, rest)
	return append(out, removal{target, way}), ok
}

// stepsOut returns the steps of removals, outward, each with as much of off in place
// as can be.
func (p *planner) stepsOut(out []removal, off []int) []Step {
	var list []Step
	present, side := p.without(off), p.mainSide(out)
	for _, r := range out {
		way, names := p.inPlaceFirst(r, off, side, present)
		part := p.boxes[r.box].part
		list = append(list, Step{Box: part.Box, Number: part.Number, Legs: way.Legs, Off: names})
		present = present.Without(r.box)
	}
	return list
}
