package certificate

import (
	"fmt"
	"math"
	"math/big"
)

// sum checks that the terms add up to what cannot be. Each box is in one of its poses, so
// what is asked of it is the least, over its poses, of what all terms together ask of one:
// no less than the sum of the least that each of them asks. That is where the weights of a
// convex hull of the poses go (Balas, Annals of Discrete Mathematics 5 (1979)): the least
// over its corners.
func (at state) sum(terms []Term) error {
	if len(terms) > mostTerms {
		return fmt.Errorf("a sum of %d inequalities is more than are checked (%d)", len(terms), mostTerms)
	}
	var facts []fact
	for _, t := range terms {
		f, err := at.fact(t)
		if err != nil {
			return err
		}
		facts = append(facts, f)
	}
	t := tally{boxes: map[int]*load{}, apart: new(big.Int)}
	for i, times := range wholeTimes(terms) {
		t.add(at.Space, facts[i], times)
	}
	if !t.cannotBe(at) {
		return fmt.Errorf("a sum of %d inequalities after %d choices shows nothing", len(terms), len(at.chosen))
	}
	return nil
}

// wholeTimes are the numbers of times, all multiplied by the same power of 2 such that they
// are whole: the sum says the same.
func wholeTimes(terms []Term) []*big.Int {
	var all []*big.Int
	low := 0
	exponents := make([]int, len(terms))
	for i, t := range terms {
		part, exponent := math.Frexp(t.Times)
		all = append(all, big.NewInt(int64(math.Ldexp(part, 53))))
		exponents[i] = exponent
		low = min(low, exponent)
	}
	for i, n := range all {
		n.Lsh(n, uint(exponents[i]-low))
	}
	return all
}

// tally adds up inequalities.
type tally struct {
	apart *big.Int
	boxes map[int]*load
}

// load is what they say of one box.
type load struct {
	n    vec
	asks []*big.Int // by pose; nil for a pose that cannot be
}

func (t *tally) add(s *Space, f fact, times *big.Int) {
	t.apart.Add(t.apart, new(big.Int).Mul(times, f.apart))
	many := new(big.Rat).SetInt(times)
	t.of(s, f.a).add(f.n, many, f.asks, times)
	if f.b != none {
		t.of(s, f.b).add(f.n, many.Neg(many), f.with, times)
	}
}

// of is the load of a box.
func (t *tally) of(s *Space, box int) *load {
	l, there := t.boxes[box]
	if !there {
		l = &load{n: vec{new(big.Rat), new(big.Rat), new(big.Rat)}}
		for range s.kindOf(box).poses {
			l.asks = append(l.asks, new(big.Int))
		}
		t.boxes[box] = l
	}
	return l
}

// add adds n so many times, and what is asked of each pose.
func (l *load) add(n vec, many *big.Rat, asks ask, times *big.Int) {
	for k := range 3 {
		if n[k].Sign() != 0 {
			l.n[k].Add(l.n[k], mul(many, n[k]))
		}
	}
	var product big.Int
	for p, d := range asks {
		switch {
		case d == nil:
			l.asks[p] = nil
		case l.asks[p] != nil:
			l.asks[p].Add(l.asks[p], product.Mul(times, d))
		}
	}
}

// cannotBe tells whether no centres inside the bounds satisfy the sum, whatever poses of
// their sets the boxes have.
func (t *tally) cannotBe(at state) bool {
	total := new(big.Int).Set(t.apart)
	reach := new(big.Rat)
	for box, l := range t.boxes {
		low := ask(l.asks).least(at.sets[box])
		if low == nil {
			return true // no pose that is left can be
		}
		total.Add(total, low)
		for k := range 3 {
			if l.n[k].Sign() != 0 {
				reach.Add(reach, most(mul(l.n[k], at.low[k]), mul(l.n[k], at.high[k])))
			}
		}
	}
	return less(reach.Mul(reach, grainsInMM), new(big.Rat).SetInt(total))
}
