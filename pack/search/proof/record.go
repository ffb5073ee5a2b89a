package proof

import (
	"errors"
	"fmt"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack/certificate"
	"rackwright/pack/search/internal/depths"
	"rackwright/pack/search/model"
)

// limb is a node of the recorded tree. Choices are named by their depth until the tree
// is whole, since backjumping takes nodes out. One with neither a sum nor branches is a citation.
type limb struct {
	node  certificate.Node // but for its sum and its branches
	sum   []weight
	depth int
	below []limb
	longs []float64 // by branch of a choice: how long its direction is
	lemma *lemma    // that says that nothing fits here; below, if there is any, is its proof
}

// weight is what a row says, and how many times it is taken; a wall by its number in the
// certificate, and a choice by its depth. It is comparable but for times, which is 0 in a key.
type weight struct {
	says       saying
	box, which int
	times      float64 // of a direction of length 1
}

// write records the whole tree, and the lemmas that more than one branch rests on. The root is the
// prover's, so the walls and the order of the boxes are those that the certificate knows.
func (w *scribe) write(p *certificate.Proof) error {
	n := w.prover.scratch(&w.prover.nodes, 0)
	n.copyFrom(w.prover.root())
	tree, _, err := w.record(n, 0)
	if err != nil {
		return err
	}
	w.publish(p, tree)
	return nil
}

// nearest is the direction that is nearest to u. Walls of the search and of the certificate are the
// same planes with normals of other lengths.
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
//
// It differs from descend in that it may not leave anything: what cannot be decided ends the proof
// with the reason.
func (w *scribe) record(n *node, depth int) (limb, depths.Set, error) {
	if open, used := w.prover.solve(n, w.prover.cutoff); !open {
		return w.leaf(n), used, nil
	}
	n.value = min(n.value, w.most)
	if n.value <= w.prover.cutoff {
		if used, shut := w.prover.refute(n, w.prover.cutoff); shut {
			return w.leaf(n), used, nil
		}
	}
	switch {
	case w.ctx.Err() != nil:
		return limb{}, depths.Set{}, fmt.Errorf("there was not time enough: give more with --time (%w)", w.ctx.Err())
	case w.leaves >= mostLeaves:
		return limb{}, depths.Set{}, fmt.Errorf("it would have more than %d ends", mostLeaves)
	case depth >= depths.Max-1:
		return limb{}, depths.Set{}, errors.New("it would be too deep")
	}
	b, broken := w.prover.choose(n, depth, depth)
	if !broken {
		return limb{}, depths.Set{}, errors.New("too little is missing for the flat bodies that it puts inside round tubes and drums, or for the posts")
	}
	return w.branch(n, b, depth)
}

// branch records the branches of a node, or the one that does without it. A branch that does not
// rest on the choice replaces the node: so what backjumping skips is not in the file.
func (w *scribe) branch(n *node, b branching, depth int) (limb, depths.Set, error) {
	used := b.rests
	var below []limb
	for _, c := range b.children {
		child, childUsed, err := w.child(n, c, depth)
		if err != nil || !childUsed.Has(depth) {
			return child, childUsed, err
		}
		below = append(below, child)
		used = used.Or(childUsed.Without(depth))
	}
	tree, err := w.joined(n, b, below, depth)
	if err == nil {
		tree = w.learn(tree, used)
	}
	return tree, used, err
}

// child records a branch of a node. What a program refutes is as soon written down again as
// cited. A citation is worth it only where the nogood has a lemma; what a single program refutes
// takes as many lines as citing it would.
func (w *scribe) child(n *node, c child, depth int) (limb, depths.Set, error) {
	if c.by != nil && c.by.lemma != nil {
		return limb{lemma: c.by.lemma}, c.used, nil
	}
	next := w.prover.scratch(&w.prover.nodes, depth+1)
	next.copyFrom(n)
	w.prover.apply(next, c.decision, depth)
	w.prover.path = append(w.prover.path, c.decision)
	w.prover.learnt.enter(c.decision, depth)
	defer func() {
		w.prover.path = w.prover.path[:depth]
		w.prover.learnt.leave(c.decision, depth)
	}()
	return w.record(next, depth+1)
}

// directions are the certificate's for the relation of a choice, with sets of poses of its
// boxes. Which there are depends on the poses left, so who cites has to ask with the same sets.
func (w *scribe) directions(c choice, set func(box int) certificate.PoseSet) []r3.Vector {
	if c.of.Sort == model.OfBoxes {
		return w.space.Apart(c.of.I, set(c.of.I), c.of.J, set(c.of.J))
	}
	return w.space.Clear(c.of.Which/w.parts[w.prover.m.Boxes[c.of.I].Kind], c.of.I, set(c.of.I))
}

// leaf keeps the multipliers that the node was refuted with. What several rows say of the
// same, with more and more decisions behind them, is one inequality for the certificate. Rows of
// weights have no place in it: the checker takes the least over poses of the whole sum, which is no
// less than what they make of it.
func (w *scribe) leaf(n *node) limb {
	w.leaves++
	var sum []weight
	at := map[weight]int{}
	for k, r := range n.rows {
		if w.prover.y[k] <= 0 || r.says == saysWeights {
			continue
		}
		q := w.weightOf(n, r)
		i, there := at[q]
		if !there {
			i = len(sum)
			at[q] = i
			sum = append(sum, q)
		}
		sum[i].times += w.prover.y[k]
	}
	return limb{sum: slices.Clip(sum)}
}

// weightOf names what a row says, with no times yet.
func (w *scribe) weightOf(n *node, r row) weight {
	q := weight{says: r.says, box: r.box, which: r.which}
	if r.says == saysWall {
		q.which = nearest(w.walls, n.boxes[r.box].walls[r.which].N)
	}
	return q
}

// joined makes a node of the branches, in the order of the certificate. Branches of the certificate
// are by its directions: two of the search's that are parallel are one there.
func (w *scribe) joined(n *node, b branching, below []limb, depth int) (limb, error) {
	first := b.children[0].decision
	tree := limb{depth: depth}
	if first.turn {
		turn := &certificate.Turn{Box: first.box}
		for _, c := range b.children {
			turn.Sets = append(turn.Sets, w.posesIn(first.box, c.decision.set))
		}
		tree.node.Turn, tree.below = turn, below
		return tree, nil
	}
	c := first.choice
	tree.node = w.named(c)
	left := func(i int) certificate.PoseSet { return w.namedIn(n.boxes[i].kind, n.boxes[i].set) }
	for _, u := range w.directions(c, left) {
		k, ok := childAlong(b.children, u)
		if !ok {
			return limb{}, errors.New("the search and the certificate do not agree on the directions of a relation; please report this with both files")
		}
		tree.below, tree.longs = append(tree.below, below[k]), append(tree.longs, u.Norm())
	}
	return tree, nil
}

// childAlong is the branch with a direction. Of several, such as a side of a tilted box and
// a face of a solid that are parallel but for rounding, it is the one that asks for least. Asking
// for least is safe: the branch holds for whatever asks for more.
func childAlong(all []child, u r3.Vector) (best int, ok bool) {
	for k, c := range all {
		c := c.decision.choice
		if parallel(c.n, u) && (!ok || c.least < all[best].decision.choice.least) {
			best, ok = k, true
		}
	}
	return best, ok
}

// named names the relation of a choice. Numbers of solids are those of the frame's obstacles that
// are no walls, times the parts of the kind.
func (w *scribe) named(c choice) certificate.Node {
	of, mine := c.of, w.parts[w.prover.m.Boxes[c.of.I].Kind]
	if of.Sort != model.OfBoxes {
		return certificate.Node{Clear: []int{of.I, of.Which % mine, of.Which / mine}}
	}
	// The clauses of two boxes are by the parts of j and, for each, those of i.
	return certificate.Node{Apart: []int{of.I, of.Which % mine, of.J, of.Which / mine}}
}

// posesIn lists the certificate's poses of a set. In increasing order, as the file wants them.
func (w *scribe) posesIn(box int, set poseSet) []int {
	named := w.namedIn(w.prover.m.Boxes[box].Kind, set)
	var list []int
	for k := range 64 * len(named) {
		if named.Has(k) {
			list = append(list, k)
		}
	}
	return list
}
