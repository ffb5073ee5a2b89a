package proof

import (
	"math/bits"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack/search/internal/depths"
	"rackwright/pack/search/model"
)

// A refutation rests on a few decisions. Wherever the same decisions come together
// again, in whatever order, they are refuted at once: a learnt nogood (Stallman & Sussman,
// Artificial Intelligence 9 (1977); Dechter, Artificial Intelligence 41 (1990)). That holds
// as long as the cutoff does not fall, and because a decision asks for the same or more
// wherever it is taken with the others that its row rested on.

// fact is a decision without what depends on when it was taken.
//
// It is comparable, so that maps can number it. Two decisions are one fact where they say the same
// of the same boxes, at whatever depth and with whatever set of poses the others have.
type fact struct {
	of    model.Relation
	n     r3.Vector
	k     float64
	fixed float64 // what a plane of a finer body asks for, which tells it from later ones
	lift  [mostLegs - 1]float64
	turns int8
	turn  bool
	box   int
	set   poseSet
	pass  pass
}

// factOf forgets the depth, and what a plane asked for when it was chosen: that grows with narrower
// sets, and a nogood stays true of what asks for more. Only of a finer body what it asks for is
// part of what it is.
func factOf(d decision) fact {
	switch {
	case d.turn:
		return fact{turn: true, box: d.box, set: d.set}
	case d.pass.sort != noPass:
		return fact{box: d.box, pass: d.pass}
	}
	c := d.choice
	f := fact{of: c.of, n: c.n, k: c.k, lift: c.lift, turns: c.turns}
	if c.fixed {
		f.fixed = c.least
	}
	return f
}

// nogood is facts that cannot all be, by their numbers.
type nogood struct {
	facts []int
	lemma *lemma // that proves it, for a scribe; nil where a program does
}

// memory keeps the nogoods of one prover, by the facts in them.
//
// It is of one prover and one cutoff or a greater one. Numbers are small and dense, so the path is
// an array and not a set.
type memory struct {
	numbers map[fact]int
	with    [][]*nogood // by fact
	depths  []int       // by fact: where it is on the path, −1 when it is not
	kept    int
	fresh   [][]fact // what others are to be told
}

// newMemory knows nothing.
func newMemory() *memory { return &memory{numbers: map[fact]int{}} }

// number names a fact. Facts are never forgotten: their number bounds the memory, and mostNogoods
// that.
func (m *memory) number(f fact) int {
	n, ok := m.numbers[f]
	if !ok {
		n = len(m.with)
		m.numbers[f] = n
		m.with = append(m.with, nil)
		m.depths = append(m.depths, -1)
	}
	return n
}

// enter and leave keep track of the path. A decision taken twice on a path keeps its first depth,
// on which the refutation may rest as well.
func (m *memory) enter(d decision, depth int) {
	if n := m.number(factOf(d)); m.depths[n] < 0 {
		m.depths[n] = depth
	}
}

// leave has to be called for each enter, in the opposite order.
func (m *memory) leave(d decision, depth int) {
	if n := m.number(factOf(d)); m.depths[n] == depth {
		m.depths[n] = -1
	}
}

// refuted tells whether a decision at a depth completes a nogood on the path, and what
// that rests on; by is nil where it does not. It goes through the nogoods that the decision is in,
// all others of which have to be on the path. The first that is complete is as good as any.
func (m *memory) refuted(d decision, depth int) (used depths.Set, by *nogood) {
	n, known := m.numbers[factOf(d)]
	if !known {
		return depths.Set{}, nil
	}
next:
	for _, g := range m.with[n] {
		used := depths.Of(depth)
		// All others have to be on the path by now.
		for _, o := range g.facts {
			if o == n {
				continue
			}
			if m.depths[o] < 0 {
				continue next
			}
			used = used.Or(depths.Of(m.depths[o]))
		}
		return used, g
	}
	return depths.Set{}, nil
}

// learn keeps what a refutation of the path, and of a decision below it, rests on. It
// returns nil where that is not worth it.
//
// Small ones are worth more: they come together more often, and looking them up costs less. What
// rests on every decision (Inverted) has too many and is not kept.
func (m *memory) learn(used depths.Set, path []decision, last *decision) *nogood {
	size := 0
	for _, w := range used {
		size += bits.OnesCount64(w)
	}
	if size == 0 || size > mostFacts || m.kept >= mostNogoods {
		return nil
	}
	var facts []fact
	for depth := range path {
		if used.Has(depth) {
			facts = append(facts, factOf(path[depth]))
		}
	}
	if last != nil && used.Has(len(path)) {
		facts = append(facts, factOf(*last))
	}
	// Decisions of before the task began, which are not on its path.
	if len(facts) != size {
		return nil // it rests on more than is on the path
	}
	if size <= mostShared {
		m.fresh = append(m.fresh, facts)
	}
	return m.keep(facts)
}

// share tells every memory what the others have learnt of few facts. A nogood holds for all
// layouts with more spare than the cutoff, whoever refuted it. It is called between rounds, when no
// prover works, and in the order of the provers; so what each knows does not depend on who was
// quicker.
func share(all []*memory) {
	for _, from := range all {
		for _, facts := range from.fresh {
			for _, to := range all {
				if to != from && to.kept < mostNogoods && !to.knows(facts) {
					to.keep(facts)
				}
			}
		}
	}
	for _, m := range all {
		m.fresh = nil
	}
}

// knows tells whether a nogood of just these facts is kept. Lists of one length with the same
// members in any order are the same nogood.
func (m *memory) knows(facts []fact) bool {
	same := func(g *nogood) bool {
		return len(g.facts) == len(facts) && !slices.ContainsFunc(facts, func(f fact) bool { return !slices.Contains(g.facts, m.number(f)) })
	}
	return slices.ContainsFunc(m.with[m.number(facts[0])], same)
}

// keep puts a nogood beside each of its facts. Lists are short beside the program that a look at
// them may save.
func (m *memory) keep(facts []fact) *nogood {
	g := &nogood{}
	for _, f := range facts {
		g.facts = append(g.facts, m.number(f))
	}
	m.kept++
	for _, n := range g.facts {
		m.with[n] = append(m.with[n], g)
	}
	return g
}
