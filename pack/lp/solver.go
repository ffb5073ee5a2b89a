// Package lp solves linear programs by the dual simplex method: small and dense ones, again and
// again with a row more or less.
package lp

import (
	"math"
	"slices"
)

// Row is one inequality: the sum of Coef[k]·x[Index[k]] is at most Bound.
type Row struct {
	Index []int
	Coef  []float64
	Bound float64
}

// Status tells how a Solve ended.
type Status int

const (
	Optimal    Status = iota
	Infeasible        // Multipliers prove it
	Cutoff            // the greatest value is at most the cutoff
	Stalled           // iteration limit or numerical trouble: nothing is known
)

const (
	feasible = 1e-9  // by how much a bound may be passed
	loose    = 3e-8  // the same, solved loosely
	pivotMin = 1e-9  // entries below are taken for 0
	drift    = 1e-7  // of a slack from its row, beyond which the dictionary is rebuilt
	bland    = 60    // steps without progress before Bland's rule
	limit    = 20000 // steps
	asks     = 16    // steps between two questions whether to halt
)

// Solver holds a program: maximise objective·x with lo ≤ x ≤ hi, all finite, and rows.
type Solver struct {
	// Halt is asked every so many steps, with how many numbers they have worked out,
	// whether to end as Stalled; nil for never.
	Halt func(work int) bool
	// Work counts the numbers that were worked out.
	Work int

	d         int
	objective []float64
	lo, hi    []float64
	rows      []Row

	// Dictionary: every entity (variable i < d, slack of row r at d + r) is nonbasic, at
	// a bound, or basic and an affine function of the displacements of the nonbasic.
	col     []int // nonbasic entity by column
	upper   []bool
	cost    []float64 // objective by column
	basis   []int     // basic entity by dictionary row
	beta    []float64
	t       []float64 // dictionary rows × d
	where   []int     // by entity: dictionary row, or ^column
	value   float64
	ray     int // dictionary row that proves infeasibility, or -1
	rayHigh bool
	halted  bool    // Halt ended the last run
	passes  float64 // by how much a bound may be passed; feasible unless solved loosely
}

// New returns a solver without rows.
func New(objective, lo, hi []float64) *Solver {
	s := &Solver{}
	s.Begin(objective, lo, hi)
	return s
}

// Begin makes s a solver without rows, as New does.
func (s *Solver) Begin(objective, lo, hi []float64) {
	s.d, s.ray, s.passes = len(objective), -1, feasible
	s.objective, s.lo, s.hi = slices.Clone(objective), slices.Clone(lo), slices.Clone(hi)
	s.rows = s.rows[:0]
	s.reset()
}

func (s *Solver) reset() {
	s.col, s.upper, s.cost, s.where = s.col[:0], s.upper[:0], s.cost[:0], s.where[:0]
	s.basis, s.beta, s.t, s.value = s.basis[:0], s.beta[:0], s.t[:0], 0
	for i, c := range s.objective {
		s.col = append(s.col, i)
		s.upper = append(s.upper, c > 0)
		s.cost = append(s.cost, c)
		s.where = append(s.where, ^i)
		s.value += c * s.rest(i, c > 0)
	}
}

func (s *Solver) rest(e int, upper bool) float64 {
	switch {
	case e >= s.d:
		return 0
	case upper:
		return s.hi[e]
	}
	return s.lo[e]
}

// Push adds a row and returns its number.
func (s *Solver) Push(r Row) int {
	s.rows = append(s.rows, r)
	s.enter(len(s.rows) - 1)
	return len(s.rows) - 1
}

// Drop makes row r one that always holds: its bound becomes the most that the bounds of the
// variables allow. The row keeps its number, and the solver its dictionary to go on from.
// Bounds that are a million times as far apart as what counts cost as many digits.
func (s *Solver) Drop(r int) {
	most := 0.0
	for k, i := range s.rows[r].Index {
		most += max(s.rows[r].Coef[k]*s.lo[i], s.rows[r].Coef[k]*s.hi[i])
	}
	more := most - s.rows[r].Bound
	if more <= 0 {
		return
	}
	s.rows[r].Bound = most
	w := s.where[s.d+r]
	if w >= 0 {
		s.beta[w] += more
		return
	}
	s.Work += len(s.basis)
	for q := range s.basis {
		s.beta[q] -= more * s.t[q*s.d+^w]
	}
	s.value -= more * s.cost[^w]
}

// Rows returns the rows in the order in which they were pushed. They are not to be changed.
func (s *Solver) Rows() []Row { return s.rows }

func (s *Solver) enter(r int) {
	n := len(s.basis)
	s.t = slices.Grow(s.t, s.d)[:(n+1)*s.d]
	line := s.t[n*s.d:]
	clear(line)
	s.Work += s.d
	beta := s.rows[r].Bound
	for k, i := range s.rows[r].Index {
		a := s.rows[r].Coef[k]
		if w := s.where[i]; w < 0 {
			line[^w] -= a
			beta -= a * s.rest(i, s.upper[^w])
		} else {
			beta -= a * s.beta[w]
			for j, v := range s.t[w*s.d : (w+1)*s.d] {
				line[j] -= a * v
			}
		}
	}
	s.basis, s.beta = append(s.basis, s.d+r), append(s.beta, beta)
	s.where = append(s.where, n)
}

func (s *Solver) bounds(e int) (lo, hi float64) {
	if e >= s.d {
		return 0, math.Inf(1)
	}
	return s.lo[e], s.hi[e]
}

// Solve runs the dual simplex method. Where rounding has spoilt the dictionary it is made anew, first
// from the slacks that are nonbasic now, then from nothing.
func (s *Solver) Solve(cutoff float64) Status {
	for _, mend := range []func(){s.rebuild, s.restart, func() {}} {
		status := s.run(cutoff)
		if s.halted || status != Stalled && !s.drifted() {
			return status
		}
		mend()
	}
	return Stalled
}

// SolveLoosely solves a program anew of which a Solve ended with what SafeBound cannot prove. Rounding
// has spoilt its multipliers then, or it only just cannot hold: from then on, in copies too, bounds may
// be passed by a little more, which is little beside what counts, so that it holds.
func (s *Solver) SolveLoosely(cutoff float64) Status {
	s.passes = loose
	s.restart()
	return s.Solve(cutoff)
}

func (s *Solver) run(cutoff float64) Status {
	s.ray, s.halted = -1, false
	still := 0
	for step := range limit {
		if step%asks == asks-1 && s.Halt != nil && s.Halt(asks*len(s.t)) {
			s.halted = true
			return Stalled
		}
		if s.value <= cutoff {
			return Cutoff
		}
		p, up := s.leaving(still > bland)
		if p < 0 {
			return Optimal
		}
		j := s.entering(p, up, still > bland)
		if j < 0 {
			s.ray, s.rayHigh = p, !up
			return Infeasible
		}
		before := s.value
		s.pivot(p, j, up)
		if s.value < before-1e-12 {
			still = 0
		} else {
			still++
		}
	}
	return Stalled
}

// leaving picks a basic entity outside its bounds; up tells that it is too low.
func (s *Solver) leaving(first bool) (row int, up bool) {
	row, worst := -1, s.passes
	for p, e := range s.basis {
		lack, low := -s.beta[p], true
		if e < s.d {
			lack = s.lo[e] - s.beta[p]
			if over := s.beta[p] - s.hi[e]; over > lack {
				lack, low = over, false
			}
		}
		if lack <= worst {
			continue
		}
		if first {
			if row < 0 || e < s.basis[row] {
				row, up = p, low
			}
			continue
		}
		row, up, worst = p, low, lack
	}
	return row, up
}

// entering picks the column that keeps all costs on their right side, but for less than
// Tiny: of the columns which that leaves, the one with the largest entry, for small ones
// spoil the dictionary (Harris, Mathematical Programming 5 (1973)).
func (s *Solver) entering(p int, up, first bool) int {
	line := s.t[p*s.d : (p+1)*s.d]
	most := math.Inf(1)
	for j := range line {
		if v := s.gain(line, j, up); v > pivotMin {
			most = min(most, (math.Abs(s.cost[j])+Tiny)/v)
		}
	}
	best, size := -1, 0.0
	for j := range line {
		v := s.gain(line, j, up)
		if v <= pivotMin || math.Abs(s.cost[j]) > most*v {
			continue
		}
		better := v > size
		if first {
			better = best < 0 || s.col[j] < s.col[best]
		}
		if better {
			best, size = j, v
		}
	}
	return best
}

// gain is by how much the entity of a line goes the way it should when column j leaves its
// bound; not positive where it goes the other way.
func (s *Solver) gain(line []float64, j int, up bool) float64 {
	v := line[j]
	if up == s.upper[j] {
		v = -v
	}
	if v > 0 && s.fixed(s.col[j]) {
		return 0
	}
	return v
}

func (s *Solver) fixed(e int) bool { return e < s.d && s.lo[e] == s.hi[e] }

// pivot exchanges dictionary row p and column j; the entity of p goes to a bound.
func (s *Solver) pivot(p, j int, up bool) {
	d := s.d
	line := s.t[p*d : (p+1)*d]
	out, in := s.basis[p], s.col[j]
	lo, hi := s.bounds(out)
	target := lo
	if !up {
		target = hi
	}
	s.Work += len(s.t)
	a := line[j]
	step := (target - s.beta[p]) / a
	inValue := s.rest(in, s.upper[j]) + step
	inv := 1 / a
	for k := range line {
		line[k] *= -inv
	}
	line[j] = inv
	for q := range s.basis {
		if q == p {
			continue
		}
		other := s.t[q*d : (q+1)*d]
		f := other[j]
		if f == 0 {
			continue
		}
		other[j] = 0
		for k, v := range line {
			other[k] += f * v
		}
		s.beta[q] += f * step
	}
	f := s.cost[j]
	s.cost[j] = 0
	for k, v := range line {
		s.cost[k] += f * v
	}
	s.value += f * step
	s.beta[p] = inValue
	s.basis[p], s.col[j] = in, out
	s.upper[j] = !up
	s.where[in], s.where[out] = p, ^j
}

func (s *Solver) at(i int) float64 {
	if w := s.where[i]; w >= 0 {
		return s.beta[w]
	}
	return s.rest(i, s.upper[^s.where[i]])
}

// Value is the objective at the present dictionary.
func (s *Solver) Value() float64 { return s.value }

// X writes the variables to x, which may be longer.
func (s *Solver) X(x []float64) {
	for i := range s.d {
		x[i] = s.at(i)
	}
}

// more is how many more rows a copy has room for.
const more = 8

// CopyFrom makes s a copy of o.
func (s *Solver) CopyFrom(o *Solver) {
	s.Work += len(o.t) / 4 // a copy is so much cheaper than a step
	s.d, s.value, s.ray, s.rayHigh, s.passes = o.d, o.value, o.ray, o.rayHigh, o.passes
	s.objective, s.lo, s.hi = o.objective, o.lo, o.hi
	s.rows = append(s.rows[:0], o.rows...)
	s.col = append(s.col[:0], o.col...)
	s.upper = append(s.upper[:0], o.upper...)
	s.cost = append(s.cost[:0], o.cost...)
	s.basis = append(s.basis[:0], o.basis...)
	s.beta = append(s.beta[:0], o.beta...)
	s.t = append(slices.Grow(s.t[:0], len(o.t)+more*s.d), o.t...)
	s.where = append(s.where[:0], o.where...)
}
