package proof

import (
	"cmp"
	"maps"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack/certificate"
	"rackwright/pack/search/internal/depths"
)

// lemma is what a nogood says to a reader of a written proof: no layout has all the facts.
// It is written as a lemma where another branch cites it, and else where it was found. Facts are in
// the order of the path. Choices in its tree are named by the depth at which they were taken, until
// numbered puts them into the certificate's words.
type lemma struct {
	facts  []decision
	depths []int // on the path on which it was found; its proof names choices by these
	tree   limb
	number int // in the order in which they are found
}

// learn keeps what a branch rests on as a nogood, with the branch as its proof. It returns
// the branch. Where a choice has no name of its own the branch is kept and nothing learnt: a lemma
// has to be able to say what it assumes.
func (w *scribe) learn(tree limb, used depths.Set) limb {
	var l lemma
	for depth, d := range w.prover.path {
		if !used.Has(depth) {
			continue
		}
		if !d.turn {
			if _, ok := w.wayOf(d.choice); !ok {
				return tree
			}
		}
		l.facts, l.depths = append(l.facts, d), append(l.depths, depth)
	}
	g := w.prover.learnt.learn(used, w.prover.path, nil)
	if g == nil {
		return tree
	}
	w.found++
	l.tree, l.number, g.lemma = tree, w.found, &l
	tree.lemma = &l
	return tree
}

// wayName is the number of a direction of a relation, of all that there are with all poses,
// and how long it is. long is 0 where there is no one name.
type wayName struct {
	way  int
	long float64
}

// wayOf names the direction of a choice. It is not ok where there are several, which are
// parallel but for rounding: a branch is then written down once for each. It is looked up with all
// poses that are allowed, for a lemma is cited from where other sets are left.
func (w *scribe) wayOf(c choice) (name wayName, ok bool) {
	key := factOf(decision{choice: c})
	if name, there := w.ways[key]; there {
		return name, name.long > 0
	}
	set := func(i int) certificate.PoseSet {
		kind := w.prover.m.Boxes[i].Kind
		return w.namedIn(kind, w.prover.allowed[kind])
	}
	for k, u := range w.directions(c, set) {
		if !parallel(c.n, u) {
			continue
		}
		if ok {
			name, ok = wayName{}, false
			break
		}
		name, ok = wayName{k, u.Norm()}, true
	}
	w.ways[key] = name
	return name, ok
}

// parallel tells whether a direction of the certificate is that of a plane. 1e-9 is far above the
// rounding of unit vectors, and far below the angle between two true directions.
func parallel(n, u r3.Vector) bool { return n.Dot(u) > (1-1e-9)*u.Norm() }

// author writes down a tree and its lemmas. It works on the whole tree, when it is known which
// lemmas are cited at all.
type author struct {
	w     *scribe
	cited map[*lemma]int // with its number
}

// publish writes down a tree, and the lemmas that it cites in the order in which they were
// found: so each comes after those that it rests on. A lemma that no one cites is written where it
// was found, as part of the tree.
func (w *scribe) publish(p *certificate.Proof, tree limb) {
	a := author{w, map[*lemma]int{}}
	a.gather(tree)
	all := slices.SortedFunc(maps.Keys(a.cited), func(l, o *lemma) int { return cmp.Compare(l.number, o.number) })
	for k, l := range all {
		a.cited[l] = k
	}
	for _, l := range all {
		p.Lemmas = append(p.Lemmas, a.lemma(l))
	}
	root := a.numbered(tree, map[int]choiceName{})
	p.Tree = &root
}

// gather gathers the lemmas that are cited in a tree and in their own proofs. The order in which
// they are met does not matter; numbers decide.
func (a *author) gather(l limb) {
	if l.cites() {
		if _, there := a.cited[l.lemma]; !there {
			a.cited[l.lemma] = 0
			a.gather(l.lemma.tree)
		}
	}
	for _, b := range l.below {
		a.gather(b)
	}
}

// cites tells whether a limb is only the name of a lemma.
func (l limb) cites() bool { return l.lemma != nil && l.below == nil }

// lemma is a nogood in the certificate's words: sets of poses, choices, and the tree that refutes
// them together. Its choices come first and are numbered from 0.
func (a *author) lemma(l *lemma) certificate.Lemma {
	var q certificate.Lemma
	choices := map[int]choiceName{}
	for k, d := range l.facts {
		if d.turn {
			q.Turns = append(q.Turns, certificate.Poses{Box: d.box, Poses: a.w.posesIn(d.box, d.set)})
			continue
		}
		name, _ := a.w.wayOf(d.choice)
		of := a.w.named(d.choice)
		choices[l.depths[k]] = choiceName{len(q.Choices), name.long}
		q.Choices = append(q.Choices, certificate.Choice{Apart: of.Apart, Clear: of.Clear, Way: name.way})
	}
	q.Tree = a.numbered(l.tree, choices)
	return q
}

// choiceName is the number of a choice, and how long its direction is in the certificate.
type choiceName struct {
	number int
	long   float64
}

// numbered is a tree with its choices, by depth, named by how many come before them on the
// way from the root. A branch may be there for several directions. The map is changed on the way
// down and changed back on the way up.
func (a *author) numbered(l limb, choices map[int]choiceName) certificate.Node {
	if k, there := a.cited[l.lemma]; there {
		return certificate.Node{Lemma: &k}
	}
	n := l.node
	n.Sum = slices.Grow(n.Sum, len(l.sum))
	for _, q := range l.sum {
		n.Sum = append(n.Sum, a.term(q, choices))
	}
	number := len(choices)
	for i, b := range l.below {
		if l.longs != nil {
			choices[l.depth] = choiceName{number, l.longs[i]}
		}
		n.Then = append(n.Then, a.numbered(b, choices))
	}
	if l.longs != nil {
		delete(choices, l.depth)
	}
	return n
}

// term is an inequality of a sum, with the length of the certificate's own direction. Rows here
// have directions of length 1, the certificate's are as long as whole numbers make them.
func (a *author) term(q weight, choices map[int]choiceName) certificate.Term {
	switch q.says {
	case saysWall:
		return certificate.Term{Wall: []int{q.box, q.which}, Times: q.times / a.w.walls[q.which].Norm()}
	case saysOrder:
		return certificate.Term{Order: &q.box, Times: q.times}
	}
	c := choices[q.which]
	return certificate.Term{Choice: &c.number, Times: q.times / c.long}
}
