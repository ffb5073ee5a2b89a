package search

import (
	"math"
	"slices"

	lp "rackwright/pack/search/simplex"
)

// Dual feasible functions replace the lengths along an axis by others, such that
// lengths that fit side by side still do. Replaced on all three axes, what fits still
// has no more volume than the opening: one inequality for each choice of functions
// (Fekete & Schepers, Mathematical Methods of Operations Research 60 (2004)). How many
// boxes take which pose is a variable; if no mixture of poses keeps all inequalities,
// nothing fits.
//
// It is sound for upright walls only in that it looks at the bounding box of the
// opening, and applies where every pose is parallel to the axes.

// scale maps a length to at least its share, and the whole length to 1 or more.
type scale func(length, whole float64) float64

func plainScale(x, whole float64) float64 { return x / whole }

// stepScale counts whole steps (Carlier, Clautiaux & Moukrim, Computers & Operations
// Research 34 (2007)): what exceeds half takes what the rest cannot use.
func stepScale(step float64) scale {
	return func(x, whole float64) float64 {
		steps := func(l float64) float64 { return math.Floor(l/step*(1+1e-12) + 1e-12) }
		all := steps(whole)
		switch {
		case all == 0:
			return 0
		case x > whole/2*(1+1e-12):
			return 1 - steps(whole-x)/all
		case x < whole/2*(1-1e-12):
			return steps(x) / all
		}
		return 0.5
	}
}

// pointScale counts how many of n evenly spaced points the length must hit.
func pointScale(n float64) scale {
	return func(x, whole float64) float64 {
		return max(0, math.Ceil((n+1)*x/whole*(1-1e-12)-1e-12)-1) / n
	}
}

// cutScale drops lengths below cut and rounds those above whole − cut up. It asks for
// a cut of at most half the whole, and changes nothing otherwise.
func cutScale(cut float64) scale {
	return func(x, whole float64) float64 {
		switch {
		case cut > whole/2:
			return x / whole
		case x > (whole-cut)*(1+1e-12):
			return 1
		case x < cut*(1-1e-12):
			return 0
		}
		return x / whole
	}
}

// scaled is the problem at a spare: lengths that lie side by side without a gap.
type scaled struct {
	whole   [3]float64
	columns []column
	shares  [3][][]float64 // by axis, function, column
}

// column is the boxes of a kind that take one shape.
type column struct {
	kind   int
	length [3]float64
}

// scaleBound is a spare that no layout exceeds, by dual feasible functions.
func (m *model) scaleBound(limit float64) float64 {
	if !m.upright() || math.IsInf(limit, 1) {
		return math.Inf(1)
	}
	if limit > 0 && m.scalesAllow(0) {
		return m.scaleSearch(0, limit)
	}
	return m.scaleSearch(-m.size, min(limit, 0))
}

// scaleSearch narrows the least refuted spare between lo, not refuted, and hi.
func (m *model) scaleSearch(lo, hi float64) float64 {
	if m.scalesAllow(hi) {
		return math.Inf(1)
	}
	for range 40 {
		mid := (lo + hi) / 2
		if m.scalesAllow(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi + scaleSlack
}

// scaleSlack covers the rounding of lengths by one part in 10¹² in the steps and
// points of the scales, for lengths of up to 16 m, with room to spare.
const scaleSlack = 1e-7

// upright tells whether every pose is parallel to the vehicle's axes.
func (m *model) upright() bool {
	for _, ps := range m.poses {
		for _, p := range ps {
			if p.tilt != 0 {
				return false
			}
		}
	}
	return true
}

// scalesAllow tells whether the inequalities leave a mixture of poses at a spare.
func (m *model) scalesAllow(spare float64) bool {
	s, ok := m.scaledAt(spare)
	if !ok {
		return true
	}
	return s.mixture(m)
}

// scaledAt grows every length by the gap that belongs to its axis and the spare, and
// the whole by one such gap less the gaps to the walls. It is not ok where lengths
// vanish, and the argument with them.
func (m *model) scaledAt(spare float64) (scaled, bool) {
	g := m.problem.Pack.Gaps
	var s scaled
	grow := [3]float64{g.Beside + spare, g.Beside + spare, g.Above + spare}
	for axis, in := range m.room {
		s.whole[axis] = in.Length() - 2*(g.Wall+spare) + grow[axis]
	}
	for k, ps := range m.poses {
		shape := -1
		for _, p := range ps {
			if p.shape <= shape {
				continue
			}
			shape = p.shape
			c := column{kind: k}
			for axis := range 3 {
				c.length[axis] = 2*component(p.parts[0].half, axis) + grow[axis]
				if c.length[axis] <= 0 {
					return s, false
				}
			}
			s.columns = append(s.columns, c)
		}
	}
	s.applyScales()
	return s, true
}

// applyScales evaluates all functions of every axis on all columns, each result once.
// A length beyond the whole gets a share beyond 1, so its pose cannot be taken.
func (s *scaled) applyScales() {
	for axis, whole := range s.whole {
		for _, f := range s.scalesFor(axis) {
			var shares []float64
			for _, c := range s.columns {
				share := f(c.length[axis], whole)
				if c.length[axis] > whole*(1+1e-12) {
					share = math.Inf(1)
				}
				shares = append(shares, share)
			}
			if !slices.ContainsFunc(s.shares[axis], func(o []float64) bool { return slices.Equal(o, shares) }) {
				s.shares[axis] = append(s.shares[axis], shares)
			}
		}
	}
}

func (s *scaled) scalesFor(axis int) []scale {
	all := []scale{plainScale, pointScale(1), pointScale(2), pointScale(3), pointScale(4)}
	for _, c := range s.columns {
		all = append(all, stepScale(c.length[axis]), cutScale(c.length[axis]))
	}
	return all
}

// mixture tells whether some mixture of poses keeps all inequalities. Inequalities
// enter the program as they are broken.
func (s *scaled) mixture(m *model) bool {
	program, ok := s.program(m)
	if !ok {
		return false // a kind has no pose that is short enough
	}
	x := make([]float64, len(s.columns)+1)
	multipliers := make([]float64, 300)
	for range 200 {
		if program.Solve(math.Inf(-1)) != lp.Optimal {
			return true
		}
		if -program.SafeBound(multipliers) > 1+1e-9 {
			return false
		}
		program.X(x)
		row, excess := s.worst(x)
		if excess <= 1e-9 {
			return true
		}
		program.Push(row)
	}
	return true
}

// program has a variable for each column, how many boxes take it, and last the
// greatest sum of shares, which is to be small.
func (s *scaled) program(m *model) (*lp.Solver, bool) {
	n := len(s.columns)
	objective, lo, hi := make([]float64, n+1), make([]float64, n+1), make([]float64, n+1)
	objective[n], hi[n] = -1, 1e6
	for c, col := range s.columns {
		hi[c] = float64(m.kinds[col.kind].Count)
		if slices.ContainsFunc(s.shares[:], func(f [][]float64) bool { return math.IsInf(f[0][c], 1) }) {
			hi[c] = 0
		}
	}
	program := lp.New(objective, lo, hi)
	for k, kind := range m.kinds {
		all := lp.Row{Bound: -float64(kind.Count)}
		room := 0.0
		for c, col := range s.columns {
			if col.kind == k {
				all.Index, all.Coef = append(all.Index, c), append(all.Coef, -1)
				room += hi[c]
			}
		}
		if room == 0 {
			return nil, false
		}
		program.Push(all)
	}
	return program, true
}

// worst is the inequality that a mixture x breaks most, and by how much it exceeds
// the mixture's last entry.
func (s *scaled) worst(x []float64) (lp.Row, float64) {
	n := len(s.columns)
	var best [3]int
	most := math.Inf(-1)
	for i, fx := range s.shares[0] {
		for j, fy := range s.shares[1] {
			for k, fz := range s.shares[2] {
				sum := 0.0
				for c := range n {
					if x[c] > 0 {
						sum += x[c] * fx[c] * fy[c] * fz[c]
					}
				}
				if sum > most {
					most, best = sum, [3]int{i, j, k}
				}
			}
		}
	}
	row := lp.Row{Index: []int{n}, Coef: []float64{-1}}
	for c := range n {
		v := s.shares[0][best[0]][c] * s.shares[1][best[1]][c] * s.shares[2][best[2]][c]
		if v > 0 && !math.IsInf(v, 1) {
			row.Index, row.Coef = append(row.Index, c), append(row.Coef, v)
		}
	}
	return row, most - x[n]
}
