package search

import (
	"cmp"
	"maps"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack/lp"
)

// Where boxes are alike, many chains of relations limit the spare at once, and no other plane
// for one of them allows more. Loosening breaks one chain after the other, each by what the
// boxes have to move least for, as long as that costs no spare: until no chain limits it any
// more, or one cannot be broken.

// remedy is what may break a chain: another plane for one of its relations, or another pose of
// one of its boxes that leaves the case in its place.
type remedy struct {
	of   relation // whose plane is to be another; of a turn, i is the box
	to   plane
	turn bool
	pose int     // of a turn
	lack float64 // what the present places leave too little for it, in mm
}

// use is what a remedy is for: each relation, and each box that may turn, has its turn once.
type use struct {
	of   relation
	turn bool
}

func (r *remedy) use() use { return use{r.of, r.turn} }

// remedies is how many remedies are tried for a chain.
const remedies = 8

// loosen breaks the chains that limit the spare, and tells whether it is greater then; if not,
// nothing has changed.
func (v *improver) loosen() bool {
	spots, spare, tight := v.spots, v.spare, v.tight
	used := map[use]bool{}
	v.chooseSides()
	solver := v.program()
	next, ok := v.finish(solver, v.spare-keep)
	for ok {
		v.spots = next
		if left := v.m.sharpLeft(next); left > spare+enough {
			v.spare = left
			discard(solver)
			return true
		}
		last := solver
		solver, next, ok = v.breakChain(last, used)
		discard(last)
	}
	v.spots, v.spare, v.tight = spots, spare, tight
	return false
}

// breakChain tries remedies for what limits the spare in a solved program, and gives the
// program and the places with the first that costs no spare.
func (v *improver) breakChain(solved *lp.Solver, used map[use]bool) (*lp.Solver, []spot, bool) {
	for _, r := range v.remedies(solved, used) {
		if v.halt(0) {
			break
		}
		if solver, next, ok := v.try(r, solved, v.spare-keep); ok {
			used[r.use()] = true
			return solver, next, true
		}
	}
	return nil, nil, false
}

// try solves a program anew with a remedy, and gives it and the places where the spare exceeds
// cutoff; else nothing has changed.
func (v *improver) try(r remedy, solved *lp.Solver, cutoff float64) (*lp.Solver, []spot, bool) {
	sides, order, spots := maps.Clone(v.sides), slices.Clone(v.order), v.spots
	solver := copyOf(solved)
	v.apply(r, solver)
	if next, ok := v.finish(solver, cutoff); ok && v.m.sharpLeft(next) >= cutoff-keep {
		return solver, next, true
	}
	discard(solver)
	v.sides, v.order, v.spots = sides, order, spots
	return nil, nil, false
}

// apply changes sides, places and a program of them as a remedy asks.
func (v *improver) apply(r remedy, solver *lp.Solver) {
	from := len(v.order)
	if r.turn {
		box := r.of.i
		v.spots = slices.Clone(v.spots)
		v.spots[box].pose = r.pose
		for row, of := range v.order {
			if of.sort != noRelation && slices.Contains(of.boxes(), box) {
				v.drop(row, solver)
			}
		}
		v.addBroken(v.spots, v.spare, margin)
	} else {
		v.drop(slices.Index(v.order, r.of), solver)
		v.add(side{r.of, r.to})
	}
	v.push(solver, from)
}

// drop takes a relation out of the sides and its row out of the program.
func (v *improver) drop(row int, solver *lp.Solver) {
	delete(v.sides, v.order[row])
	v.order[row] = relation{}
	solver.Drop(row)
}

// remedies lists the remedies for what limits the spare in a solved program, those first that
// are tried first. Each relation and each box has its turn once.
func (v *improver) remedies(solved *lp.Solver, used map[use]bool) []remedy {
	rows := v.limiting(solved)
	v.noteTight(rows)
	var all []remedy
	for _, row := range rows {
		if of := v.order[row]; of.open() && !used[use{of: of}] {
			all = v.otherPlanes(of, v.spare, all)
		}
	}
	for _, i := range v.tight {
		if !used[use{of: relation{i: i}, turn: true}] {
			all = v.otherPoses(i, all)
		}
	}
	slices.SortStableFunc(all, inTurn)
	return all[:min(len(all), remedies)]
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
// spare for it.
func (v *improver) otherPlanes(of relation, spare float64, list []remedy) []remedy {
	p := v.spots[of.i].at
	if of.ofTwo() {
		p = p.Sub(v.spots[of.j].at)
	}
	now := v.sides[of].plane
	for _, f := range v.m.clauseOf(of, v.spots).planes {
		f.k *= now.k // 0 for a tool
		if f != now {
			list = append(list, remedy{of: of, to: f, lack: f.k*spare - f.left(p)})
		}
	}
	return list
}

// otherPoses adds to a list every pose of box i that leaves its case where it is and has its
// posts elsewhere.
func (v *improver) otherPoses(i int, list []remedy) []remedy {
	now := v.m.poseOf(i, v.spots[i])
	for _, pose := range v.m.useful[v.m.boxes[i].kind] {
		to := spot{pose, v.spots[i].at}
		if p := v.m.poseOf(i, to); p.sameCase(now) && !p.samePosts(now) {
			list = append(list, remedy{of: relation{i: i}, turn: true, pose: pose, lack: v.lackAt(i, to)})
		}
	}
	return list
}

// samePosts tells whether two poses that are alike but for their posts have these about
// in the same places.
func (p *pose) samePosts(q *pose) bool {
	const about = 10 // mm
	for _, a := range p.parts {
		if !slices.ContainsFunc(q.parts, func(b part) bool { return a.offset.Sub(b.offset).Norm() < about }) {
			return false
		}
	}
	return true
}

// lackAt is the sum of what the relations of box i lack of the spare at a spot.
func (v *improver) lackAt(i int, at spot) float64 {
	kind, sum := v.m.boxes[i].kind, 0.0
	v.work.relations(len(v.m.walls[kind][at.pose]) + len(v.m.solids[kind][at.pose]) + len(v.spots))
	for _, f := range v.m.walls[kind][at.pose] {
		sum += max(0, v.spare-f.left(at.at))
	}
	lack := func(clauses []clause, p r3.Vector) {
		for k := range clauses {
			sum += max(0, v.spare-clauses[k].left(p))
		}
	}
	lack(v.m.solids[kind][at.pose], at.at)
	for j, s := range v.spots {
		if j != i {
			lack(v.m.pairClauses(j, s, i, at), at.at.Sub(s.at))
		}
	}
	return sum
}
