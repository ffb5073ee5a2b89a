package proof

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/search/internal/depths"
	"rackwright/pack/search/model"
)

// A layout is an answer where its boxes come out one after the other, each past all that come out later,
// with room for the tools over its posts beside these. Where a node's arrangement breaks no relation and
// is no answer all the same, the node is branched on the ways of the boxes that are held, and on which of
// two comes out first. What a way, or an order, then asks for are clauses like all others: so the programs
// know of it, and what is learnt speaks of ways and orders.

// passSort tells what a decision about coming out is.
type passSort uint8

const (
	noPass passSort = iota
	byWay           // a box comes out by a way
	before          // a box comes out before another
)

// pass is a decision about a box coming out.
type pass struct {
	sort  passSort
	way   way
	turns int8 // of a way with turns: which of those
	other int  // that the box comes out before
}

// passage is what a node has decided about boxes coming out. It has nothing until something is.
type passage struct {
	ways  []taken
	first []sooner // by two boxes, i·boxes + j: whether i comes out before j
	turns int8     // how many ways with turns there are
}

// taken is the way of a box, and the decision for it. A way without legs is none.
type taken struct {
	way   way
	turns int8
	depth int
}

// sooner tells whether that is known of two boxes, and what it rests on.
type sooner struct {
	known bool
	rests depths.Set
}

// takeFrom makes p the same as o in p's own memory.
func (p *passage) takeFrom(o *passage) {
	p.ways, p.first, p.turns = append(p.ways[:0], o.ways...), append(p.first[:0], o.first...), o.turns
}

// wayOf is the way of box i.
func (p *passage) wayOf(i int) taken {
	if len(p.ways) == 0 {
		return taken{}
	}
	return p.ways[i]
}

// before tells whether it is known that box i comes out before box j of so many, and what that rests on.
func (p *passage) before(i, j, boxes int) (depths.Set, bool) {
	if len(p.first) == 0 {
		return depths.Set{}, false
	}
	s := p.first[i*boxes+j]
	return s.rests, s.known
}

// ordered tells whether it is known which of two boxes comes out first.
func (n *node) ordered(i, j int) bool {
	_, a := n.before(i, j, len(n.boxes))
	_, b := n.before(j, i, len(n.boxes))
	return a || b
}

// pass carries out a decision about box i.
func (n *node) pass(i int, d pass, depth int) {
	if d.sort == byWay {
		if len(n.ways) == 0 {
			n.ways = append(n.ways[:0], make([]taken, len(n.boxes))...)
		}
		n.ways[i] = taken{d.way, d.turns, depth}
		if d.way.legs > 1 {
			n.turns++
		}
		return
	}
	boxes := len(n.boxes)
	if len(n.first) == 0 {
		n.first = append(n.first[:0], make([]sooner, boxes*boxes)...)
	}
	// All that come out before i come out before all that do so after the other.
	for a := range boxes {
		restsA, soonerA := n.before(a, i, boxes)
		if a != i && !soonerA {
			continue
		}
		for b := range boxes {
			restsB, laterB := n.before(d.other, b, boxes)
			if b != d.other && !laterB || n.first[a*boxes+b].known {
				continue
			}
			n.first[a*boxes+b] = sooner{true, restsA.Or(restsB).Or(depths.Of(depth))}
		}
	}
}

// pushPassing writes a chosen plane of a way, or of a tool's room in an order. It says all by itself, and
// never asks for more.
func (v *prover) pushPassing(n *node, c choice, depth int) {
	j := -1
	if c.of.OfTwo() {
		j = c.of.J
	}
	f := passing{n: c.n, d: c.least, lift: c.lift}
	v.pushRow(n, f.row(len(n.boxes), c.of.I, j, v.legColumn(int(c.turns))), row{says: saysChoice, which: depth, rests: depths.Of(depth)})
}

// hindrance is a clause of coming out that a node's places break, by how much, and what the clause rests on.
type hindrance struct {
	of    model.Relation
	any   passings
	turns int8
	lack  float64
	rests depths.Set
}

// notPassing are the branchings on what of coming out a node's places break: the worst few.
func (v *prover) notPassing(n *node) []branching {
	if v.rel.ways == nil {
		return nil
	}
	all := v.hindrances(n)
	slices.SortStableFunc(all, func(a, b hindrance) int { return cmp.Compare(b.lack, a.lack) })
	var list []branching
	for _, h := range all[:min(len(all), waysAhead)] {
		list = append(list, h.branching())
	}
	return list
}

// branching branches on the planes of the clause.
func (h hindrance) branching() branching {
	b := branching{rests: h.rests}
	for _, f := range h.any {
		b.children = append(b.children, child{decision: decision{
			choice: choice{of: h.of, n: f.n, least: f.d, lift: f.lift, turns: h.turns, fixed: true},
		}})
	}
	return b
}

// hindrances lists what the decided ways and orders of a node ask for and its places break.
func (v *prover) hindrances(n *node) []hindrance {
	var all []hindrance
	for i := range n.boxes {
		if t := n.wayOf(i); t.way.legs > 0 {
			of := hindrance{of: model.Relation{Sort: model.OfWay, I: i}, turns: t.turns, rests: n.mask[i].Or(depths.Of(t.depth))}
			all = n.gather(all, of, v.rel.ways.past(n.boxes[i].kind, n.boxes[i].poses[0], t.way))
		}
		for j := range n.boxes {
			if rests, sooner := n.before(i, j, len(n.boxes)); sooner {
				all = v.pastLater(n, all, i, j, rests)
			}
		}
	}
	return all
}

// pastLater adds what box i asks for of box j, which comes out later: room for its tools, and for its way
// where that is decided.
func (v *prover) pastLater(n *node, all []hindrance, i, j int, rests depths.Set) []hindrance {
	if !n.boxes[i].single() || !n.boxes[j].single() {
		return all
	}
	rests = rests.Or(n.mask[i]).Or(n.mask[j])
	p, q := v.poseIn(n, i), v.poseIn(n, j)
	if v.rel.tools != nil {
		of := hindrance{of: model.Relation{Sort: model.OfTool, I: i, J: j}, rests: rests}
		all = n.gather(all, of, v.rel.reaching(p, q))
	}
	if t := n.wayOf(i); t.way.legs > 0 {
		of := hindrance{of: model.Relation{Sort: model.OfPass, I: i, J: j}, turns: t.turns, rests: rests.Or(depths.Of(t.depth))}
		all = n.gather(all, of, v.rel.ways.pastBox(p, q, t.way))
	}
	return all
}

// poseIn is the pose of box i, which has to be settled.
func (v *prover) poseIn(n *node, i int) *model.Pose {
	return v.m.Poses[n.boxes[i].kind][n.boxes[i].poses[0]]
}

// gather adds the clauses that a node breaks.
func (n *node) gather(all []hindrance, of hindrance, clauses []passings) []hindrance {
	p := n.place(model.Relation{Sort: model.OfWay, I: of.of.I})
	if of.of.OfTwo() {
		p = n.at[of.of.I].Sub(n.at[of.of.J])
	}
	for which, c := range clauses {
		if lack := c.lack(p, n.legs[of.turns]); lack > leastBreach {
			of.of.Which, of.any, of.lack = which, c, lack
			all = append(all, of)
		}
	}
	return all
}

// reaching are the clauses of the tools over the posts of p past another pose, on the place of p less that
// of the other. They are kept.
func (r *relaxation) reaching(p, q *model.Pose) []passings {
	key := [2]int{p.ID, q.ID}
	if c, ok := r.reach[key]; ok {
		return c
	}
	all := []passings{}
	for _, room := range r.tools.rooms[p.ID] {
		for k := range q.Parts {
			body := geom.FacesOf(q.Solid(k, r3.Vector{}), 0)
			var c passings
			for _, n := range geom.PartingNormals(body, room) {
				c = append(c, passing{n: n, d: geom.ExtentOf(body, n).Hi - geom.ExtentOf(room, n).Lo - toolSlack})
			}
			all = append(all, c)
		}
	}
	r.reach[key] = all
	return all
}

// byEntry branches on how the boxes come out that are held in an arrangement; false where nothing is left
// to decide about them. Who comes out first comes first where it says something at once, then ways, of
// the box that has fewest.
func (v *prover) byEntry(n *node, held []int) (branching, bool) {
	if v.rel.ways == nil {
		return branching{}, false
	}
	if b, ok := v.byOrder(n, held, func(i, j int) bool { return len(v.pastLater(n, nil, i, j, depths.Set{})) > 0 }); ok {
		return b, true
	}
	best, fewest := branching{}, math.MaxInt
	for _, i := range held {
		if b, ok := v.byWays(n, i); ok && len(b.children) < fewest {
			best, fewest = b, len(b.children)
		}
	}
	if fewest < math.MaxInt {
		return best, true
	}
	return v.byOrder(n, held, func(i, j int) bool { return true })
}

// byOrder branches on which of two boxes comes out first: the first two of those that are held of which
// that is not known, and where one that came out first would ask for something.
func (v *prover) byOrder(n *node, held []int, asks func(i, j int) bool) (branching, bool) {
	for _, i := range held {
		for _, j := range held {
			if i == j || n.ordered(i, j) || !asks(i, j) {
				continue
			}
			return branching{children: []child{
				{decision: decision{box: j, pass: pass{sort: before, other: i}}},
				{decision: decision{box: i, pass: pass{sort: before, other: j}}},
			}}, true
		}
	}
	return branching{}, false
}

// byWays branches on the ways of box i; false where it has one, they cannot all be told, or there are so many
// that halving its places tells more.
func (v *prover) byWays(n *node, i int) (branching, bool) {
	if n.wayOf(i).way.legs > 0 {
		return branching{}, false
	}
	open, known := v.rel.ways.waysOf(n.boxes[i].kind, n.boxes[i].poses[0])
	if !known || len(open) > mostWays {
		return branching{}, false
	}
	b := branching{rests: n.mask[i]}
	for _, w := range open {
		d := pass{sort: byWay, way: w}
		if w.legs > 1 {
			if d.turns = n.turns; n.turns == mostTurns {
				return branching{}, false
			}
		}
		b.children = append(b.children, child{decision: decision{box: i, pass: d}})
	}
	return b, true
}
