package model

import (
	"math"

	"rackwright/pack"
	"rackwright/pack/lp"
)

// AloneBound is the greatest spare that the flat sides of the opening leave a box of
// kind k with nothing else in it. Rails, keep-outs and outside pieces can only lower
// it, so it is a bound. It is true of the problem with its pins and ranges. A kind none of whose
// poses has room gives a negative bound, which alone proves that the pack does not go in.
func (m *Model) AloneBound(k int) float64 {
	best := math.Inf(-1)
	for _, b := range m.alone[k] {
		best = max(best, b)
	}
	return best
}

// boundPoses finds the bound of every pose, and the useful ones: a layout with another
// pose overlaps, and by more than the box that is shortest of room does in its best. Where all
// kinds have room, that is every pose with a bound of at least 0. Poses that are not useful keep
// their numbers, so that layouts read from elsewhere can still be put into the model's words.
func (m *Model) boundPoses() {
	least := 0.0
	for k := range m.Kinds {
		bounds := make([]float64, len(m.Poses[k]))
		for i := range bounds {
			bounds[i] = m.poseBound(k, i)
		}
		m.alone = append(m.alone, bounds)
		least = min(least, m.AloneBound(k))
	}
	for _, bounds := range m.alone {
		var useful []int
		for i, b := range bounds {
			if b >= least {
				useful = append(useful, i)
			}
		}
		m.Useful = append(m.Useful, useful)
	}
}

// poseBound is AloneBound for one pose: a linear program over its place and the spare, whose value is
// reckoned anew from the multipliers, so that rounding cannot make it too small. Only walls are in
// it: of a clause with several planes any one may be the right one, so it would take a choice, and
// a choice is no bound.
func (m *Model) poseBound(k, pose int) float64 {
	s := lp.New([]float64{0, 0, 0, 1}, m.Lows(1), m.Highs(1))
	// The number of the box does not matter, for the program has but one.
	for _, f := range m.Walls[k][pose] {
		s.Push(Side{Relation{Sort: OfWall}, f}.Row(1))
	}
	if s.Solve(math.Inf(-1)) != lp.Optimal {
		return math.Inf(1) // cannot happen; no bound is always true
	}
	return s.SafeBound(make([]float64, len(m.Walls[k][pose])))
}

// farthest is how far from the origin a box may be along each axis, with room for rounding. A
// layout file may not say more (pack.MaxCentre), and a search must not find what cannot be written.
const farthest = pack.MaxCentre - 1e-3

// Lows and highs bound the variables of a program over n boxes and the spare. They
// leave every box far more room than the opening has, within what a layout may say. Bounds are
// needed at all because the method starts from a corner of them (see lp), and Size is more than any
// layout worth having uses. The order is x, y and z of each box, then the spare.
func (m *Model) Lows(n int) []float64 {
	var lo []float64
	for range n {
		for _, in := range m.Room {
			lo = append(lo, max(in.Lo-m.Size, -farthest))
		}
	}
	return append(lo, -m.Size)
}

// Highs are the upper bounds; see Lows.
func (m *Model) Highs(n int) []float64 {
	var hi []float64
	for range n {
		for _, in := range m.Room {
			hi = append(hi, min(in.Hi+m.Size, farthest))
		}
	}
	return append(hi, m.Size)
}
