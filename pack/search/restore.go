package search

import (
	"cmp"
	"maps"
	"slices"

	lp "rackwright/pack/search/simplex"
)

// Where tools need no room there is more to spare, and it is found sooner. So a layout in which
// they have it is improved once more as if they needed none, and then they are given it back
// (restored): what may be done for the tools that lack most makes a tree, in which the program of
// the layout is solved at every branch.

// relaxed does so with a candidate that an improver has reached, and gives what has more to spare
// than the best answer and the candidate, which it was before, or the candidate.
func (r *run) relaxed(c candidate, v *improver, work *effort) candidate {
	if r.reach == nil || v.lacking || c.spare < max(0, relaxing*r.toBeat()) {
		return c
	}
	spots, spare, least := c.spots, c.spare, max(0, r.pool.spare())
	if v.tools {
		free := r.newImprover(c.spots)
		free.run(r.floor())
		*work += free.work
		spots, spare, least = free.spots, free.spare, max(least, c.spare)
	}
	if spare < least+worthIt {
		return c
	}
	w := r.newImprover(spots)
	if w.forTools(); w.lacking && !w.restore(least) {
		*work += w.work
		return c
	}
	to := r.improved(c.start+2*perImproved, w, work)
	before := &to
	for before.early != nil {
		before = before.early
	}
	before.early = &c
	return to
}

// relaxing is the part of the best spare that a candidate has to have to be improved without tools.
const relaxing = 0.97

// worthIt is the gain in millimetres below which tools are not given their room back.
const worthIt = 1e-3

// restorer gives tools their room back.
type restorer struct {
	*improver
	least    float64 // the spare to exceed, that of what has been found where something has
	found    []spot
	programs int // how many more may be solved
}

// programs is how many programs are solved at most to give tools their room back.
const programs = 150

// restore gives tools their room where that leaves more to spare than least, and tells whether it
// does; if not, nothing has changed.
func (v *improver) restore(least float64) bool {
	spots := v.spots
	r := &restorer{improver: v, least: least, programs: programs}
	v.tools = false // clearings say which sides they have
	v.chooseSides()
	program := v.program()
	if next, ok := v.finish(program, least+enough); ok {
		r.from(branch{program: program, spots: next, sides: v.sides, order: v.order})
	}
	v.tools, v.spots = true, spots
	if r.found == nil {
		return false
	}
	v.spots, v.spare, v.lacking = r.found, v.sharpLeft(r.found), false
	return true
}

// branch is a layout with some of its tools' room.
type branch struct {
	program *lp.Solver // solved; its value is the spare
	spots   []spot
	sides   map[[3]int]side
	order   [][3]int
	turned  []int // boxes that have been turned; none is twice
}

// clearing is what may be done for tools: sides that keep them clear, or a turn.
type clearing struct {
	sides []side
	turn  remedy
}

// from takes every clearing there is for the tools that lack most, and goes on from what that
// leads to, most to spare first.
func (r *restorer) from(b branch) {
	all := r.clearings(b)
	if all == nil {
		r.found, r.least = b.spots, b.program.Value()
		return
	}
	var next []branch
	for _, c := range all {
		if r.programs <= 0 || r.halt(0) {
			break
		}
		if to, ok := r.take(b, c); ok {
			next = append(next, to)
		}
	}
	slices.SortStableFunc(next, func(a, b branch) int { return cmp.Compare(b.program.Value(), a.program.Value()) })
	for _, to := range next {
		if to.program.Value() > r.least+enough {
			r.from(to)
		}
	}
}

// raisable is the part of the spare to exceed that a clearing has to leave at first.
const raisable = 0.7

// take takes a clearing, and tells whether it leaves more than the spare to exceed.
func (r *restorer) take(b branch, c clearing) (branch, bool) {
	r.spots, r.sides, r.order = b.spots, maps.Clone(b.sides), slices.Clone(b.order)
	program, turned := r.copyOf(b.program), b.turned
	if c.turn.turns() {
		r.apply(c.turn, program)
		turned = append(slices.Clone(turned), c.turn.key[0])
	} else {
		from := len(r.order)
		for _, s := range c.sides {
			r.add(s)
		}
		r.push(program, from)
	}
	r.programs--
	next, ok := r.finish(program, raisable*r.least)
	if !ok {
		return branch{}, false
	}
	program, next = r.raise(program, next)
	return branch{program, next, r.sides, r.order, turned}, program.Value() > r.least+enough
}

// raises is how often it is tried to raise the spare of a branch, swaps how many other planes are
// tried for it, and near is how many millimetres one may lack to be among them.
const (
	raises = 6
	swaps  = 3
	near   = 10
)

// raise takes other planes for relations that limit the spare of a solved program, until it
// exceeds what it has to. Most were chosen where others do as well.
func (r *restorer) raise(program *lp.Solver, spots []spot) (*lp.Solver, []spot) {
	for range raises {
		if program.Value() > r.least+enough {
			break
		}
		r.spots = spots
		better, next := r.swap(program)
		if better == nil {
			break
		}
		program, spots = better, next
	}
	return program, spots
}

// swap takes the first other plane that allows more; nil if none does.
func (r *restorer) swap(solved *lp.Solver) (*lp.Solver, []spot) {
	var list []remedy
	for _, row := range r.limiting(solved) {
		if key := r.order[row]; key[2] >= 0 && key[2] < firstTool {
			list = r.otherPlanes(key, r.least, list)
		}
	}
	slices.SortStableFunc(list, inTurn)
	for _, to := range list[:min(len(list), swaps)] {
		if to.lack > near {
			break
		}
		r.programs--
		if program, next, ok := r.try(to, solved, solved.Value()+worthIt); ok {
			return program, next
		}
	}
	return nil, nil
}

// far is how many millimetres tools may lack along an axis for that to be a clearing.
const far = 80

// clearings lists what may be done for the tools that lack most; nil where none lack.
func (r *restorer) clearings(b branch) []clearing {
	r.spots = b.spots
	i, j, which := r.mostLacking()
	if which < 0 {
		return nil
	}
	list := []clearing{}
	if j == onFrame {
		list = r.clearOfFrame(i, which, list)
	} else {
		list = r.clearOfEachOther(i, j, list)
	}
	for _, box := range []int{i, j} {
		if box == onFrame || slices.Contains(b.turned, box) {
			continue
		}
		for _, t := range r.otherPoses(box, nil) {
			list = append(list, clearing{turn: t})
		}
	}
	return list
}

// clearOfFrame adds to a list the nearest planes of clause which for the tools over box i.
func (r *restorer) clearOfFrame(i, which int, list []clearing) []clearing {
	for _, f := range r.reach[r.boxes[i].kind][r.spots[i].pose][which].nearest(r.spots[i].at, waysOut, nil) {
		f.k = 0
		list = append(list, clearing{sides: []side{{i, onFrame, firstTool + which, f}}})
	}
	return list
}

// clearOfEachOther adds to a list each way along an axis for the tools of either of two boxes.
func (r *restorer) clearOfEachOther(i, j int, list []clearing) []clearing {
	d := r.spots[i].at.Sub(r.spots[j].at)
	for whose, clauses := range r.pairingIn(j, r.spots[j], i, r.spots[i]).tools {
		for way := range 6 { // the first planes of clauses
			var c clearing
			lack := 0.0
			for k := range clauses {
				f := clauses[k].planes[way]
				lack = max(lack, -f.left(d))
				f.k = 0
				c.sides = append(c.sides, side{i, j, firstTool + 2*k + whose, f})
			}
			if lack <= far {
				list = append(list, c)
			}
		}
	}
	return list
}

// lacks is how many millimetres tools have to lack to be given room.
const lacks = 1e-7

// mostLacking finds the tools that lack most: of a pair of boxes, or of box i with the frame and
// the number of the clause, which is below 0 where none lack.
func (r *restorer) mostLacking() (i, j, which int) {
	least := -lacks
	i, j, which = onFrame, onFrame, -1
	note := func(a, b, k int, left float64) {
		if left < least {
			least, i, j, which = left, a, b, k
		}
	}
	for a, s := range r.spots {
		clauses := r.reach[r.boxes[a].kind][s.pose]
		r.work.relations(len(clauses) + a)
		for k := range clauses {
			note(a, onFrame, k, clauses[k].left(s.at))
		}
		for b := range a {
			left, _ := r.pairingIn(b, r.spots[b], a, s).toolsLeft(s.at.Sub(r.spots[b].at))
			note(a, b, 0, left)
		}
	}
	return i, j, which
}
