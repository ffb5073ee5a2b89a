package proof

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/pack/lp"
	"rackwright/pack/search/internal/depths"
	"rackwright/pack/search/model"
)

// As long as the pose of a box is open, the least that any of its poses asks for along each
// direction is what a box would ask for that is as short as the shortest side in all of
// them. So the program of a node has a weight for each shape of a box, the weights of a box
// add up to at least 1, and a plane asks for the least, and for what each shape asks beyond
// that, times its weight. A layout has weight 1 for the shape that the box is in and 0 for
// all others, and the plane then asks for what that shape does: so the layout satisfies
// every row (the convex hull of the poses, Balas, Annals of Discrete Mathematics 5 (1979)).
// A narrower set of poses takes the weights of the other shapes away. A row rests on its
// own decision alone.

// hull is where the weights are in a program. It is laid out once for a prover and the same for all
// of its nodes, so rows can be copied from node to node.
type hull struct {
	first   []int // by box: the column of the weight of shape 0
	shapes  []int // by kind; 0 where there is only one, which needs no weight
	columns int   // of the program: places, the spare, weights
	demands map[demandKey]demand
}

// fullWeight is a weight of 1: in the program weights are about as large as millimetres, so that
// its tolerance means the same for them. It is a power of two, so dividing by it loses nothing.
const fullWeight = 1024

// newHull lays out the weights; nil where there are too many. A node's program is dense in its
// columns, so weights cost in all that is done with it. Without them a box of an open pose is only
// as long as the shortest side that any pose has there.
func newHull(m *model.Model) *hull {
	h := &hull{columns: 3*len(m.Boxes) + 1, demands: map[demandKey]demand{}}
	for _, ps := range m.Poses {
		shapes := 0
		for _, p := range ps {
			shapes = max(shapes, p.Shape+1)
		}
		if shapes == 1 {
			shapes = 0
		}
		h.shapes = append(h.shapes, shapes)
	}
	weights := 0
	for _, b := range m.Boxes {
		h.first = append(h.first, h.columns+weights)
		weights += h.shapes[b.Kind]
	}
	if weights > mostWeights {
		return nil
	}
	h.columns += weights
	return h
}

// useHull has the programs of a prover work with weights.
func (v *prover) useHull() {
	v.hull = newHull(v.m)
	lo, _ := v.limits()
	v.x = make([]float64, len(lo))
}

// legColumn is the column of the first of the legs of way k of those with turns: they come last.
func (v *prover) legColumn(k int) int {
	first := 3*len(v.m.Boxes) + 1
	if v.hull != nil {
		first = v.hull.columns
	}
	return first + k*(mostLegs-1)
}

// limits are the bounds of the columns of a node's program: places, the spare, weights, and where ways are
// asked for the lengths of legs. Weights are between none and a whole;
// places and the spare as model.Lows and Highs have them.
func (v *prover) limits() (lo, hi []float64) {
	lo, hi = v.m.Lows(len(v.m.Boxes)), v.m.Highs(len(v.m.Boxes))
	if v.hull != nil {
		for range v.hull.columns - len(lo) {
			lo, hi = append(lo, 0), append(hi, fullWeight)
		}
	}
	if v.rel.ways != nil {
		for range mostTurns * (mostLegs - 1) {
			lo, hi = append(lo, 0), append(hi, v.rel.ways.longest)
		}
	}
	return lo, hi
}

// pushWeights writes that the weights of a box are a whole together. At least 1 is enough: a demand
// only grows with a weight, so no program takes more than it has to.
func (v *prover) pushWeights(n *node, i int) {
	shapes := v.hull.shapes[v.m.Boxes[i].Kind]
	if shapes == 0 {
		return
	}
	r := lp.Row{Bound: -fullWeight}
	for s := range shapes {
		r.Index, r.Coef = append(r.Index, v.hull.first[i]+s), append(r.Coef, -1)
	}
	v.pushRow(n, r, row{says: saysWeights})
}

// dropWeights writes that shapes which no pose of a set has are not taken by box i. Their sum is at
// most 0. The row rests on t, the decision that narrowed the set.
func (v *prover) dropWeights(n *node, i int, set poseSet, t depths.Set) {
	kind := v.m.Boxes[i].Kind
	taken := make([]bool, v.hull.shapes[kind])
	if len(taken) == 0 {
		return
	}
	set.each(func(p int) { taken[v.m.Poses[kind][p].Shape] = true })
	var r lp.Row
	for s, is := range taken {
		if !is {
			r.Index, r.Coef = append(r.Index, v.hull.first[i]+s), append(r.Coef, 1)
		}
	}
	if len(r.Index) > 0 {
		v.pushRow(n, r, row{says: saysWeights, rests: t})
	}
}

// demand is what a plane asks for: the least, and what each shape asks beyond that. beyond is by
// shape, and never negative.
type demand struct {
	least  float64
	beyond []float64
}

// demandKey names a plane: of two cases, for one of them, or of a wall or a clause of the
// frame. It is the key of a table that lasts as long as the prover. For two boxes the kinds come
// one at a time, for what one asks does not depend on the other.
type demandKey struct {
	sort        model.Sort
	kind, which int
	n           r3.Vector
	k           float64
}

// demandOf finds what the poses of a kind ask for. Of a shape it is the least of its poses
// that have the plane. Where none has, the plane is no way out for that shape, and no layout with
// it is counted to the plane's branch: more is asked of it than there is. Written proofs, which
// have no weights, ask for nothing beyond the least. It is asked of the poses that are allowed at
// all, not of a node's: what a node has narrowed, its weights say.
func (v *prover) demandOf(key demandKey, asks func(pose int) (d float64, has bool)) demand {
	if d, ok := v.hull.demands[key]; ok {
		return d
	}
	d := demand{math.Inf(1), make([]float64, v.hull.shapes[key.kind])}
	for s := range d.beyond {
		d.beyond[s] = math.Inf(1)
	}
	v.allowed[key.kind].each(func(p int) {
		a, has := asks(p)
		if !has {
			return
		}
		d.least = min(d.least, a)
		if s := v.m.Poses[key.kind][p].Shape; s < len(d.beyond) {
			d.beyond[s] = min(d.beyond[s], a)
		}
	})
	for s, a := range d.beyond {
		switch {
		// Four times the size of everything is more than any place can give.
		case math.IsInf(a, 1) && v.rel.pruned:
			a = d.least + 4*v.m.Size
		case math.IsInf(a, 1):
			a = d.least
		}
		d.beyond[s] = a - d.least
	}
	v.hull.demands[key] = d
	return d
}

// ask adds a demand of box i to a row. The row is of the form −n·p + k·s ≤ −d, and d is the least
// and the weighted rest.
func (h *hull) ask(r *lp.Row, i int, d demand) {
	r.Bound -= d.least
	for s, more := range d.beyond {
		if more > 0 {
			r.Index, r.Coef = append(r.Index, h.first[i]+s), append(r.Coef, more/fullWeight)
		}
	}
}

// reachDemand is how far the cases of a kind extend along u.
func (v *prover) reachDemand(kind int, u r3.Vector) demand {
	return v.demandOf(demandKey{model.OfBoxes, kind, 0, u, 1}, func(p int) (float64, bool) {
		return v.m.Poses[kind][p].Reach(0, u), true
	})
}

// wallDemand is what a wall asks of a kind; walls of all poses have the same order.
func (v *prover) wallDemand(kind, wall int) demand {
	return v.demandOf(demandKey{model.OfWall, kind, wall, r3.Vector{}, 1}, func(p int) (float64, bool) {
		return v.m.Walls[kind][p][wall].D, true
	})
}

// solidDemand is what a plane of a clause with the frame asks of a kind. Not every pose's clause
// has the plane; see demandOf.
func (v *prover) solidDemand(kind, which int, n r3.Vector, k float64) demand {
	return v.demandOf(demandKey{model.OfSolid, kind, which, n, k}, func(p int) (float64, bool) {
		for _, f := range v.rel.inner[kind][p][which].Planes {
			if f.N == n && f.K == k {
				return f.D, true
			}
		}
		return 0, false
	})
}

// pushWallsOfAll writes the walls of box i for whatever pose it takes. It is written once, at the
// root: narrower sets only take weights away.
func (v *prover) pushWallsOfAll(n *node, i int) {
	kind := v.m.Boxes[i].Kind
	for k, f := range n.boxes[i].walls {
		f.D = 0
		r := model.Side{Of: model.Relation{Sort: model.OfWall, I: i}, Plane: f}.Row(len(v.m.Boxes))
		v.hull.ask(&r, i, v.wallDemand(kind, k))
		v.pushRow(n, r, row{says: saysWall, box: i, which: k})
	}
}

// weighs tells whether a chosen plane is written with weights: those of cases, whose poses
// all have the same relations. Posts have theirs only where the pose is settled. Posts count for
// nothing while a pose is open, so they have nothing to weigh.
func (v *prover) weighs(c choice) bool {
	switch {
	case v.hull == nil || c.fixed:
		return false
	case c.of.Sort == model.OfBoxes:
		return c.of.Which == 0
	}
	own := v.rel.inner[v.m.Boxes[c.of.I].Kind][0]
	return c.of.Which < len(own) && own[c.of.Which].Part == 0
}

// pushWeighed writes such a plane. It needs no tightening later: as poses are settled the weights
// say so.
func (v *prover) pushWeighed(n *node, c choice) {
	r := model.Side{Of: c.of, Plane: model.Plane{N: c.n, K: c.k}}.Row(len(v.m.Boxes))
	kind := v.m.Boxes[c.of.I].Kind
	if c.of.Sort == model.OfBoxes {
		v.hull.ask(&r, c.of.I, v.reachDemand(kind, c.n.Mul(-1)))
		v.hull.ask(&r, c.of.J, v.reachDemand(v.m.Boxes[c.of.J].Kind, c.n))
		r.Bound -= model.CaseGap(v.m.Problem.Pack.Gaps)(c.n)
	} else {
		v.hull.ask(&r, c.of.I, v.solidDemand(kind, c.of.Which, c.n, c.k))
	}
	v.pushRow(n, r, row{says: saysChoice, which: c.depth, rests: depths.Of(c.depth)})
}
