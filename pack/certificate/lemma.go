package certificate

import (
	"fmt"
	"slices"
)

// noFacts is what is known to begin with: every box has one of all of its poses.
func (s *Space) noFacts() facts {
	var f facts
	for _, k := range s.boxes {
		f.sets = append(f.sets, s.kinds[k].all())
	}
	return f
}

// factsOf are the facts of a lemma.
func (s *Space) factsOf(l *Lemma) (facts, error) {
	f := s.noFacts()
	for _, t := range l.Turns {
		if t.Box < 0 || t.Box >= len(s.boxes) {
			return f, fmt.Errorf("there is no box %d", t.Box)
		}
		set, err := s.setOf(t.Box, t.Poses)
		if err != nil {
			return f, err
		}
		f.sets[t.Box] = f.sets[t.Box].and(set)
	}
	for _, c := range l.Choices {
		chosen, err := s.choiceOf(c)
		if err != nil {
			return f, err
		}
		f.chosen = append(f.chosen, chosen)
	}
	return f, nil
}

// choiceOf is a choice that is named with all poses of its boxes, for what a way is called
// must not depend on the sets of a lemma.
func (s *Space) choiceOf(c Choice) (choice, error) {
	r, err := s.relationOf(c.Apart, c.Clear)
	if err != nil {
		return choice{}, err
	}
	setA, setB := s.noFacts().setsOf(r)
	ways := s.waysApart(r, setA, setB)
	if c.Way < 0 || c.Way >= len(ways) {
		return choice{}, fmt.Errorf("%v may lie apart in %d directions, and not in direction %d", r, len(ways), c.Way)
	}
	return choice{r, ways[c.Way]}, nil
}

// lemma checks that all facts of a lemma hold, so that nothing fits. The facts speak of a
// layout and not of the tree: that two bodies lie apart along a way that its poses have, and
// that boxes have poses of some sets. What has a pose of a set has one of every larger set.
func (at state) lemma(k int) error {
	if k < 0 || k >= len(at.lemmas) {
		return fmt.Errorf("lemma %d is not proven before it is used", k)
	}
	l := at.lemmas[k]
	for box, set := range l.sets {
		if !at.sets[box].without(set).empty() {
			return fmt.Errorf("lemma %d does not speak of all poses that box %d can have", k, box)
		}
	}
	for _, c := range l.chosen {
		if !slices.Contains(at.chosen, c) {
			return fmt.Errorf("lemma %d rests on a direction of %v that was not chosen", k, c.relation)
		}
	}
	return nil
}
