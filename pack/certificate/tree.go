package certificate

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"slices"

	"rackwright/pack"
)

// ErrRefused is wrapped by the errors of Verify for a proof that does not hold.
var ErrRefused = errors.New("the proof does not hold")

// Verify checks a proof of a problem: nil means that it holds. The error wraps
// ErrRefused, or ErrUnsupported for a problem that no proof can speak of.
func Verify(problem pack.Problem, p Proof) error {
	return verify(problem, p, func(*Node) {})
}

// verify calls passed with every branch that is not looked at.
func verify(problem pack.Problem, p Proof, passed func(*Node)) error {
	s, err := NewSpace(problem)
	if err != nil {
		return err
	}
	if p.FrameHash != problem.Frame.Hash || p.PackHash != problem.Pack.Hash {
		return fmt.Errorf("%w: it was made for other files, or the files have changed since", ErrRefused)
	}
	if err := s.verify(p, passed); err != nil {
		return fmt.Errorf("%w: %w", ErrRefused, err)
	}
	return nil
}

func (s *Space) verify(p Proof, passed func(*Node)) error {
	switch {
	case !one(p.Volume, p.Points != nil, len(p.Scales) > 0, p.Cells != nil, p.Tree != nil):
		return errors.New("it has to be one of volume, points, scales, cells and tree")
	case p.Volume:
		return s.volume()
	case p.Points != nil:
		return s.points(*p.Points)
	case len(p.Scales) > 0:
		return s.scales(p.Scales)
	case p.Cells != nil:
		return s.cells(*p.Cells)
	case p.Order < 0 || p.Order > 2:
		return fmt.Errorf("order %d is no axis", p.Order)
	}
	for _, b := range p.Bodies {
		if err := s.addBody(b); err != nil {
			return err
		}
	}
	at := state{Space: s, order: p.Order, passed: passed, facts: s.noFacts()}
	if len(p.Lemmas)*len(s.boxes) > mostFacts {
		return fmt.Errorf("%d lemmas are more than are checked with %d boxes", len(p.Lemmas), len(s.boxes))
	}
	for k := range p.Lemmas {
		below := at
		var err error
		if below.facts, err = s.factsOf(&p.Lemmas[k]); err == nil {
			err = below.node(&p.Lemmas[k].Tree)
		}
		if err != nil {
			return fmt.Errorf("lemma %d: %w", k, err)
		}
		at.lemmas = append(at.lemmas, below.facts)
	}
	return at.node(p.Tree)
}

// one tells whether exactly one of the values is true.
func one(values ...bool) bool {
	n := 0
	for _, v := range values {
		if v {
			n++
		}
	}
	return n == 1
}

// state is what is known at a node of a tree.
type state struct {
	*Space
	facts
	order  int
	lemmas []facts     // that no layout has
	passed func(*Node) // told of branches that are not looked at
}

// facts are what holds at a node.
type facts struct {
	sets   []PoseSet // of each box
	chosen []choice  // on the way here
}

// choice is a way chosen for a relation.
type choice struct {
	relation
	way *way
}

// node checks that nothing fits below a node.
func (at state) node(n *Node) error {
	switch {
	case !one(n.Apart != nil, n.Clear != nil, n.Turn != nil, n.Lemma != nil, n.Sum != nil):
		return errors.New("a node has to be one of apart, clear, turn, lemma and sum")
	case n.Sum != nil:
		return at.sum(n.Sum)
	case n.Lemma != nil:
		return at.lemma(*n.Lemma)
	case n.Turn != nil:
		return at.turn(*n.Turn, n.Then)
	}
	r, err := at.relationOf(n.Apart, n.Clear)
	if err != nil {
		return err
	}
	return at.branch(r, n.Then)
}

// branch checks what follows, for each direction of a relation.
func (at state) branch(r relation, then []Node) error {
	setA, setB := at.setsOf(r)
	ways := at.waysApart(r, setA, setB)
	if len(at.chosen) > mostChosen {
		return fmt.Errorf("more than %d choices follow on each other", mostChosen)
	}
	if len(then) != len(ways) {
		return fmt.Errorf("%v may lie apart in %d directions, and there are branches for %d", r, len(ways), len(then))
	}
	for k := range then {
		below := at
		below.chosen = append(slices.Clip(at.chosen), choice{r, ways[k]})
		if err := below.node(&then[k]); err != nil {
			return err
		}
	}
	return nil
}

// setsOf are the poses that the boxes of a relation can still have.
func (f facts) setsOf(r relation) (a, b PoseSet) {
	if r.b.Box != none {
		b = f.sets[r.b.Box]
	}
	return f.sets[r.a.Box], b
}

// relationOf is the relation that is named by four numbers, of two parts, or by three, of a
// part and a solid.
func (s *Space) relationOf(apart, clear []int) (relation, error) {
	var r relation
	switch {
	case len(apart) == 4 && clear == nil:
		r = relation{a: Part{apart[0], apart[1]}, b: Part{apart[2], apart[3]}}
	case len(clear) == 3 && apart == nil:
		r = relation{a: Part{clear[0], clear[1]}, b: Part{Box: none}, solid: clear[2]}
	default:
		return r, errors.New("apart takes four numbers, and clear three")
	}
	return r, s.sound(r)
}

// sound tells whether there is such a relation.
func (s *Space) sound(r relation) error {
	known := func(p Part) bool {
		return p.Box >= 0 && p.Box < len(s.boxes) && p.Part >= 0 && p.Part < len(s.kindOf(p.Box).poses[0].parts)
	}
	switch {
	case !known(r.a):
		return fmt.Errorf("there is no part %v", r.a)
	case r.b.Box != none:
		if !known(r.b) || r.a.Box == r.b.Box {
			return fmt.Errorf("there is no part %v apart from %v", r.b, r.a)
		}
	case r.solid < 0 || r.solid >= len(s.solids):
		return fmt.Errorf("there is no solid %d", r.solid)
	case s.solids[r.solid].round != nil && (s.solids[r.solid].corners == nil || r.a.Part != 0):
		return fmt.Errorf("there is no body inside solid %d for part %d", r.solid, r.a.Part)
	}
	return nil
}

// turn checks a branch for each set of poses. Together they have to hold every pose that
// the box can still have.
func (at state) turn(t Turn, then []Node) error {
	if t.Box < 0 || t.Box >= len(at.boxes) || len(t.Sets) != len(then) {
		return fmt.Errorf("turn of box %d: there is no such box, or not one branch for each set", t.Box)
	}
	left := at.sets[t.Box]
	for k, list := range t.Sets {
		set, err := at.setOf(t.Box, list)
		if err != nil {
			return err
		}
		left = left.without(set)
		below := at
		below.sets = slices.Clone(at.sets)
		below.sets[t.Box] = below.sets[t.Box].and(set)
		if below.sets[t.Box].empty() || slices.ContainsFunc(at.chosen, below.cannotBe) {
			at.passed(&then[k]) // no such pose is left, so nothing fits
			continue
		}
		if err := below.node(&then[k]); err != nil {
			return err
		}
	}
	if !left.empty() {
		return fmt.Errorf("turn of box %d: poses are left out", t.Box)
	}
	return nil
}

// setOf is the set of the poses of a box with these numbers.
func (s *Space) setOf(box int, list []int) (PoseSet, error) {
	var set PoseSet
	for _, p := range list {
		if p < 0 || p >= len(s.kindOf(box).poses) {
			return set, fmt.Errorf("box %d has no pose %d", box, p)
		}
		set.Add(p)
	}
	return set, nil
}

// fact is the inequality of a term.
func (at state) fact(t Term) (fact, error) {
	if !(t.Times > 0) || math.IsInf(t.Times, 0) {
		return fact{}, fmt.Errorf("an inequality may not be taken %v times", t.Times)
	}
	switch {
	case !one(t.Wall != nil, t.Choice != nil, t.Order != nil):
	case len(t.Wall) == 2:
		if box, w := t.Wall[0], t.Wall[1]; box >= 0 && box < len(at.boxes) && w >= 0 && w < len(at.walls) {
			return at.inside(box, w), nil
		}
	case t.Choice != nil:
		if k := *t.Choice; k >= 0 && k < len(at.chosen) {
			return at.clear(at.chosen[k].relation, at.chosen[k].way), nil
		}
	case t.Order != nil:
		if box := *t.Order; box > 0 && box < len(at.boxes) && at.boxes[box] == at.boxes[box-1] {
			return fact{a: box, b: box - 1, n: along(at.order, 1), apart: new(big.Int)}, nil
		}
	}
	return fact{}, errors.New("there is no such inequality")
}

// cannotBe tells whether a choice is a way that no pose which is left has.
func (at state) cannotBe(c choice) bool {
	setA, setB := at.setsOf(c.relation)
	return !slices.Contains(at.waysApart(c.relation, setA, setB), c.way)
}
