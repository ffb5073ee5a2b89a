package search

import "rackwright/pack/lp"

// sort tells what a relation is between.
type sort uint8

const (
	noRelation sort = iota
	ofWall          // a box and a half-space around the opening, which has one plane
	ofSolid         // a part of a box and another solid of the frame
	ofBoxes         // a part of a box and one of another box
	ofReach         // a tool over a post of a box and what of the frame never comes off
	ofTool          // a tool over a post of one box and the case of another
	ofPlace         // no relation, but where box i is
)

// relation names a relation of box i with the frame or with box j.
type relation struct {
	sort  sort
	i, j  int // j is 0 where there is none
	which int // of the walls or clauses of its sort
	whose int // for ofTool: over the posts of j with 0, of i with 1
}

// ofTwo tells whether a relation is between two boxes.
func (r relation) ofTwo() bool { return r.sort == ofBoxes || r.sort == ofTool }

// boxes lists the boxes of a relation.
func (r relation) boxes() []int {
	if r.ofTwo() {
		return []int{r.i, r.j}
	}
	return []int{r.i}
}

// open tells whether there are several planes for a relation to choose from.
func (r relation) open() bool { return r.sort > ofWall && r.sort < ofPlace }

// clauseOf is the clause of a relation, which has to be open, for boxes in their spots.
func (m *model) clauseOf(r relation, spots []spot) clause {
	switch kind, pose := m.boxes[r.i].kind, spots[r.i].pose; r.sort {
	case ofSolid:
		return m.solids[kind][pose][r.which]
	case ofReach:
		return m.reach[kind][pose][r.which]
	case ofTool:
		return m.pairingIn(r.j, spots[r.j], r.i, spots[r.i]).tools[r.whose][r.which]
	}
	return m.pairClauses(r.j, spots[r.j], r.i, spots[r.i])[r.which]
}

// side is a relation with the plane chosen for it: a row of the linear program.
type side struct {
	of    relation
	plane plane
}

// row writes a side as a row over the positions of the boxes and, last, the spare:
// −n·p + k·s ≤ −d. For a pair p is the place of i less that of j.
func (s side) row(boxes int) lp.Row {
	r := lp.Row{Bound: -s.plane.d}
	put := func(box int, scale float64) {
		for axis := range 3 {
			if c := component(s.plane.n, axis); c != 0 {
				r.Index = append(r.Index, 3*box+axis)
				r.Coef = append(r.Coef, scale*c)
			}
		}
	}
	put(s.of.i, -1)
	if s.of.ofTwo() {
		put(s.of.j, 1)
	}
	r.Index = append(r.Index, 3*boxes)
	r.Coef = append(r.Coef, s.plane.k)
	return r
}
