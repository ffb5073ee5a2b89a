package entry

import (
	"context"
	"fmt"
	"slices"

	"rackwright/pack"
	"rackwright/pack/entry/ways"
)

// Undo returns how to get at one box alone: the boxes that have to come out before
// it, and last the box itself, each with its legs outward. With the fewest things off
// it takes the fewest boxes, of more than maxFirst sets of boxes to try one that none can
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

// Undos returns what Undo does of every box, in the order of the layout.
func Undos(ctx context.Context, problem pack.Problem, layout pack.Layout) ([][]Step, error) {
	p, err := newPlanner(ctx, problem, layout)
	if err != nil {
		return nil, err
	}
	p.above = p.standings()
	var all [][]Step
	for target := range p.boxes {
		all = append(all, p.undo(target))
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return all, nil
}

func (p *planner) undo(target int) []Step {
	var others []int
	for i := range p.boxes {
		if i != target {
			others = append(others, i)
		}
	}
	frees := func(off, boxes []int) bool { return p.takeOut(p.without(off), target, boxes).free }
	enough := func(off []int) bool {
		first, known := p.fewest(p.without(off), target)
		return known && first != nil || !known && frees(off, others)
	}
	if !enough(p.looseOwners()) {
		return nil
	}
	off := leastSubset(p.looseOwners(), enough)
	first, known := p.fewest(p.without(off), target)
	if !known {
		first = thinned(others, func(boxes []int) bool { return frees(off, boxes) })
	}
	return p.stepsOut(p.takeOut(p.without(off), target, first).out, off)
}

// maxFirst is how many sets of boxes are tried for the fewest that have to come out first.
const maxFirst = 1024

// fewest returns the fewest boxes that have to come out before target, among these the
// first in the order of the layout; nil when it cannot come out whatever does, and false
// when that was not found out in maxFirst sets.
//
// A set that is not enough names the boxes of which one more has to come out; so of each
// size only sets are tried that have one of these more than a set that is not enough.
func (p *planner) fewest(present ways.Set, target int) ([]int, bool) {
	tried := 0
	for level := [][]int{{}}; len(level) > 0; {
		var next [][]int
		for _, boxes := range level {
			if tried++; tried > maxFirst || p.ctx.Err() != nil {
				return nil, false
			}
			try := p.takeOut(present, target, boxes)
			if try.free {
				return boxes, true
			}
			for _, more := range p.needed(try.left, target, boxes) {
				next = append(next, slices.Sorted(slices.Values(append(slices.Clone(boxes), more))))
			}
		}
		slices.SortFunc(next, slices.Compare)
		level = slices.CompactFunc(next, slices.Equal)
	}
	return nil, true
}

// needed returns boxes of which one more has to come out: those in the way of target and
// of those of boxes that are held themselves, where left is there.
func (p *planner) needed(left ways.Set, target int, boxes []int) []int {
	var list []int
	seen := ways.Set{}.With(target)
	for next := []int{target}; len(next) > 0; next = next[1:] {
		for _, owner := range p.movers[next[0]].Blockers(left).Members() {
			switch {
			case owner >= len(p.boxes) || seen.Has(owner):
				continue
			case slices.Contains(boxes, owner):
				next = append(next, owner)
			default:
				list = append(list, owner)
			}
			seen = seen.With(owner)
		}
	}
	return list
}

// taking is what came of taking out boxes and then one more, the target.
type taking struct {
	out  []removal // of target too, where it is free
	left ways.Set  // all that is there when target is to go
	free bool
}

// takeOut takes out those of boxes that can go, and then target if it can.
func (p *planner) takeOut(present ways.Set, target int, boxes []int) taking {
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
	t := taking{out: out, left: left.Union(p.thingsIn(present))}
	way, ok := p.wayOut(target, 0, t.left)
	if t.free = ok; ok {
		t.out = append(t.out, removal{target, way})
	}
	return t
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
