package lp

import (
	"math"
	"slices"
)

// drifted compares the basic slacks with their rows.
func (s *Solver) drifted() bool {
	for r := range s.rows {
		slack := s.rows[r].Bound
		for k, i := range s.rows[r].Index {
			slack -= s.rows[r].Coef[k] * s.at(i)
		}
		want := 0.0
		if w := s.where[s.d+r]; w >= 0 {
			want = s.beta[w]
		}
		if math.Abs(slack-want) > drift {
			return true
		}
	}
	return false
}

// rebuild makes the dictionary anew and pivots the present nonbasic slacks in again.
func (s *Solver) rebuild() {
	keep := slices.Clone(s.col)
	s.restart()
	for _, e := range keep {
		if e >= s.d {
			s.bring(e, keep)
		}
	}
	for j := range s.col {
		s.rightSide(j)
	}
}

// restart makes the dictionary anew with all slacks basic.
func (s *Solver) restart() {
	s.reset()
	for r := range s.rows {
		s.enter(r)
	}
}

// rightSide moves a nonbasic variable to the bound that its cost likes.
func (s *Solver) rightSide(j int) {
	e := s.col[j]
	if e >= s.d || s.cost[j] == 0 || s.upper[j] == (s.cost[j] > 0) {
		return
	}
	s.upper[j] = !s.upper[j]
	shift := s.rest(e, s.upper[j]) - s.rest(e, !s.upper[j])
	for q := range s.basis {
		s.beta[q] += s.t[q*s.d+j] * shift
	}
	s.value += s.cost[j] * shift
}

// bring pivots slack e into the columns, for the largest entry of one not kept.
func (s *Solver) bring(e int, keep []int) {
	p := s.where[e]
	best, size := -1, pivotMin
	for j, v := range s.t[p*s.d : (p+1)*s.d] {
		if math.Abs(v) > size && !slices.Contains(keep, s.col[j]) {
			best, size = j, math.Abs(v)
		}
	}
	if best >= 0 {
		s.pivot(p, best, true)
	}
}
