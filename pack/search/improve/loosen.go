package improve

import (
	"cmp"
	"maps"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack/lp"
	"rackwright/pack/search/model"
)

// Where boxes are alike, many chains of relations limit the spare at once, and no other plane
// for one of them allows more. Loosening breaks one chain after the other, each by what the
// boxes have to move least for, as long as that costs no spare: until no chain limits it any
// more, or one cannot be broken.

// remedy is what may break a chain: another plane for one of its relations, or another pose of
// one of its boxes that leaves the case in its place. Only the fields of its sort are set. It is
// tried, and taken back where it costs spare.
type remedy struct {
	of   model.Relation // whose plane is to be another; of a turn, i is the box
	to   model.Plane
	turn bool
	pose int     // of a turn
	lack float64 // what the present places leave too little for it, in mm
}

// use is what a remedy is for: each relation, and each box that may turn, has its turn once.
// Without it loosening could go back and forth between two planes that cost the same.
type use struct {
	of   model.Relation
	turn bool
}

// use is what the remedy counts as.
func (r *remedy) use() use { return use{r.of, r.turn} }

// loosen breaks the chains that limit the spare, and tells whether it is greater then; if not,
// nothing has changed.
//
// A broken chain gains nothing by itself: the spare rises only with the last of them. So the places
// may wander, at no loss, through many programs, and are put back if that leads nowhere.
func (v *Improver) loosen() bool {
	spots, spare, tight := v.Spots, v.Spare, v.Tight
	// For one loosening.
	used := map[use]bool{}
	v.chooseSides()
	solver := v.program()
	next, ok := v.finish(solver, v.Spare-model.Rounding)
	for ok {
		v.Spots = next
		// The last chain is broken.
		if left := v.m.SharpLeft(next); left > spare+LeastGain {
			v.Spare = left
			lp.Return(solver)
			return true
		}
		last := solver
		solver, next, ok = v.breakChain(last, used)
		lp.Return(last)
	}
	v.Spots, v.Spare, v.Tight = spots, spare, tight
	return false
}

// breakChain tries remedies for what limits the spare in a solved program, and gives the
// program and the places with the first that costs no spare. The program it is given stays as it
// was.
func (v *Improver) breakChain(solved *lp.Solver, used map[use]bool) (*lp.Solver, []model.Spot, bool) {
	for _, r := range v.remedies(solved, used) {
		if v.halt(0) {
			break
		}
		if solver, next, ok := v.try(r, solved, v.Spare-model.Rounding); ok {
			used[r.use()] = true
			return solver, next, true
		}
	}
	return nil, nil, false
}

// try solves a program anew with a remedy, and gives it and the places where the spare exceeds
// cutoff; else nothing has changed. The cutoff is given to the solver, which stops as soon as it
// cannot be reached.
func (v *Improver) try(r remedy, solved *lp.Solver, cutoff float64) (*lp.Solver, []model.Spot, bool) {
	sides, order, spots := maps.Clone(v.sides), slices.Clone(v.order), v.Spots
	solver := lp.LendCopy(solved)
	v.apply(r, solver)
	if next, ok := v.finish(solver, cutoff); ok && v.m.SharpLeft(next) >= cutoff-model.Rounding {
		return solver, next, true
	}
	lp.Return(solver)
	v.sides, v.order, v.Spots = sides, order, spots
	return nil, nil, false
}

// apply changes sides, places and a program of them as a remedy asks. A box that turns gets new
// relations for its posts; those of its case stay what they are, but their numbers are of other
// clauses, so all are made anew.
func (v *Improver) apply(r remedy, solver *lp.Solver) {
	from := len(v.order)
	if r.turn {
		box := r.of.I
		v.Spots = slices.Clone(v.Spots)
		v.Spots[box].Pose = r.pose
		for row, of := range v.order {
			if of.Sort != model.NoRelation && slices.Contains(of.Boxes(), box) {
				v.drop(row, solver)
			}
		}
		// As at the beginning of a program.
		v.addBroken(v.Spots, v.Spare, programMargin)
	} else {
		v.drop(slices.Index(v.order, r.of), solver)
		v.add(model.Side{Of: r.of, Plane: r.to})
	}
	v.push(solver, from)
}

// drop takes a relation out of the sides and its row out of the program. The place in the order is
// kept, since rows are told by it.
func (v *Improver) drop(row int, solver *lp.Solver) {
	delete(v.sides, v.order[row])
	v.order[row] = model.Relation{}
	solver.Drop(row)
}

// remedies lists the remedies for what limits the spare in a solved program, those first that
// are tried first. Each relation and each box has its turn once. No more than mostRemedies are
// tried for one chain: where the nearest do not help, those farther off seldom do.
func (v *Improver) remedies(solved *lp.Solver, used map[use]bool) []remedy {
	rows := v.limiting(solved)
	v.noteTight(rows)
	var all []remedy
	for _, row := range rows {
		if of := v.order[row]; of.Open() && !used[use{of: of}] {
			all = v.otherPlanes(of, v.Spare, all)
		}
	}
	for _, i := range v.Tight {
		if !used[use{of: model.Relation{I: i}, turn: true}] {
			all = v.otherPoses(i, all)
		}
	}
	slices.SortStableFunc(all, inTurn)
	return all[:min(len(all), mostRemedies)]
}

// inTurn compares remedies: turns come last, for a box that has turned mostly limits again, and
// of others those that lack more.
func inTurn(a, b remedy) int {
	switch {
	case a.turn == b.turn:
		return cmp.Compare(a.lack, b.lack)
	case b.turn:
		return -1
	}
	return 1
}

// otherPlanes adds every other plane for a relation to a list, with what the places lack of a
// spare for it. What the places lack for a plane is how far boxes would have to move for it.
func (v *Improver) otherPlanes(of model.Relation, spare float64, list []remedy) []remedy {
	p := v.Spots[of.I].At
	if of.OfTwo() {
		p = p.Sub(v.Spots[of.J].At)
	}
	now := v.sides[of].Plane
	for _, f := range v.m.ClauseOf(of, v.Spots).Planes {
		f.K *= now.K // 0 for a tool
		if f != now {
			list = append(list, remedy{of: of, to: f, lack: f.K*spare - f.Left(p)})
		}
	}
	return list
}

// otherPoses adds to a list every pose of box i that leaves its case where it is and has its
// posts elsewhere. They change nothing but which relations posts are in.
func (v *Improver) otherPoses(i int, list []remedy) []remedy {
	now := v.m.PoseOf(i, v.Spots[i])
	for _, pose := range v.m.Useful[v.m.Boxes[i].Kind] {
		to := model.Spot{Pose: pose, At: v.Spots[i].At}
		if p := v.m.PoseOf(i, to); p.SameCase(now) && !samePosts(p, now) {
			list = append(list, remedy{of: model.Relation{I: i}, turn: true, pose: pose, lack: v.lackAt(i, to)})
		}
	}
	return list
}

// samePosts tells whether two poses that are alike but for their posts have these about
// in the same places. Posts of either pole may stand where the other's were: it is places that
// count.
func samePosts(p *model.Pose, q *model.Pose) bool {
	const about = 10 // mm
	for _, a := range p.Parts {
		if !slices.ContainsFunc(q.Parts, func(b model.Part) bool { return a.Offset.Sub(b.Offset).Norm() < about }) {
			return false
		}
	}
	return true
}

// lackAt is the sum of what the relations of box i lack of the spare at a spot. It is a measure of
// how promising the spot is, not of how bad: a sum, where the spare is a minimum.
func (v *Improver) lackAt(i int, at model.Spot) float64 {
	kind, sum := v.m.Boxes[i].Kind, 0.0
	v.Work.Relations(len(v.m.Walls[kind][at.Pose]) + len(v.m.Solids[kind][at.Pose]) + len(v.Spots))
	for _, f := range v.m.Walls[kind][at.Pose] {
		sum += max(0, f.Lack(at.At, v.Spare))
	}
	lack := func(clauses []model.Clause, p r3.Vector) {
		for k := range clauses {
			sum += max(0, v.Spare-clauses[k].Left(p))
		}
	}
	lack(v.m.Solids[kind][at.Pose], at.At)
	for j, s := range v.Spots {
		if j != i {
			lack(v.m.PairClauses(j, s, i, at), at.At.Sub(s.At))
		}
	}
	return sum
}
