package search

import (
	"math"

	"rackwright/pack/lp"
)

// aloneBound is the greatest spare that the flat sides of the opening leave a box of
// kind k with nothing else in it. Rails, keep-outs and outside pieces can only lower
// it, so it is a bound.
func (m *model) aloneBound(k int) float64 {
	best := math.Inf(-1)
	for _, b := range m.alone[k] {
		best = max(best, b)
	}
	return best
}

// boundPoses finds the bound of every pose, and the useful ones: a layout with another
// pose overlaps, and by more than the box that is shortest of room does in its best.
func (m *model) boundPoses() {
	least := 0.0
	for k := range m.kinds {
		bounds := make([]float64, len(m.poses[k]))
		for i := range bounds {
			bounds[i] = m.poseBound(k, i)
		}
		m.alone = append(m.alone, bounds)
		least = min(least, m.aloneBound(k))
	}
	for _, bounds := range m.alone {
		var useful []int
		for i, b := range bounds {
			if b >= least {
				useful = append(useful, i)
			}
		}
		m.useful = append(m.useful, useful)
	}
}

// poseBound is aloneBound for one pose: a linear program over its place and the spare.
func (m *model) poseBound(k, pose int) float64 {
	s := lp.New([]float64{0, 0, 0, 1}, m.lows(1), m.highs(1))
	for _, f := range m.walls[k][pose] {
		s.Push(side{relation{sort: ofWall}, f}.row(1))
	}
	if s.Solve(math.Inf(-1)) != lp.Optimal {
		return math.Inf(1) // cannot happen; no bound is always true
	}
	return s.SafeBound(make([]float64, len(m.walls[k][pose])))
}

// lows and highs bound the variables of a program over n boxes and the spare. They
// leave every box far more room than the opening has.
func (m *model) lows(n int) []float64 {
	var lo []float64
	for range n {
		for _, in := range m.room {
			lo = append(lo, in.Lo-m.size)
		}
	}
	return append(lo, -m.size)
}

func (m *model) highs(n int) []float64 {
	var hi []float64
	for range n {
		for _, in := range m.room {
			hi = append(hi, in.Hi+m.size)
		}
	}
	return append(hi, m.size)
}
