package improve

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack"
	"rackwright/pack/lp"
	"rackwright/pack/search/model"
)

// Improver raises the spare of an arrangement: it chooses, for every relation, the plane
// that leaves most now, solves the linear program of those choices for the greatest spare,
// and starts over from there. Each round keeps what the last one reached, so the spare never
// falls. Where that ends it tries other planes for the relations that the program's
// multipliers name as limiting, one alone (flip) or for one after the other (loosen). Boxes
// keep their shapes; only loosening turns them, in their places.
//
// The order of the relations is that of the rows in the program; a relation that has been dropped
// leaves its place in it, as NoRelation.
type Improver struct {
	m     *model.Model
	Spots []model.Spot
	Spare float64
	sides map[model.Relation]model.Side // chosen planes
	order []model.Relation              // in the order they were added
	Tight []int                         // boxes of the relations that limited the spare when flip last looked
	held  []wish                        // what settling has reached
	grace int                           // numbers that may still be worked out once the search has to end; 0 for all
	// counted tells that they count from the beginning, not from the end of the search.
	counted bool
	// tools tells that the tools over posts are to have their room, lacking that they do not yet.
	tools, Lacking bool
	Work           model.Effort
}

// Raise returns a better arrangement of the same shapes, and its spare. What it takes is
// added to work.
func Raise(m *model.Model, spots []model.Spot, work *model.Effort) ([]model.Spot, float64) {
	v := New(m, spots)
	v.Run(math.Inf(-1))
	*work += v.Work
	return v.Spots, v.Spare
}

// New is an improver of an arrangement. It brings places that no layout may say to where one may:
// boxes that fit are never there. The spots given are not changed.
func New(m *model.Model, spots []model.Spot) *Improver {
	spots = slices.Clone(spots)
	far := func(mm float64) float64 { return max(-pack.MaxCentre, min(mm, pack.MaxCentre)) }
	for i, s := range spots {
		spots[i].At = r3.Vector{X: far(s.At.X), Y: far(s.At.Y), Z: far(s.At.Z)}
	}
	return &Improver{m: m, Spots: spots, Spare: m.SharpLeft(spots), grace: graceWork}
}

// Run climbs and tries other planes in turns. They are not tried for arrangements that the
// first climb leaves below promising. It gives the places and the spare after the first climb. Four
// turns at most: each turn costs more than the climb that made it possible.
func (v *Improver) Run(promising float64) ([]model.Spot, float64) {
	v.Climb()
	spots, spare := v.Spots, v.Spare
	// A flip or a loosening, then a climb.
	for range 4 {
		if v.Spare < promising || v.halt(perPair*v.m.Pairs()) || !v.flip() && !v.loosen() {
			break
		}
		v.Climb()
	}
	return spots, spare
}

// halt tells whether the improvement has to end for the search has to. It counts down from
// graceWork once the search has to end, whoever asks; 1 means that it is used up.
func (v *Improver) halt(work int) bool {
	if v.grace == 0 || !v.counted && !v.m.Ended() {
		return false
	}
	v.grace = max(v.grace-work, 1)
	return v.grace == 1
}

// Climb repeats the program with the best planes of the present places.
//
// It ends where a round gains less than LeastGain, or, while tools lack their room, where a program
// no longer gives it.
func (v *Improver) Climb() {
	for range mostClimbs {
		if v.halt(perPair * v.m.Pairs()) {
			return
		}
		v.chooseSides()
		next, ok := v.solve()
		if !ok {
			return
		}
		// The program's value would do but for round solids, of which it knows one direction each.
		spare := v.m.SharpLeft(next)
		if spare <= v.Spare && !v.Lacking {
			return
		}
		done := spare-v.Spare < LeastGain && !v.Lacking
		v.Spots, v.Spare, v.Lacking = next, spare, false
		if done {
			return
		}
	}
}

// chooseSides takes the plane that leaves most for every relation within the margin.
func (v *Improver) chooseSides() {
	v.sides, v.order = map[model.Relation]model.Side{}, nil
	v.addBroken(v.Spots, v.Spare, programMargin)
}

// addBroken adds a side for every relation that leaves less than the spare and room at spots,
// or less than room where it asks for no spare, and has none yet, and tells whether there was
// one. The plane is always chosen at the improver's own places, where it is known to leave at
// least the present spare.
//
// That is why the program always has the present places as a solution, and no round can lose spare.
func (v *Improver) addBroken(spots []model.Spot, spare, room float64) bool {
	before, limit := len(v.order), spare+room
	for i, s := range spots {
		p := v.m.PoseOf(i, s)
		v.Work.Relations(len(v.m.Walls[p.Kind][s.Pose]) + len(v.m.Solids[p.Kind][s.Pose]) + i)
		for w, f := range v.m.Walls[p.Kind][s.Pose] {
			if f.Left(s.At) < limit {
				v.add(model.Side{Of: model.Relation{Sort: model.OfWall, I: i, Which: w}, Plane: f})
			}
		}
		for k, c := range v.m.Solids[p.Kind][s.Pose] {
			if c.Left(s.At) < limit {
				_, f := c.Sharp(p, v.Spots[i].At)
				v.add(model.Side{Of: model.Relation{Sort: model.OfSolid, I: i, Which: k}, Plane: f})
			}
		}
		for j := range i {
			v.addPair(spots, i, j, limit)
		}
		if v.tools {
			v.addTools(spots, i, room)
		}
	}
	return len(v.order) > before
}

// addPair adds the sides of two boxes; a pair is looked at from the box with the greater number.
func (v *Improver) addPair(spots []model.Spot, i, j int, limit float64) {
	d := spots[i].At.Sub(spots[j].At)
	for k, c := range v.m.PairClauses(j, spots[j], i, spots[i]) {
		if c.Left(d) < limit {
			_, f := c.Best(v.Spots[i].At.Sub(v.Spots[j].At))
			v.add(model.Side{Of: model.Relation{Sort: model.OfBoxes, I: i, J: j, Which: k}, Plane: f})
		}
	}
}

// add keeps the first side of each relation.
func (v *Improver) add(s model.Side) {
	if _, there := v.sides[s.Of]; !there {
		v.sides[s.Of] = s
		v.order = append(v.order, s.Of)
	}
}

// program is the linear program of the sides chosen so far. Whoever asks for it gives it back with
// lp.Return. Its variables are the places, then the spare.
func (v *Improver) program() *lp.Solver {
	n := len(v.Spots)
	objective := make([]float64, 3*n+1)
	// The spare is what is to be great.
	objective[3*n] = 1
	solver := lp.Lend(objective, v.m.Lows(n), v.m.Highs(n), v.halt)
	v.push(solver, 0)
	return solver
}

// solve solves the program for the greatest spare.
func (v *Improver) solve() ([]model.Spot, bool) {
	program := v.program()
	defer lp.Return(program)
	return v.finish(program, math.Inf(-1))
}

// finish solves a program, adding relations that its answer breaks, and returns the
// places of the optimum, if that is greater than cutoff. Relations have to leave the spare
// that the program's answer has. Fifty rounds are far more than it takes; without a limit rounding
// could add and drop the same relation for ever.
func (v *Improver) finish(solver *lp.Solver, cutoff float64) ([]model.Spot, bool) {
	// One more than the spare, for the programs of settling.
	x := make([]float64, 3*len(v.Spots)+2)
	defer func() { v.Work += model.Effort(solver.Work) }()
	for range 50 {
		if solver.Solve(cutoff) != lp.Optimal {
			return nil, false
		}
		solver.X(x)
		next := placesIn(x, v.Spots)
		from := len(v.order)
		if !v.addBroken(next, x[3*len(v.Spots)], -model.Rounding) {
			return next, true
		}
		v.push(solver, from)
	}
	return nil, false
}

// push adds the rows of the sides to a program, from one of the order on.
func (v *Improver) push(solver *lp.Solver, from int) {
	for _, of := range v.order[from:] {
		solver.Push(v.sides[of].Row(len(v.Spots)))
	}
}

// placesIn gives the places that an answer of a program has for boxes.
func placesIn(x []float64, spots []model.Spot) []model.Spot {
	next := slices.Clone(spots)
	for i := range next {
		next[i].At = r3.Vector{X: x[3*i], Y: x[3*i+1], Z: x[3*i+2]}
	}
	return next
}

// flip tries, for every limiting relation, each other plane in the chosen one's
// stead, and moves to the first that allows a greater spare. A plane may only be worth changing
// where it limits, so it asks the multipliers for which.
func (v *Improver) flip() bool {
	v.chooseSides()
	solver := v.program()
	defer lp.Return(solver)
	if _, ok := v.finish(solver, math.Inf(-1)); !ok {
		return false
	}
	rows := v.limiting(solver)
	v.noteTight(rows)
	for _, row := range rows {
		if of := v.order[row]; of.Open() && v.flipOne(solver, row, of) {
			return true
		}
	}
	return false
}

// limiting lists the rows of a solved program, by their places in the order, whose multipliers
// say that they limit the spare. Those with no multiplier could be left out of the program without
// changing its value.
func (v *Improver) limiting(solved *lp.Solver) []int {
	dual := make([]float64, len(v.order))
	solved.Dual(dual)
	var rows []int
	for row, y := range dual {
		if y > 1e-9 {
			rows = append(rows, row)
		}
	}
	return rows
}

// noteTight notes the boxes of the relations that limit the spare. Starts disturb these first.
func (v *Improver) noteTight(rows []int) {
	v.Tight = nil
	for _, row := range rows {
		of := v.order[row]
		if of.Sort == model.NoRelation {
			continue
		}
		for _, i := range of.Boxes() {
			if !slices.Contains(v.Tight, i) {
				v.Tight = append(v.Tight, i)
			}
		}
	}
}

// flipOne does so for one relation, row of a solved program.
//
// The program without the row is solved once: where even that allows no more, no plane in its stead
// can.
func (v *Improver) flipOne(solved *lp.Solver, row int, of model.Relation) bool {
	now := v.sides[of]
	without, known := lp.LendCopy(solved), len(v.order)
	defer lp.Return(without)
	without.Drop(row)
	// It stops as soon as it is known not to gain.
	status := without.Solve(v.Spare + LeastGain)
	v.Work += model.Effort(without.Work)
	if status != lp.Optimal {
		return false // no plane in its stead allows more
	}
	for _, f := range v.m.ClauseOf(of, v.Spots).Planes {
		f.K *= now.Plane.K // 0 for a tool
		if f == now.Plane {
			continue
		}
		if v.halt(0) {
			break
		}
		v.sides[of] = model.Side{Of: of, Plane: f}
		solver := lp.LendCopy(without)
		solver.Push(v.sides[of].Row(len(v.Spots)))
		// With the rows that earlier tries have added to the order.
		v.push(solver, known)
		next, ok := v.finish(solver, v.Spare+LeastGain)
		lp.Return(solver)
		if ok {
			if spare := v.m.SharpLeft(next); spare > v.Spare+LeastGain {
				v.Spots, v.Spare = next, spare
				return true
			}
		}
	}
	v.sides[of] = now
	return false
}
