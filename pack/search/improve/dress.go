package improve

import (
	"cmp"
	"math"
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

// stage is a layout on the way.
type stage struct {
	depth   int
	program *lp.Solver // solved; its value is the spare
	spots   []model.Spot
	depths  []int // of the stages that added the rows of the program, after the first rows
	dressed []int // by box: the depth of the stage that gave it its posts; 0 while it is bare
}

// need is something that has to be done: a relation that is broken to be mended, or a box to be
// dressed.
type need struct {
	of    model.Relation // with dress, i is the box
	dress bool
	lack  float64 // in mm
}

// way is a way to meet a need: a plane of the relation, or a pose.
type way struct {
	of    model.Relation
	plane model.Plane
	dress bool
	pose  int
}

// mostDressing is the work that dressing one layout may take.
const mostDressing = 20_000_000

// Dress gives the boxes of a bare layout their posts, and tells whether it found places and poses
// that leave more to spare than least. What it takes is added to work.
func (v *Improver) Dress(least float64, work *model.Effort) ([]model.Spot, bool) {
	v.chooseSides()
	v.keepFirm()
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

// firm is how many millimetres every other plane for a relation has to lack for the one that it
// has to be kept.
const firm = 20

// keepFirm keeps the sides that have no other plane that lacks little.
func (v *Improver) keepFirm() {
	v.order = slices.DeleteFunc(v.order, func(of model.Relation) bool {
		return of.Open() && slices.ContainsFunc(v.otherPlanes(of, v.Spare, nil), func(r remedy) bool { return r.lack < firm })
	})
}

// from dresses what is left to dress of a stage, in every way that leaves more to spare than what
// has been found, and tells the stages that rule out any more; where the search has to end, all.
func (d *dresser) from(s stage) (ruled depths.Set) {
	next, ruled, ok := d.mostUrgent(s)
	switch {
	case !ok:
		return ruled
	case len(next) == 0:
		d.found, d.least = s.spots, s.program.Value()
		return d.blamed(s)
	}
	slices.SortStableFunc(next, func(a, b branch) int { return cmp.Compare(b.program.Value(), a.program.Value()) })
	for _, b := range next {
		if s.depth+1 == depths.Max-1 || d.work > mostDressing || d.m.Ended() {
			return depths.Set{}.Inverted()
		}
		by := d.from(b.stage)
		d.forget(b.depth)
		discard(b.program)
		if !by.Has(b.depth) {
			return by
		}
		ruled = ruled.Or(d.ruleOut(b.way, by.Without(b.depth)))
	}
	return ruled
}

// branch is a stage and the way that leads to it.
type branch struct {
	stage
	way way
}

// mostUrgent takes the ways to meet the need that seems to have the fewest, and gives the stages
// that rule out its others. There are none where nothing is needed; it is not ok where a need cannot
// be met.
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
		discard(to.program)
		if !by.Has(to.depth) {
			return nil, by, false
		}
		ruled = ruled.Or(d.ruleOut(w, by.Without(to.depth)))
	}
	return next, ruled, len(next) > 0
}

// open lists the ways to meet a need that are not known to be ruled out, and the stages that rule
// out the others; it stops at so many ways, if that is not 0.
func (d *dresser) open(s stage, n need, enough int) (ways []way, ruled depths.Set) {
	ways, ruled = []way{}, d.dressedAt(s, n)
	for _, w := range d.waysTo(s, n) {
		by, out := d.out[w]
		if !out {
			if by, out = d.probed(s, w); out {
				d.ruleOut(w, by)
			}
		}
		if out {
			ruled = ruled.Or(by)
			continue
		}
		if ways = append(ways, w); len(ways) == enough {
			break
		}
	}
	return ways, ruled
}

// dressedAt is the stages that made a relation what it is: those that gave its boxes their posts.
func (d *dresser) dressedAt(s stage, n need) (why depths.Set) {
	if n.dress {
		return why
	}
	for _, box := range n.of.Boxes() {
		if s.dressed[box] > 0 {
			why = why.Or(depths.Of(s.dressed[box]))
		}
	}
	return why
}

// ruleOut notes that stages rule a way out, and gives them.
func (d *dresser) ruleOut(w way, by depths.Set) depths.Set {
	last := by.Deepest()
	d.out[w] = by
	d.until[last] = append(d.until[last], w)
	return by
}

// forget forgets what the stage of a depth rules out.
func (d *dresser) forget(depth int) {
	for _, w := range d.until[depth] {
		delete(d.out, w)
	}
	d.until[depth] = d.until[depth][:0]
}

// take goes a way; it is not ok where that leaves too little to spare.
func (d *dresser) take(s stage, w way) (stage, bool) {
	program := copyOf(s.program)
	to := stage{depth: s.depth + 1, spots: slices.Clone(s.spots), depths: slices.Clone(s.depths), dressed: s.dressed}
	if w.dress {
		to.spots[w.of.I].Pose = w.pose
		to.dressed = slices.Clone(s.dressed)
		to.dressed[w.of.I] = to.depth
	}
	for _, side := range d.sidesOf(s, w) {
		program.Push(side.Row(len(s.spots)))
		to.depths = append(to.depths, to.depth)
	}
	return d.solved(program, to)
}

// solved solves the program of a stage, and moves its boxes to where that puts them.
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
// that is known without solving it, and the stages whose rows are the reason.
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

// depthsOf is the stages that added rows with multipliers.
func (d *dresser) depthsOf(s stage, y []float64) (by depths.Set) {
	for row, depth := range s.depths {
		if y[d.first+row] > lp.Tiny {
			by = by.Or(depths.Of(depth))
		}
	}
	return by
}

// blamed is the stages whose rows leave a program too little.
func (d *dresser) blamed(s stage) depths.Set {
	y := make([]float64, len(s.program.Rows()))
	s.program.Dual(y)
	return d.depthsOf(s, y)
}

// looked is how many of the relations that lack most are looked at for the one with the fewest
// ways.
const looked = 8

// needs lists what has to be done next, most urgent first as far as that is known without trying:
// relations to be mended, or, where there are none, boxes to be dressed.
func (d *dresser) needs(s stage) []need {
	list := d.broken(s)
	if len(list) == 0 {
		list = d.bare(s)
	}
	slices.SortStableFunc(list, func(a, b need) int { return cmp.Compare(b.lack, a.lack) })
	if len(list) > looked && !list[0].dress {
		list = list[:looked]
	}
	return list
}

// broken lists the relations that a layout breaks.
func (d *dresser) broken(s stage) (list []need) {
	spare := s.program.Value()
	note := func(of model.Relation, lack float64) {
		if lack > lacks {
			list = append(list, need{of: of, lack: lack})
		}
	}
	for i, at := range s.spots {
		solids, reach := d.m.Solids[d.m.Boxes[i].Kind][at.Pose], d.m.Reach[d.m.Boxes[i].Kind][at.Pose]
		d.work.Relations(len(solids) + len(reach) + i)
		for k := range solids {
			note(model.Relation{Sort: model.OfSolid, I: i, Which: k}, spare-solids[k].Left(at.At))
		}
		for k := range reach {
			note(model.Relation{Sort: model.OfReach, I: i, Which: k}, -reach[k].Left(at.At))
		}
		for j := range i {
			pair, p := d.m.PairingIn(j, s.spots[j], i, at), at.At.Sub(s.spots[j].At)
			if pair.Apart.Left(p) >= spare {
				continue
			}
			for k := range pair.Clauses {
				note(model.Relation{Sort: model.OfBoxes, I: i, J: j, Which: k}, spare-pair.Clauses[k].Left(p))
			}
			left, _ := pair.ToolsLeft(p)
			note(model.Relation{Sort: model.OfTool, I: i, J: j}, -left)
		}
	}
	return list
}

// lacks is how many millimetres a relation has to lack to be mended.
const lacks = 1e-6

// bare lists the boxes without their posts, with what they lack in the pose that lacks least.
func (d *dresser) bare(s stage) (list []need) {
	v := &Improver{m: d.m, Spots: s.spots, Spare: s.program.Value()}
	for i := range s.spots {
		if !d.m.IsBare(d.m.PoseOf(i, s.spots[i])) {
			continue
		}
		least := math.Inf(1)
		for _, pose := range d.posesTo(s, i) {
			least = min(least, v.lackAt(i, model.Spot{Pose: pose, At: s.spots[i].At}))
		}
		list = append(list, need{of: model.Relation{I: i}, dress: true, lack: least})
	}
	d.work += v.Work
	return list
}

// posesTo lists the poses that a bare box may be given: those that have the same case, of any with
// posts in about the same places the first.
func (d *dresser) posesTo(s stage, i int) (list []int) {
	kind, now := d.m.Boxes[i].Kind, d.m.PoseOf(i, s.spots[i])
	for _, pose := range d.m.Dressed[kind] {
		p := d.m.Poses[kind][pose]
		if p.SameCase(now) && !slices.ContainsFunc(list, func(o int) bool { return samePosts(p, d.m.Poses[kind][o]) }) {
			list = append(list, pose)
		}
	}
	return list
}

// nearestWays is how many planes of a relation with the frame are tried: around a round solid there
// are many, of which the nearest matter.
const nearestWays = 3

// waysTo lists the ways to meet a need.
func (d *dresser) waysTo(s stage, n need) (list []way) {
	if n.dress {
		for _, pose := range d.posesTo(s, n.of.I) {
			list = append(list, way{of: n.of, dress: true, pose: pose})
		}
		return list
	}
	add := func(planes []model.Plane, of model.Relation) {
		for _, f := range planes {
			list = append(list, way{of: of, plane: f})
		}
	}
	clause := d.m.ClauseOf(n.of, s.spots)
	switch n.of.Sort {
	case model.OfSolid, model.OfReach:
		add(clause.Nearest(s.spots[n.of.I].At, nearestWays, nil), n.of)
	case model.OfBoxes:
		add(clause.Planes, n.of)
	case model.OfTool:
		for whose := range 2 {
			of := n.of
			of.Whose = whose
			add(d.m.ClauseOf(of, s.spots).Planes[:6], of)
		}
	}
	return list
}

// sidesOf gives the sides that a way chooses: of tools over several posts of a box, all of them
// the same way along an axis.
func (d *dresser) sidesOf(s stage, w way) []model.Side {
	var list []model.Side
	switch {
	case w.dress:
		for k, f := range d.m.Walls[d.m.Boxes[w.of.I].Kind][w.pose] {
			list = append(list, model.Side{Of: model.Relation{Sort: model.OfWall, I: w.of.I, Which: k}, Plane: f})
		}
	case w.of.Sort == model.OfReach:
		w.plane.K = 0
		list = append(list, model.Side{Of: w.of, Plane: w.plane})
	case w.of.Sort == model.OfTool:
		tools := d.m.PairingIn(w.of.J, s.spots[w.of.J], w.of.I, s.spots[w.of.I]).Tools[w.of.Whose]
		along := slices.Index(tools[0].Planes, w.plane)
		for k := range tools {
			f := tools[k].Planes[along]
			f.K = 0
			list = append(list, model.Side{Of: w.of, Plane: f})
		}
	default:
		list = append(list, model.Side{Of: w.of, Plane: w.plane})
	}
	return list
}
