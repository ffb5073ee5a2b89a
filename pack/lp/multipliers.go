package lp

import "math"

// Dual writes the multipliers of the rows to y: of the objective, or after Infeasible
// those that prove it. None is negative.
func (s *Solver) Dual(y []float64) {
	clear(y[:len(s.rows)])
	if s.ray < 0 {
		for j, e := range s.col {
			if e >= s.d {
				y[e-s.d] = max(0, -s.cost[j])
			}
		}
		return
	}
	sign := 1.0
	if s.rayHigh {
		sign = -1
	}
	if e := s.basis[s.ray]; e >= s.d {
		y[e-s.d] = 1
	}
	for j, e := range s.col {
		if e >= s.d {
			y[e-s.d] = max(0, -sign*s.t[s.ray*s.d+j])
		}
	}
}

// Tiny is the size below which a multiplier is taken for 0 in SafeBound.
const Tiny = 1e-11

// Probe gives the most that the objective of a solved program can be with one more row, as far as
// one step of the method tells, −Inf where the row cannot hold, and writes the multipliers of the
// rows that prove it to y, of the new one last. The solver has no more rows afterwards than before.
// (The penalties of Driebeek, Management Science 12 (1966), from memory.)
func (s *Solver) Probe(r Row, y []float64) float64 {
	s.Push(r)
	defer s.pop()
	p := len(s.basis) - 1
	s.Work += s.d
	if s.beta[p] >= -s.passes {
		s.Dual(y)
		return s.value
	}
	j := s.entering(p, true, false)
	if j < 0 {
		s.ray, s.rayHigh = p, false
		s.Dual(y)
		s.ray = -1
		return math.Inf(-1)
	}
	line := s.t[p*s.d : (p+1)*s.d]
	price := s.cost[j] / line[j]
	clear(y[:len(s.rows)])
	for k, e := range s.col {
		if e >= s.d && k != j {
			y[e-s.d] = max(0, price*line[k]-s.cost[k])
		}
	}
	y[len(s.rows)-1] = max(0, -price)
	return s.value - price*s.beta[p]
}

// pop takes the last row out again, which has to be basic.
func (s *Solver) pop() {
	last := len(s.basis) - 1
	s.rows, s.basis, s.beta, s.where = s.rows[:len(s.rows)-1], s.basis[:last], s.beta[:last], s.where[:len(s.where)-1]
	s.t = s.t[:last*s.d]
}

// SafeBound is an upper bound on the objective that holds whatever rounding has done:
// it is computed from the multipliers and the rows alone (Neumaier & Shcherbina,
// Mathematical Programming 99 (2004)). After Infeasible it is −Inf if the multipliers
// prove it. y is scratch and keeps the multipliers.
func (s *Solver) SafeBound(y []float64) float64 {
	s.Dual(y)
	rest := make([]float64, s.d)
	if s.ray < 0 {
		copy(rest, s.objective)
	}
	sum, size := 0.0, 0.0
	for r, v := range y[:len(s.rows)] {
		if v <= Tiny {
			y[r] = 0
			continue
		}
		sum += v * s.rows[r].Bound
		size += math.Abs(v * s.rows[r].Bound)
		for k, i := range s.rows[r].Index {
			rest[i] -= v * s.rows[r].Coef[k]
		}
	}
	for i, c := range rest {
		if math.Abs(c) < 1e-15 {
			continue
		}
		most := max(c*s.lo[i], c*s.hi[i])
		sum += most
		size += math.Abs(most)
	}
	sum += size * float64(len(s.rows)+s.d) * 0x1p-51
	if s.ray >= 0 {
		if sum < 0 {
			return math.Inf(-1)
		}
		return math.Inf(1)
	}
	return sum
}
