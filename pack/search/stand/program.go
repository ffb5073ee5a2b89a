package stand

import (
	"math"
	"slices"

	"rackwright/pack/search/model"

	"github.com/golang/geo/r3"

	"rackwright/pack/lp"
)

// levelled raises the spare of a stance, as improver does of any layout: by linear programs of
// its own choice of planes, with one height for each level, and then with other planes for the
// relations that limit it.
//
// Columns are u and v of each box, the heights of the levels, and the spare (columns). One height
// for all boxes of a level is what makes a tray.
type levelled struct {
	g     *staging
	s     stance
	spare float64 // −Inf where what asks for no spare has not what it needs
	sides map[bind]bound
	order []bind
	held  []wish
	floor float64 // the spare is held there while wishes are granted
	halt  func(work int) bool
	work  model.Effort
}

// bind names a relation of a program: of box i with the frame, or with box j. It is a key, and
// compared as one.
type bind struct {
	i, j  int // j is noBox for a relation with the frame
	sort  bindSort
	which int
}

// noBox stands for the frame.
const noBox = -1

// bindSort tells what a relation of a stance is between.
type bindSort int

const (
	needWalls bindSort = iota
	needSolids
	needPairs
	needRanges
	needTrays    // with the frame, or with box j
	needReach    // tools with the frame
	needTools    // tools of the first of two boxes, and, from 1000 on, of the second
	needCarriers // of box i on j
)

// free tells whether relations of a sort ask for no spare. The order of the sorts is what tells.
func (s bindSort) free() bool { return s >= needRanges }

// bound is a relation with its plane.
type bound struct {
	bind
	model.Plane
}

// newLevelled begins with a stance, which is copied, measured.
func (g *staging) newLevelled(s stance, halt func(int) bool) *levelled {
	v := &levelled{g: g, s: s.clone(), halt: halt}
	v.spare = v.measured(&v.s)
	return v
}

// slackFree is by how many millimetres what asks for no spare may lack. Programs miss by less, and
// the judge's own slack is more.
const slackFree = 1e-7

// measured is the spare of a stance, −Inf where what asks for no spare lacks some. The exact
// distances to round solids are in it, as in what is told.
func (v *levelled) measured(s *stance) float64 {
	broken := false
	v.each(s, 0, func(b bind, c *model.Clause, at r3.Vector) {
		if b.sort.free() && !broken && leftFree(c, at) < -slackFree {
			broken = true
		}
	}, true)
	if broken {
		return math.Inf(-1)
	}
	return v.g.m.SharpLeft(v.g.spots(s))
}

// leftFree is what a clause leaves of distance, whatever the factor of its planes.
func leftFree(c *model.Clause, at r3.Vector) float64 {
	best := math.Inf(-1)
	for k := range c.Planes {
		best = max(best, c.Planes[k].LeftAlone(at))
	}
	return best
}

// each calls do for every relation that leaves less than limit, or, of those that ask for no
// spare, less than nearby; with freeOnly for the latter alone, all of them.
//
// One place that knows which relations a stance has: what is measured and what programs hold cannot
// differ.
func (v *levelled) each(s *stance, limit float64, do func(b bind, c *model.Clause, at r3.Vector), freeOnly bool) {
	g := v.g
	at := make([]r3.Vector, len(s.boxes))
	for i := range at {
		at[i] = g.place(s, i)
	}
	// With freeOnly all that ask for no spare are given, whatever they leave.
	nearby := math.Inf(1)
	if !freeOnly {
		nearby = max(limit, 0) + slackFree
	}
	give := func(b bind, c *model.Clause, at r3.Vector) {
		if l := leftFree(c, at); l < limit && !b.sort.free() || l < nearby && b.sort.free() {
			do(b, c, at)
		}
	}
	for i, b := range s.boxes {
		kind := g.m.Boxes[i].Kind
		w := g.way(i, b)
		if !freeOnly {
			for k, f := range g.m.Walls[kind][w.pose] {
				if f.K != 0 && f.LeftAlone(at[i]) < limit {
					do(bind{i, noBox, needWalls, k}, &model.Clause{Planes: []model.Plane{f}}, at[i])
				}
			}
			solids := g.m.Solids[kind][w.pose]
			for k := range solids {
				give(bind{i, noBox, needSolids, k}, &solids[k], at[i])
			}
			v.work.Relations(len(g.m.Walls[kind][w.pose]) + len(solids))
		}
		for k, f := range g.m.Walls[kind][w.pose] {
			if f.K == 0 {
				give(bind{i, noBox, needRanges, k}, &model.Clause{Planes: []model.Plane{f}}, at[i])
			}
		}
		if b.on < 0 {
			for k := range w.under {
				give(bind{i, noBox, needTrays, k}, &w.under[k], at[i])
			}
		}
		if g.m.Reach != nil {
			reach := g.m.Reach[kind][w.pose]
			for k := range reach {
				give(bind{i, noBox, needReach, k}, &reach[k], at[i])
			}
		}
		for j := range s.boxes {
			if j != i {
				v.eachPair(s, i, j, at[i], at[j], freeOnly, limit, give)
			}
		}
	}
}

// eachPair gives the relations of box i with box j: those of both once, for i > j. Trays and ties
// are of one box towards another, so they are asked both ways round.
func (v *levelled) eachPair(s *stance, i, j int, p, q r3.Vector, freeOnly bool, limit float64, give func(bind, *model.Clause, r3.Vector)) {
	g := v.g
	b, c := s.boxes[i], s.boxes[j]
	d := p.Sub(q)
	if b.on < 0 {
		// The clause is on the place of j less that of i: it is turned round. It is made for each
		// call, since the one that is kept is shared.
		flipped := turnedRound(g.slabOver(g.way(i, b), g.pose(j, c)))
		give(bind{i, j, needTrays, 0}, &flipped, d)
	}
	if b.on == j {
		for k, tie := range g.ties(i, b, j, c) {
			give(bind{i, j, needCarriers, k}, &tie, d)
		}
	}
	if i < j {
		return
	}
	pair := g.m.PairingOf(g.pose(j, c), g.pose(i, b))
	if !freeOnly && pair.Apart.Left(d) < limit {
		for k := range pair.Clauses {
			give(bind{i, j, needPairs, k}, &pair.Clauses[k], d)
		}
	}
	if len(pair.Tools[0]) == 0 || len(pair.Tools[1]) == 0 {
		return
	}
	// The sort of tools that has more room is the one that is held to it.
	which := 0
	if leastOf(pair.Tools[1], d) > leastOf(pair.Tools[0], d) {
		which = 1
	}
	for k := range pair.Tools[which] {
		give(bind{i, j, needTools, 1000*which + k}, &pair.Tools[which][k], d)
	}
}

// leastOf is what the most demanding of some clauses leaves.
func leastOf(clauses []model.Clause, d r3.Vector) float64 {
	least := math.Inf(1)
	for k := range clauses {
		least = min(least, leftFree(&clauses[k], d))
	}
	return least
}

// turnedRound is a clause on the place of the first less that of the second.
func turnedRound(c *model.Clause) model.Clause {
	out := model.Clause{Planes: make([]model.Plane, len(c.Planes))}
	for k, f := range c.Planes {
		out.Planes[k] = model.Plane{N: f.N.Mul(-1), D: f.D, K: f.K}
	}
	return out
}

// choose takes the best plane for every relation that is near. From a stance that lacks what asks
// for no spare it looks as far around as from one at its spare.
func (v *levelled) choose() {
	v.sides, v.order = map[bind]bound{}, nil
	from := v.spare
	if math.IsInf(from, -1) {
		from = v.g.m.SharpLeft(v.g.spots(&v.s))
	}
	v.addLacking(&v.s, max(from, -programMargin)+programMargin, math.Inf(1))
}

// addLacking adds a plane for every relation that leaves less than limit at a stance, or, where
// it asks for no spare, less than nothing, and has none yet. It tells whether there was one.
// Planes are chosen at the stance of v. As in improve: choosing at the own stance keeps it a
// solution.
func (v *levelled) addLacking(s *stance, limit, free float64) bool {
	before := len(v.order)
	v.each(s, limit, func(b bind, c *model.Clause, at r3.Vector) {
		if b.sort.free() && leftFree(c, at) >= min(free, programMargin) {
			return
		}
		if _, there := v.sides[b]; there {
			return
		}
		v.sides[b] = bound{b, v.planeOf(b, c)}
		v.order = append(v.order, b)
	}, false)
	return len(v.order) > before
}

// planeOf is the plane of a clause that leaves most at the stance of v. Of round solids the exact
// direction.
func (v *levelled) planeOf(b bind, c *model.Clause) model.Plane {
	at := v.g.place(&v.s, b.i)
	if b.j != noBox {
		at = at.Sub(v.g.place(&v.s, b.j))
	}
	var f model.Plane
	if b.sort == needSolids {
		_, f = c.Sharp(v.g.pose(b.i, v.s.boxes[b.i]), at)
	} else {
		best := math.Inf(-1)
		for _, g := range c.Planes {
			if l := g.LeftAlone(at); l > best {
				best, f = l, g
			}
		}
	}
	if b.sort.free() {
		f.K = 0
	}
	return f
}

// columns of a program: u and v of every box, the heights, the spare.
func (v *levelled) columns() int { return 2*len(v.s.boxes) + len(v.s.heights) + 1 }

// heightColumn is that of a level.
func (v *levelled) heightColumn(level int) int { return 2*len(v.s.boxes) + level }

// row writes n·p ≥ d + k·s for p the place of i, or that less the place of j. Boxes of one level
// share a column, so coefficients are added up.
func (v *levelled) row(b bound) lp.Row {
	r := lp.Row{Bound: -b.D}
	put := func(i int, scale float64) {
		s := v.s.boxes[i]
		p := v.g.planes[v.s.planes[s.level]]
		add := func(column int, c float64) {
			if c == 0 {
				return
			}
			// Two boxes on one level share the column of its height.
			if k := slices.Index(r.Index, column); k >= 0 {
				r.Coef[k] -= scale * c
				return
			}
			r.Index, r.Coef = append(r.Index, column), append(r.Coef, -scale*c)
		}
		add(2*i, b.N.Dot(p.along))
		add(2*i+1, b.N.Y)
		add(v.heightColumn(s.level), b.N.Dot(p.up))
		r.Bound += scale * b.N.Dot(p.up) * v.g.way(i, s).low
	}
	put(b.i, 1)
	if b.j != noBox {
		put(b.j, -1)
	}
	if b.K != 0 {
		r.Index, r.Coef = append(r.Index, v.columns()-1), append(r.Coef, b.K)
	}
	return r
}

// program is the linear program of the planes chosen so far, for the greatest spare.
func (v *levelled) program() *lp.Solver {
	n := v.columns()
	lo, hi := v.limits(n)
	objective := make([]float64, n)
	objective[n-1] = 1
	p := lp.Lend(objective, lo, hi, v.halt)
	v.push(p, 0)
	return p
}

// limits are those of so many columns: far beyond everything. The method needs bounds; no place
// that matters comes near these.
func (v *levelled) limits(n int) (lo, hi []float64) {
	reach := v.g.m.Size
	for _, r := range v.g.m.Room {
		reach += max(math.Abs(r.Lo), math.Abs(r.Hi))
	}
	lo, hi = make([]float64, n), make([]float64, n)
	for k := range n {
		lo[k], hi[k] = -2*reach, 2*reach
	}
	return lo, hi
}

// push adds the rows of relations, from one of the order on.
func (v *levelled) push(p *lp.Solver, from int) {
	for _, b := range v.order[from:] {
		p.Push(v.row(v.sides[b]))
	}
}

// taken is the stance that an answer of a program means. Ways and levels stay as they are.
func (v *levelled) taken(x []float64) stance {
	s := v.s.clone()
	for i := range s.boxes {
		s.boxes[i].u, s.boxes[i].v = x[2*i], x[2*i+1]
	}
	for l := range s.heights {
		s.heights[l] = x[v.heightColumn(l)]
	}
	return s
}

// finish solves a program, adding relations that its answer breaks. The same idea as
// improve.Improver.finish.
func (v *levelled) finish(p *lp.Solver, cutoff float64) (stance, bool) {
	defer func() { v.work += model.Effort(p.Work) }()
	x := make([]float64, v.columns()+1)
	for range mostSolves {
		if p.Solve(cutoff) != lp.Optimal {
			return stance{}, false
		}
		p.X(x)
		next := v.taken(x)
		from := len(v.order)
		if !v.addLacking(&next, x[v.columns()-1]-model.Rounding, -model.Rounding) {
			return next, true
		}
		v.push(p, from)
	}
	return stance{}, false
}

// climb repeats the program with the best planes of the present places. It never loses spare.
func (v *levelled) climb() {
	for range mostClimbs {
		v.choose()
		p := v.program()
		next, ok := v.finish(p, math.Inf(-1))
		lp.Return(p)
		if !ok {
			return
		}
		spare := v.measured(&next)
		if spare <= v.spare {
			return
		}
		gain := spare - v.spare
		v.s, v.spare = next, spare
		if gain < leastGain {
			return
		}
	}
}

// run climbs and tries other planes in turns.
func (v *levelled) run(promising float64) {
	v.climb()
	for range mostTurns {
		if v.spare < promising || !v.flip() {
			return
		}
		v.climb()
	}
}

// flip tries, for every relation that limits, each other plane in the chosen one's stead, and
// moves to the first that allows a greater spare.
func (v *levelled) flip() bool {
	v.choose()
	p := v.program()
	defer lp.Return(p)
	if _, ok := v.finish(p, math.Inf(-1)); !ok {
		return false
	}
	// Rows without a multiplier limit nothing.
	dual := make([]float64, len(v.order))
	p.Dual(dual)
	for row, y := range dual {
		if y > 1e-9 && v.order[row].sort != needWalls && v.flipOne(p, row) {
			return true
		}
	}
	return false
}

// flipOne tries the other planes of one relation, row of a solved program.
func (v *levelled) flipOne(solved *lp.Solver, row int) bool {
	b := v.order[row]
	now := v.sides[b]
	c, ok := v.clauseOf(b)
	if !ok || len(c.Planes) < 2 {
		return false
	}
	without, known := lp.LendCopy(solved), len(v.order)
	defer lp.Return(without)
	// Without the row the program says what any other plane could gain at most.
	without.Drop(row)
	status := without.Solve(v.spare + leastGain)
	v.work += model.Effort(without.Work)
	if status != lp.Optimal {
		return false
	}
	for _, f := range c.Planes {
		if b.sort.free() {
			f.K = 0
		}
		if f == now.Plane {
			continue
		}
		v.sides[b] = bound{b, f}
		p := lp.LendCopy(without)
		p.Push(v.row(v.sides[b]))
		v.push(p, known)
		next, ok := v.finish(p, v.spare+leastGain)
		lp.Return(p)
		if ok {
			if spare := v.measured(&next); spare > v.spare+leastGain {
				v.s, v.spare = next, spare
				return true
			}
		}
	}
	v.sides[b] = now
	return false
}

// clauseOf is the clause of a relation of the stance of v. Walls and ranges have one plane, so they
// have none to choose from.
func (v *levelled) clauseOf(b bind) (model.Clause, bool) {
	g := v.g
	s := v.s.boxes[b.i]
	kind, w := g.m.Boxes[b.i].Kind, g.way(b.i, s)
	switch b.sort {
	case needSolids:
		return g.m.Solids[kind][w.pose][b.which], true
	case needReach:
		return g.m.Reach[kind][w.pose][b.which], true
	case needTrays:
		if b.j == noBox {
			return w.under[b.which], true
		}
		return turnedRound(g.slabOver(w, g.pose(b.j, v.s.boxes[b.j]))), true
	case needCarriers:
		return g.ties(b.i, s, b.j, v.s.boxes[b.j])[b.which], true
	case needPairs, needTools:
		pair := g.m.PairingOf(g.pose(b.j, v.s.boxes[b.j]), g.pose(b.i, s))
		if b.sort == needPairs {
			return pair.Clauses[b.which], true
		}
		return pair.Tools[b.which/1000][b.which%1000], true
	}
	return model.Clause{}, false
}
