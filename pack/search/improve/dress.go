package improve

import (
	"cmp"
	"slices"

	"rackwright/pack/lp"
	"rackwright/pack/search/internal/depths"
	"rackwright/pack/search/model"
)

// dresser gives the boxes of a layout their posts. It goes on from the linear program of the
// bare layout's own planes, less those that others could as well stand in for, in a tree: as long
// as the program's answer breaks a relation, or leaves tools without room, a plane for it is added;
// then a box is given a pose that has its case where it is. Of what has to be done, that is taken
// which can be done in the fewest ways (Haralick & Elliott, Artificial Intelligence 14 (1980)
// 263–313). Where there is none, the multipliers name the rows that rule it out, and with these
// the stages to go back to (Prosser, Computational Intelligence 9 (1993)); and a way that has been
// ruled out is not tried again as long as the stages stand that rule it out.
//
// Stages are numbered by depth, and sets of depths say what rests on what, as in proof. The bare
// layout is stage 0 and stands for good.
type dresser struct {
	m       *model.Model
	least   float64 // the spare to exceed, that of what has been found where something has
	found   []model.Spot
	first   int // rows of the program that come before all stages
	out     map[way]depths.Set
	until   [depths.Max][]way // by stage: the ways that are ruled out as long as it stands
	scratch []float64         // of multipliers
	work    model.Effort
}

// stage is a layout on the way. It is not changed once it has been solved; a stage below it copies
// what it changes.
type stage struct {
	depth   int
	program *lp.Solver // solved; its value is the spare
	spots   []model.Spot
	depths  []int // of the stages that added the rows of the program, after the first rows
	dressed []int // by box: the depth of the stage that gave it its posts; 0 while it is bare
}

// Dress gives the boxes of a bare layout their posts, and tells whether it found places and poses
// that leave more to spare than least. What it takes is added to work. The improver's own places
// stay as they are, but its sides are chosen anew.
func (v *Improver) Dress(least float64, work *model.Effort) ([]model.Spot, bool) {
	v.chooseSides()
	v.keepFirm()
	// Rows that are there already rest on no stage.
	d := &dresser{m: v.m, least: least, first: len(v.order), out: map[way]depths.Set{}}
	root, ok := d.solved(v.program(), stage{spots: v.Spots, dressed: make([]int, len(v.Spots))})
	*work += v.Work
	if !ok {
		*work += d.work
		return nil, false
	}
	d.from(root)
	*work += d.work
	return d.found, d.found != nil
}

// keepFirm keeps the sides that have no other plane that lacks little. A plane that another could
// well stand in for need not be kept: the tree may take the other, and finds out when the relation
// breaks. Walls have no other.
func (v *Improver) keepFirm() {
	v.order = slices.DeleteFunc(v.order, func(of model.Relation) bool {
		return of.Open() && slices.ContainsFunc(v.otherPlanes(of, v.Spare, nil), func(r remedy) bool { return r.lack < firmLack })
	})
}

// from dresses what is left to dress of a stage, in every way that leaves more to spare than what
// has been found, and tells the stages that rule out any more; where the search has to end, all.
//
// Branches are tried from the greatest spare down. One that is ruled out without its own stage
// being among the reasons rules out the whole stage.
func (d *dresser) from(s stage) (ruled depths.Set) {
	next, ruled, ok := d.mostUrgent(s)
	switch {
	case !ok:
		return ruled
	// To find something better, what limits this has to give way; so the multipliers of the layout
	// found tell what to go back to.
	case len(next) == 0:
		// From here on only more counts.
		d.found, d.least = s.spots, s.program.Value()
		return d.blamed(s)
	}
	slices.SortStableFunc(next, func(a, b branch) int { return cmp.Compare(b.program.Value(), a.program.Value()) })
	// The most promising way first.
	for _, b := range next {
		// Given up: it rests on everything, so nothing is concluded.
		if s.depth+1 == depths.Max-1 || d.work > mostDressingWork || d.m.Ended() {
			return depths.Set{}.Inverted()
		}
		by := d.from(b.stage)
		d.forget(b.depth)
		lp.Return(b.program)
		if !by.Has(b.depth) {
			return by
		}
		ruled = ruled.Or(d.ruleOut(b.way, by.Without(b.depth)))
	}
	return ruled
}

// branch is a stage and the way that leads to it. The stage has been solved.
type branch struct {
	stage
	way way
}

// mostUrgent takes the ways to meet the need that seems to have the fewest, and gives the stages
// that rule out its others. There are none where nothing is needed; it is not ok where a need cannot
// be met. Needs are in order of what they lack; the count of ways is what decides, and looking
// stops at one that has a single way or none.
func (d *dresser) mostUrgent(s stage) (next []branch, ruled depths.Set, ok bool) {
	needs := d.needs(s)
	if len(needs) == 0 {
		return nil, depths.Set{}, true
	}
	var fewest []way
	for _, n := range needs {
		ways, by := d.open(s, n, len(fewest))
		if fewest == nil || len(ways) < len(fewest) {
			fewest, ruled = ways, by
		}
		// No need can have fewer ways that matter.
		if len(fewest) <= 1 {
			break
		}
	}
	for _, w := range fewest {
		to, ok := d.take(s, w)
		if ok {
			next = append(next, branch{to, w})
			continue
		}
		by := d.blamed(to)
		lp.Return(to.program)
		if !by.Has(to.depth) {
			return nil, by, false
		}
		ruled = ruled.Or(d.ruleOut(w, by.Without(to.depth)))
	}
	return next, ruled, len(next) > 0
}

// ruleOut notes that stages rule a way out, and gives them. It is kept with the deepest of the
// stages: when that one falls, the reason does.
func (d *dresser) ruleOut(w way, by depths.Set) depths.Set {
	last := by.Deepest()
	d.out[w] = by
	d.until[last] = append(d.until[last], w)
	return by
}

// forget forgets what the stage of a depth rules out. It is called when the stage is left.
func (d *dresser) forget(depth int) {
	for _, w := range d.until[depth] {
		delete(d.out, w)
	}
	d.until[depth] = d.until[depth][:0]
}

// take goes a way; it is not ok where that leaves too little to spare. The program is a copy: other
// ways begin with the stage's own.
func (d *dresser) take(s stage, w way) (stage, bool) {
	program := lp.LendCopy(s.program)
	to := stage{depth: s.depth + 1, spots: slices.Clone(s.spots), depths: slices.Clone(s.depths), dressed: s.dressed}
	if w.dress {
		to.spots[w.of.I].Pose = w.pose
		// Stages share what they do not change.
		to.dressed = slices.Clone(s.dressed)
		to.dressed[w.of.I] = to.depth
	}
	for _, side := range d.sidesOf(s, w) {
		program.Push(side.Row(len(s.spots)))
		to.depths = append(to.depths, to.depth)
	}
	return d.solved(program, to)
}

// solved solves the program of a stage, and moves its boxes to where that puts them. Solving stops
// at what has to be exceeded, so that a stage that is too poor costs little.
func (d *dresser) solved(program *lp.Solver, s stage) (stage, bool) {
	status := program.Solve(d.least + LeastGain)
	d.work += model.Effort(program.Work)
	s.program = program
	if status != lp.Optimal {
		return s, false
	}
	x := make([]float64, 3*len(s.spots)+1)
	program.X(x)
	s.spots = placesIn(x, s.spots)
	return s, true
}

// probed tells whether one of the sides of a way leaves the program of a stage too little, as far as
// that is known without solving it, and the stages whose rows are the reason. A probe is one dual
// step with the row: a bound on what the program could still reach, for a fraction of solving it.
func (d *dresser) probed(s stage, w way) (by depths.Set, out bool) {
	before := s.program.Work
	defer func() { d.work += model.Effort(s.program.Work - before) }()
	y := slices.Grow(d.scratch[:0], len(s.program.Rows())+1)[:len(s.program.Rows())+1]
	d.scratch = y
	for _, side := range d.sidesOf(s, w) {
		if s.program.Probe(side.Row(len(s.spots)), y) <= d.least+LeastGain {
			return d.depthsOf(s, y), true
		}
	}
	return depths.Set{}, false
}

// depthsOf is the stages that added rows with multipliers. The first rows are those of the bare
// layout, which rest on nothing.
func (d *dresser) depthsOf(s stage, y []float64) (by depths.Set) {
	for row, depth := range s.depths {
		if y[d.first+row] > lp.Tiny {
			by = by.Or(depths.Of(depth))
		}
	}
	return by
}

// blamed is the stages whose rows leave a program too little. Of a program without a solution they
// are the rows of its infeasibility.
func (d *dresser) blamed(s stage) depths.Set {
	y := make([]float64, len(s.program.Rows()))
	s.program.Dual(y)
	return d.depthsOf(s, y)
}
