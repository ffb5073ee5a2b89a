package bound

import (
	"math"
	"slices"

	"rackwright/pack"
	"rackwright/pack/lp"
	"rackwright/pack/search/model"
)

// shares is what scales make of the lengths of boxes along each axis. A column is the
// boxes of a kind that lie one way; how many boxes take each is open.
type shares struct {
	counts []int          // by kind
	kind   []int          // by column
	of     [3][][]float64 // by axis, scale and column; infinite where a column cannot be taken
}

// sharesOf has the kinds and no columns yet.
func sharesOf(kinds []pack.Kind) shares {
	var s shares
	for _, k := range kinds {
		s.counts = append(s.counts, k.Count)
	}
	return s
}

// add adds what a scale gives for all columns; false where another one gives the same. Equal to the
// bit, as scales of equal lengths are.
func (s *shares) add(axis int, row []float64) bool {
	if slices.ContainsFunc(s.of[axis], func(o []float64) bool { return slices.Equal(o, row) }) {
		return false
	}
	s.of[axis] = append(s.of[axis], row)
	return true
}

// program has a variable for each column, how many boxes take it, and last the greatest
// scaled volume, which is to be small; a row for each kind. It is not ok where a kind has
// no column that can be taken.
//
// Boxes of a kind take its columns in any mixture: their counts add up to that of the kind.
// Products of scales are rows that come in when they are broken, for there are far too many to
// write all.
func (s *shares) program() (*lp.Solver, bool) {
	n := len(s.kind)
	objective, lo, hi := make([]float64, n+1), make([]float64, n+1), make([]float64, n+1)
	objective[n], hi[n] = -1, 1e6
	room := make([]float64, len(s.counts))
	rows := make([]lp.Row, len(s.counts))
	for c, k := range s.kind {
		if !slices.ContainsFunc(s.of[:], func(f [][]float64) bool { return math.IsInf(f[0][c], 1) }) {
			hi[c] = float64(s.counts[k])
		}
		room[k] += hi[c]
		rows[k].Index, rows[k].Coef = append(rows[k].Index, c), append(rows[k].Coef, -1)
	}
	program := lp.New(objective, lo, hi)
	for k, r := range rows {
		if room[k] == 0 {
			return nil, false
		}
		r.Bound = -float64(s.counts[k])
		program.Push(r)
	}
	return program, true
}

// size is about the work of finding the inequality that is broken most.
func (s *shares) size() model.Effort {
	return model.Effort(len(s.of[0]) * len(s.of[1]) * len(s.of[2]) * len(s.kind))
}

// worst is the inequality that the counts x break most, the scales that it is made of,
// and by how much it exceeds the last entry of x. Trying all triples is the cost of the bound (see
// mostScaling). Columns that cannot be taken have an infinite share and a count of 0.
func (s *shares) worst(x []float64) (row lp.Row, by [3]int, excess float64) {
	n := len(s.kind)
	most := math.Inf(-1)
	for i, fx := range s.of[0] {
		for j, fy := range s.of[1] {
			for k, fz := range s.of[2] {
				sum := 0.0
				for c := range n {
					if x[c] > 0 {
						sum += x[c] * fx[c] * fy[c] * fz[c]
					}
				}
				if sum > most {
					most, by = sum, [3]int{i, j, k}
				}
			}
		}
	}
	row = lp.Row{Index: []int{n}, Coef: []float64{-1}}
	for c := range n {
		v := s.of[0][by[0]][c] * s.of[1][by[1]][c] * s.of[2][by[2]][c]
		if v > 0 && !math.IsInf(v, 1) {
			row.Index, row.Coef = append(row.Index, c), append(row.Coef, v)
		}
	}
	return row, by, most - x[n]
}
