package entry

import (
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack/entry/ways"
)

// plan finds the order. Orders in which every post can be reached come first, then
// those with the fewest things off. Where the context ends it is the best order so far.
func (p *planner) plan() Answer {
	for _, after := range [][]ways.Set{p.toolOrder(), nil} {
		present := p.bare()
		if out, left := p.takeApart(present, 0, after); left.Empty() {
			off := p.leastOff(after)
			order := p.order(off, after)
			if order == nil { // the context has ended
				order, off = out, p.looseOwners()
			}
			return Answer{GoesIn: true, Order: p.stepsOf(order, off), Reach: p.reaches(turns(order))}
		}
	}
	present := p.bare()
	_, left := p.takeApart(present, 0, nil)
	return Answer{Stuck: p.stuck(present, left)}
}

// order returns how the boxes come out, with off taken off: by the side that the
// fewest boxes leave other than, then with the fewest legs, then by the order of
// ways.Vehicle. It is nil where the context ended before one was found.
func (p *planner) order(off []int, after []ways.Set) []removal {
	present := p.without(off)
	var best []removal
	for side := range ways.Vehicle() {
		out, _ := p.takeApart(present, side, after)
		if len(out) == len(p.boxes) && (best == nil || p.simpler(out, side, best, p.mainSide(best))) {
			best = out
		}
	}
	return best
}

func (p *planner) without(off []int) ways.Set {
	present := p.all()
	for _, owner := range off {
		present = present.Without(owner)
	}
	return present
}

func (p *planner) simpler(a []removal, sideA int, b []removal, sideB int) bool {
	otherA, otherB := p.others(a, sideA), p.others(b, sideB)
	if otherA != otherB {
		return otherA < otherB
	}
	return legs(a) < legs(b)
}

// others counts the boxes that leave on another side.
func (p *planner) others(out []removal, side int) int {
	n := 0
	for _, r := range out {
		if p.leaves(r) != side {
			n++
		}
	}
	return n
}

// mainSide returns the side on which most boxes leave, the first such.
func (p *planner) mainSide(out []removal) int {
	best := 0
	for side := range ways.Vehicle() {
		if p.others(out, side) < p.others(out, best) {
			best = side
		}
	}
	return best
}

func legs(out []removal) int {
	n := 0
	for _, r := range out {
		n += len(r.way.Legs)
	}
	return n
}

// stepsOf turns removals round into an order.
func (p *planner) stepsOf(out []removal, off []int) Order {
	steps := p.stepsOut(out, off)
	slices.Reverse(steps)
	for n := range steps {
		steps[n].Legs = reversed(steps[n].Legs)
	}
	return Order{Steps: steps}
}

// inPlaceFirst finds the removal's way with the fewest of off away.
func (p *planner) inPlaceFirst(r removal, off []int, side int, present ways.Set) (ways.Way, []string) {
	away := leastSubset(off, func(away []int) bool {
		_, ok := p.wayOut(r.box, side, present.Union(p.except(off, away)))
		return ok
	})
	way, _ := p.wayOut(r.box, side, present.Union(p.except(off, away)))
	var names []string
	for _, owner := range away {
		names = append(names, p.things[owner-len(p.boxes)].name)
	}
	return way, names
}

// except returns the owners of list that are not in away.
func (p *planner) except(list, away []int) ways.Set {
	var set ways.Set
	for _, owner := range list {
		if !slices.Contains(away, owner) {
			set = set.With(owner)
		}
	}
	return set
}

// wayOut returns the way with the fewest legs.
func (p *planner) wayOut(box, side int, present ways.Set) (ways.Way, bool) {
	for legs := 1; legs <= ways.MaxLegs; legs++ {
		if w, ok := p.movers[box].Way(legs, side, present); ok {
			return w, true
		}
	}
	return ways.Way{}, false
}

// reversed returns the legs of the way in for those of a way out.
func reversed(legs []r3.Vector) []r3.Vector {
	in := make([]r3.Vector, len(legs))
	for n, leg := range legs {
		// Adding the zero vector turns −0, which reads oddly in a file, to 0.
		in[len(legs)-1-n] = leg.Mul(-1).Add(r3.Vector{})
	}
	return in
}

// leastOff returns the fewest of the owners that come off with which the layout comes
// apart. It does with all of them off.
func (p *planner) leastOff(after []ways.Set) []int {
	return leastSubset(p.looseOwners(), func(off []int) bool {
		_, left := p.takeApart(p.without(off), 0, after)
		return left.Empty()
	})
}
