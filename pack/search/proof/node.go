package proof

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack/lp"
	"rackwright/pack/search/internal/depths"
	"rackwright/pack/search/model"
)

// node is a state of the proof: which poses each box may still take, which plane has
// been chosen for which relation, and the linear program of all that follows. Its
// value bounds the spare of every layout that agrees with the choices.
//
// Nodes of one depth are used again and again (scratch): copyFrom fills one from its parent, apply
// adds a decision, solve asks the program. A node is never undone. Rows only come on top, so the
// solver goes on from its parent's optimum.
type node struct {
	boxes  []*relaxed
	mask   []depths.Set // by box: the decisions that narrowed its poses
	chosen []choice
	rows   []row // of the program
	lp     *lp.Solver
	at     []r3.Vector                      // places at the optimum of the program
	legs   [mostTurns][mostLegs - 1]float64 // of ways with turns, likewise
	value  float64
	passage
}

// row is what a row of a node's program says. It lies beside the row of the program with the same
// index.
type row struct {
	says  saying
	box   int        // of a wall, or the later one of an order
	which int        // the wall, or the depth of the choice
	rests depths.Set // the decisions that it rests on
}

// saying is what a row says. Weights are of the program alone: a written proof does without them. A
// named type, so that a written term cannot be taken for another kind.
type saying int

const (
	saysWeights saying = iota
	saysWall
	saysOrder
	saysMirror
	saysChoice
)

// choice is a plane chosen for a relation: by normal, since what it asks for grows as
// poses are settled.
//
// The normal and the factor tell which plane it is while its demand changes. A choice never goes
// away below the node that took it.
type choice struct {
	of    model.Relation
	n     r3.Vector
	k     float64
	least float64               // what it asked for when it was chosen; narrower sets ask for no less
	fixed bool                  // of a finer body: never asks for more
	d     float64               // as last written to the program
	chord *model.Plane          // of a sector: what holds in it besides; see sector.go
	lift  [mostLegs - 1]float64 // of a way: for the lengths of its legs; see ways.go
	turns int8                  // of a way: which of those with turns
	depth int
}

// decision is one step down from a node: a choice of a plane, a narrower set of
// poses for a box, a way for a box, or which of two boxes comes out first. Only the fields of its sort
// are set.
type decision struct {
	choice choice
	turn   bool // for a narrower set
	box    int
	set    poseSet
	pass   pass
}

// copyFrom makes n the same as o, in n's own memory. What is behind pointers is shared and not
// changed: relaxed boxes belong to the relaxation.
func (n *node) copyFrom(o *node) {
	n.boxes = append(n.boxes[:0], o.boxes...)
	n.mask = append(n.mask[:0], o.mask...)
	n.chosen = append(n.chosen[:0], o.chosen...)
	n.rows = append(n.rows[:0], o.rows...)
	n.at = append(n.at[:0], o.at...)
	n.legs = o.legs
	n.value = o.value
	n.passage.takeFrom(&o.passage)
	if n.lp == nil {
		n.lp = &lp.Solver{}
	}
	n.lp.CopyFrom(o.lp)
}

// root makes the node without any decision: walls, the order of boxes alike, and the
// mirror half.
func (v *prover) root() *node {
	boxes := len(v.m.Boxes)
	lo, hi := v.limits()
	objective := make([]float64, len(lo))
	objective[3*boxes] = 1
	n := &node{
		mask: make([]depths.Set, boxes),
		at:   make([]r3.Vector, boxes),
		lp:   lp.New(objective, lo, hi),
	}
	for i, b := range v.m.Boxes {
		n.boxes = append(n.boxes, v.rel.of(b.Kind, v.allowed[b.Kind]))
		if v.hull == nil {
			v.pushWalls(n, i)
			continue
		}
		v.pushWallsOfAll(n, i)
		v.pushWeights(n, i)
		v.dropWeights(n, i, v.allowed[b.Kind], depths.Set{})
	}
	v.pushSymmetry(n)
	return n
}

// push writes a side as a row.
func (v *prover) push(n *node, s model.Side, of row) {
	v.pushRow(n, s.Row(len(v.m.Boxes)), of)
}

// pushRow is the one place that adds rows, so that rows and their meanings stay side by side.
func (v *prover) pushRow(n *node, r lp.Row, of row) {
	n.lp.Push(r)
	n.rows = append(n.rows, of)
}

// pushWalls writes what the present set of poses of box i asks of the walls. Rows of a wider set
// stay: they ask for less and do no harm.
func (v *prover) pushWalls(n *node, i int) {
	for k, f := range n.boxes[i].walls {
		v.push(n, model.Side{Of: model.Relation{Sort: model.OfWall, I: i}, Plane: f}, row{says: saysWall, box: i, which: k, rests: n.mask[i]})
	}
}

// pushSymmetry orders boxes of one kind along x: any layout can be renumbered so. In
// a space with two equal halves it also puts the first box into the left one.
func (v *prover) pushSymmetry(n *node) {
	for i := 1; i < len(v.m.Boxes); i++ {
		if v.m.Boxes[i].Kind == v.m.Boxes[i-1].Kind {
			// x of i less x of i-1 is at least 0; the spare has no part in it.
			v.push(n, model.Side{Of: model.Relation{Sort: model.OfBoxes, I: i, J: i - 1}, Plane: model.Plane{N: v.sortBy}}, row{says: saysOrder, box: i})
		}
	}
	if v.mirrored {
		v.push(n, model.Side{Of: model.Relation{Sort: model.OfWall}, Plane: model.Plane{N: r3.Vector{Y: 1}, D: v.middle}}, row{says: saysMirror})
	}
}

// apply carries out a decision at a depth. It only adds rows; solve comes after.
//
// A plane that is chosen is written with what the present sets ask, and again (tighten) whenever a
// set that it speaks of gets narrower.
func (v *prover) apply(n *node, d decision, depth int) {
	if d.pass.sort != noPass {
		n.pass(d.box, d.pass, depth)
		return
	}
	if of := d.choice.of.Sort; of == model.OfWay || of == model.OfPass || of == model.OfTool {
		v.pushPassing(n, d.choice, depth)
		return
	}
	if !d.turn {
		c := d.choice
		c.depth = depth
		c.d = math.Inf(-1)
		n.chosen = append(n.chosen, c)
		if c.chord != nil {
			v.push(n, model.Side{Of: c.of, Plane: *c.chord}, row{says: saysChoice, which: depth, rests: n.restsOn(c.of)})
		}
		if v.weighs(c) {
			v.pushWeighed(n, c)
		} else {
			v.tighten(n, len(n.chosen)-1)
		}
		return
	}
	i := d.box
	d.set = v.tried(n, i, d.set, depth)
	n.boxes[i] = v.rel.of(v.m.Boxes[i].Kind, d.set)
	n.mask[i] = n.mask[i].Or(depths.Of(depth))
	if v.hull != nil {
		v.dropWeights(n, i, d.set, depths.Of(depth))
	}
	if v.hull == nil || len(v.m.Poses[v.m.Boxes[i].Kind][0].Parts) > 1 { // posts are not of the shape
		v.pushWalls(n, i)
	}
	for k, c := range n.chosen {
		if slices.Contains(c.of.Boxes(), i) && !v.weighs(c) {
			v.tighten(n, k)
		}
	}
}

// tried is a set of poses of a box without those that are not tried. Where none is left the node's
// program has no solution. It rests on the decision that left nothing, and is at once refuted.
func (v *prover) tried(n *node, i int, set poseSet, depth int) poseSet {
	some := set
	for k := range some {
		some[k] &= v.allowed[v.m.Boxes[i].Kind][k]
	}
	if some != (poseSet{}) {
		return some
	}
	v.pushRow(n, lp.Row{Index: []int{3 * len(v.m.Boxes)}, Coef: []float64{1}, Bound: -2 * v.m.Size}, row{says: saysWeights, rests: depths.Of(depth)})
	return set
}

// tighten writes a chosen plane with what the present poses ask of it, if that is
// more than was written before. Both rows stay in the program; the older one is implied.
func (v *prover) tighten(n *node, k int) {
	c := &n.chosen[k]
	t := depths.Of(c.depth).Or(n.masks(c.of))
	d := v.demand(n, *c)
	if d <= c.d {
		return
	}
	c.d = d
	v.push(n, model.Side{Of: c.of, Plane: model.Plane{N: c.n, D: d, K: c.k}}, row{says: saysChoice, which: c.depth, rests: t})
}

// demand is what the present poses ask of a chosen plane: no less than when it was
// chosen, even where their clauses no longer have it. A narrower set has the clauses of its
// members, which may lack a plane that the wider set had from another. It still has to ask what it
// did: the layouts in this branch satisfied that plane of the wider clause.
func (v *prover) demand(n *node, c choice) float64 {
	if c.fixed {
		return c.least
	}
	clauses := v.clausesFor(n, c.of)
	if c.of.Which >= len(clauses) {
		return c.least
	}
	k := slices.IndexFunc(clauses[c.of.Which].Planes, func(f model.Plane) bool { return f.N == c.n && f.K == c.k })
	if k < 0 {
		return c.least
	}
	return max(c.least, clauses[c.of.Which].Planes[k].D)
}

// clausesFor are the clauses of two boxes, on the place of i less that of j, or of a box with the
// frame. They change from node to node with the sets, so which numbers them for a settled pose only
// together with the sort.
func (v *prover) clausesFor(n *node, of model.Relation) []model.Clause {
	switch of.Sort {
	case model.OfBoxes:
		return v.rel.pair(n.boxes[of.J], n.boxes[of.I])
	case model.OfFiner:
		return n.boxes[of.I].finer
	}
	return n.boxes[of.I].solids
}

// place is what the clauses of a relation are measured at.
func (n *node) place(of model.Relation) r3.Vector {
	if of.Sort == model.OfBoxes {
		return n.at[of.I].Sub(n.at[of.J])
	}
	return n.at[of.I]
}

// masks are the decisions that narrowed the poses of the boxes of a relation. What a clause of
// relaxed boxes says rests on what narrowed them, whatever plane of it is chosen.
func (n *node) masks(of model.Relation) (t depths.Set) {
	for _, i := range of.Boxes() {
		t = t.Or(n.mask[i])
	}
	return t
}

// solve solves the program of the node. It is not open where the value does not
// exceed the cutoff; used is then what the refutation rests on.
//
// Open is not an answer but the lack of one: numerical trouble leaves a node open, with the value
// that it had. The solver's word is not believed: the multipliers have to prove it. Where they do not,
// rounding has spoilt them, or the rows only just cannot hold together, and the places are not those
// of a solution: then the program is solved once more, loosely.
func (v *prover) solve(n *node, cutoff float64) (open bool, used depths.Set) {
	for _, solve := range []func(float64) lp.Status{n.lp.Solve, n.lp.SolveLoosely} {
		status := solve(cutoff)
		v.work += model.Effort(n.lp.Work)
		n.lp.Work = 0
		if status == lp.Optimal {
			n.value = n.lp.Value()
			if n.value > cutoff {
				break
			}
		}
		if status == lp.Stalled {
			continue
		}
		if used, shut := v.refute(n, cutoff); shut {
			return false, used
		}
	}
	v.readPlaces(n)
	return true, depths.Set{}
}
