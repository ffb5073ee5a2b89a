package search

import (
	"errors"
	"fmt"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack/certificate"
)

// limb is a node of the recorded tree. Choices are named by their depth until the tree
// is whole, since backjumping takes nodes out.
type limb struct {
	node  certificate.Node
	depth int
	below []limb
	longs []float64 // by branch of a choice: how long its direction is
}

// origin is what a row of the program says.
type origin struct {
	what     int // rowWall, rowOrder or rowChoice
	box, row int // row: the wall, or the depth of the choice
	long     float64
}

const (
	rowWall = iota
	rowOrder
	rowChoice
)

// mostLeaves is how large a tree may get; about 100 MB.
const mostLeaves = 200_000

// write records the whole tree.
func (w *scribe) write() (*certificate.Node, error) {
	n := w.scratch(&w.nodes, 0)
	n.copyFrom(w.root())
	var rows []origin
	for i := range n.boxes {
		rows = w.wallRows(rows, n, i)
	}
	for i := 1; i < len(w.boxes); i++ {
		if w.boxes[i].kind == w.boxes[i-1].kind {
			rows = append(rows, origin{what: rowOrder, box: i, long: 1})
		}
	}
	tree, _, err := w.record(n, rows, 0)
	if err != nil {
		return nil, err
	}
	whole := tree.numbered(map[int]choiceName{})
	return &whole, nil
}

func (w *scribe) wallRows(rows []origin, n *node, i int) []origin {
	for _, f := range n.boxes[i].walls {
		k := nearest(w.walls, f.n)
		rows = append(rows, origin{rowWall, i, k, w.walls[k].Norm()})
	}
	return rows
}

// nearest is the direction that is nearest to u.
func nearest(all []r3.Vector, u r3.Vector) int {
	best := 0
	for k, v := range all {
		if v.Dot(u)/v.Norm() > all[best].Dot(u)/all[best].Norm() {
			best = k
		}
	}
	return best
}

// record decides everything below a node that may not be solved yet, as descend does. It
// returns the tree and the decisions it rests on.
func (w *scribe) record(n *node, rows []origin, depth int) (limb, tags, error) {
	if open, used := w.solve(n, w.cutoff); !open {
		return w.leaf(n, rows), used, nil
	}
	if n.value <= w.cutoff {
		if used, shut := w.refute(n, w.cutoff); shut {
			return w.leaf(n, rows), used, nil
		}
	}
	switch {
	case w.ctx.Err() != nil:
		return limb{}, tags{}, fmt.Errorf("there was not time enough: give more with --time (%w)", w.ctx.Err())
	case w.leaves >= mostLeaves:
		return limb{}, tags{}, errors.New("it would be too large")
	case depth >= maxDepth-1:
		return limb{}, tags{}, errors.New("it would be too deep")
	}
	b, broken := w.choose(n, depth, depth)
	if !broken {
		return limb{}, tags{}, errors.New("too little is missing for the flat bodies that it puts inside round tubes and drums, or for the posts")
	}
	return w.branch(n, rows, b, depth)
}

// branch records the branches of a node, or the one that does without it.
func (w *scribe) branch(n *node, rows []origin, b branching, depth int) (limb, tags, error) {
	used := b.rests
	var below []limb
	for _, c := range b.children {
		next := w.scratch(&w.nodes, depth+1)
		next.copyFrom(n)
		child, childUsed, err := w.record(next, w.applied(next, rows, c.decision, depth), depth+1)
		if err != nil || !childUsed.has(depth) {
			return child, childUsed, err
		}
		below = append(below, child)
		used = used.or(childUsed.without(depth))
	}
	tree, err := w.joined(n, b, below, depth)
	return tree, used, err
}

// applied carries out a decision, and says what the rows are that it adds.
func (w *scribe) applied(n *node, rows []origin, d decision, depth int) []origin {
	rows = slices.Clip(rows)
	var before []float64
	for _, c := range n.chosen {
		before = append(before, c.d)
	}
	w.apply(n, d, depth)
	if d.box < 0 {
		return append(rows, choiceRow(n.chosen[len(n.chosen)-1]))
	}
	rows = w.wallRows(rows, n, d.box)
	for k, c := range n.chosen {
		if c.d != before[k] {
			rows = append(rows, choiceRow(c))
		}
	}
	return rows
}

// choiceRow is the row of a choice.
func choiceRow(c choice) origin { return origin{rowChoice, c.i, c.depth, 1} }

// directionsOf are the certificate's directions for the relation of a choice, with the poses
// that a node leaves.
func (w *scribe) directionsOf(n *node, c choice) []r3.Vector {
	set := func(i int) certificate.PoseSet { return w.namedIn(n.boxes[i].kind, n.boxes[i].set) }
	if c.j != onFrame {
		return w.space.Apart(c.i, set(c.i), c.j, set(c.j))
	}
	return w.space.Clear(c.which/w.parts[n.boxes[c.i].kind], c.i, set(c.i))
}

// leaf writes down the multipliers that the node was refuted with.
func (w *scribe) leaf(n *node, rows []origin) limb {
	w.leaves++
	var sum []certificate.Term
	at := map[origin]int{}
	for row := range n.tags {
		if w.y[row] <= 0 {
			continue
		}
		o := rows[row]
		k, there := at[o]
		if !there {
			k = len(sum)
			at[o] = k
			sum = append(sum, o.term())
		}
		sum[k].Times += w.y[row] / o.long
	}
	return limb{node: certificate.Node{Sum: sum}}
}

func (o origin) term() certificate.Term {
	switch o.what {
	case rowWall:
		return certificate.Term{Wall: []int{o.box, o.row}}
	case rowOrder:
		return certificate.Term{Order: &o.box}
	}
	return certificate.Term{Choice: &o.row}
}

// joined makes a node of the branches, in the order of the certificate.
func (w *scribe) joined(n *node, b branching, below []limb, depth int) (limb, error) {
	first := b.children[0].decision
	tree := limb{depth: depth}
	if first.box >= 0 {
		turn := &certificate.Turn{Box: first.box}
		for _, c := range b.children {
			turn.Sets = append(turn.Sets, w.posesIn(first.box, c.decision.set))
		}
		tree.node.Turn, tree.below = turn, below
		return tree, nil
	}
	c := first.choice
	tree.node = w.named(n, c)
	for _, u := range w.directionsOf(n, c) {
		k, ok := childAlong(b.children, u)
		if !ok {
			return limb{}, errors.New("the search and the certificate do not agree on the directions of a relation; please report this with both files")
		}
		tree.below, tree.longs = append(tree.below, below[k]), append(tree.longs, u.Norm())
	}
	return tree, nil
}

// childAlong is the branch with a direction. Of several, such as a side of a tilted box and
// a face of a solid that are parallel but for rounding, it is the one that asks for least.
func childAlong(all []child, u r3.Vector) (best int, ok bool) {
	for k, c := range all {
		c := c.decision.choice
		if c.n.Dot(u) > (1-1e-9)*u.Norm() && (!ok || c.least < all[best].decision.choice.least) {
			best, ok = k, true
		}
	}
	return best, ok
}

// named names the relation of a choice.
func (w *scribe) named(n *node, c choice) certificate.Node {
	mine := w.parts[w.boxes[c.i].kind]
	if c.j == onFrame {
		return certificate.Node{Clear: []int{c.i, c.which % mine, c.which / mine}}
	}
	// The clauses of two boxes are by the parts of j and, for each, those of i.
	return certificate.Node{Apart: []int{c.i, c.which % mine, c.j, c.which / mine}}
}

// posesIn lists the certificate's poses of a set.
func (w *scribe) posesIn(box int, set poseSet) []int {
	named := w.namedIn(w.boxes[box].kind, set)
	var list []int
	for k := range 64 * len(named) {
		if named.Has(k) {
			list = append(list, k)
		}
	}
	return list
}

// choiceName is the number of a choice, and how long its direction is in the certificate.
type choiceName struct {
	number int
	long   float64
}

// numbered is the tree with its choices, by depth, named by how many come before them on
// the way from the root. A branch may be there for several directions.
func (l limb) numbered(choices map[int]choiceName) certificate.Node {
	n := l.node
	n.Sum = slices.Clone(n.Sum)
	for i, t := range n.Sum {
		if t.Choice != nil {
			c := choices[*t.Choice]
			n.Sum[i].Choice, n.Sum[i].Times = &c.number, t.Times/c.long
		}
	}
	number := len(choices)
	for i, b := range l.below {
		if l.longs != nil {
			choices[l.depth] = choiceName{number, l.longs[i]}
		}
		n.Then = append(n.Then, b.numbered(choices))
	}
	if l.longs != nil {
		delete(choices, l.depth)
	}
	return n
}
