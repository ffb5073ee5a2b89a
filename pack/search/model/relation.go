package model

import (
	"rackwright/geom"
	"rackwright/pack/lp"
)

// Sort tells what a relation is between.
type Sort uint8

// The sorts of relations.
const (
	NoRelation Sort = iota
	OfWall          // a box and a half-space around the opening, which has one plane
	OfSolid         // a part of a box and another solid of the frame
	OfFiner         // the same, with a finer body inside of the solid
	OfBoxes         // a part of a box and one of another box
	OfReach         // a tool over a post of a box and what of the frame never comes off
	OfTool          // a tool over a post of one box and the case of another
	OfPlace         // no relation, but where box I is
	OfWay           // the way out of box I and what of the frame never comes off
	OfPass          // the way out of box I and box J
)

// Relation names a relation of box I with the frame or with box J. It is a key: two are the same
// relation just where they are equal, which maps and learnt nogoods rely on.
type Relation struct {
	Sort  Sort
	I, J  int // J is 0 where there is none
	Which int // of the walls or clauses of its sort
	Whose int // for OfTool: over the posts of J with 0, of I with 1
}

// OfTwo tells whether a relation is between two boxes.
func (r Relation) OfTwo() bool { return r.Sort == OfBoxes || r.Sort == OfTool || r.Sort == OfPass }

// Boxes lists the boxes of a relation.
func (r Relation) Boxes() []int {
	if r.OfTwo() {
		return []int{r.I, r.J}
	}
	return []int{r.I}
}

// Open tells whether there are several planes for a relation to choose from. A wall has one plane,
// which simply holds; where a box is, is no relation.
func (r Relation) Open() bool { return r.Sort > OfWall && r.Sort < OfPlace }

// ClauseOf is the clause of a relation, which has to be open, for boxes in their spots. OfFiner is
// not among them: finer bodies belong to the proof, which keeps them itself.
func (m *Model) ClauseOf(r Relation, spots []Spot) Clause {
	switch kind, pose := m.Boxes[r.I].Kind, spots[r.I].Pose; r.Sort {
	case OfSolid:
		return m.Solids[kind][pose][r.Which]
	case OfReach:
		return m.Reach[kind][pose][r.Which]
	case OfTool:
		return m.PairingIn(r.J, spots[r.J], r.I, spots[r.I]).Tools[r.Whose][r.Which]
	}
	return m.PairClauses(r.J, spots[r.J], r.I, spots[r.I])[r.Which]
}

// Side is a relation with the plane chosen for it: a row of the linear program. Choosing one for
// every open relation makes the linear program that improve and proof solve.
type Side struct {
	Of    Relation
	Plane Plane
}

// Row writes a side as a row over the positions of the boxes and, last, the spare:
// −n·p + k·s ≤ −d. For a pair p is the place of I less that of J. Rows are sparse, at most seven
// numbers: coefficients that are 0 are left out.
func (s Side) Row(boxes int) lp.Row {
	r := lp.Row{Bound: -s.Plane.D}
	put := func(box int, scale float64) {
		for axis := range 3 {
			if c := geom.Component(s.Plane.N, axis); c != 0 {
				r.Index = append(r.Index, 3*box+axis)
				r.Coef = append(r.Coef, scale*c)
			}
		}
	}
	put(s.Of.I, -1)
	if s.Of.OfTwo() {
		put(s.Of.J, 1)
	}
	r.Index = append(r.Index, 3*boxes)
	r.Coef = append(r.Coef, s.Plane.K)
	return r
}
