package search

import (
	"math"
	"slices"

	lp "rackwright/pack/search/simplex"
)

// The greatest spare seldom fixes every box. Among the places that keep it, a builder
// prefers the mass low and in the middle, and boxes that line up rather than lie
// scattered. settle asks for these one after the other, each by a linear program over
// the layout's own choice of sides: what an earlier wish reached, later ones keep.
func (m *model) settle(spots []spot, spare float64) []spot {
	v := &improver{model: m, spots: slices.Clone(spots), spare: spare, grace: 4 * grace}
	for _, wish := range m.wishes() {
		v.chooseSides()
		if next, ok := v.grant(wish); ok && m.sharpLeft(next) >= spare-keep {
			v.spots = next
		}
		v.held = append(v.held, wish)
	}
	return v.spots
}

// wish is a linear function of the places that is to be small: one weight for each
// coordinate. Where even is set its absolute value counts, less the whole times middle.
type wish struct {
	weights []float64
	even    bool
	middle  float64
}

func (w wish) at(spots []spot) float64 {
	sum := -w.middle
	for i, s := range spots {
		sum += w.weights[3*i]*s.at.X + w.weights[3*i+1]*s.at.Y + w.weights[3*i+2]*s.at.Z
	}
	if w.even {
		return math.Abs(sum)
	}
	return sum
}

// wishes are, in order: mass low, mass in the middle across, all to the rear, and all
// to the right, which squares up what has slack.
func (m *model) wishes() []wish {
	var low, mid, rear, right []float64
	for _, b := range m.boxes {
		w := max(m.kinds[b.kind].Mass, 0.01)
		low = append(low, 0, 0, w)
		mid = append(mid, 0, w, 0)
		rear = append(rear, w, 0, 0)
		right = append(right, 0, w, 0)
	}
	return []wish{{weights: low}, {weights: mid, even: true}, {weights: rear}, {weights: right}}
}

// grant finds the places with the least of a wish that keep the spare and the wishes
// granted before.
func (v *improver) grant(w wish) ([]spot, bool) {
	n := 3 * len(v.spots)
	objective, lo, hi := make([]float64, n+2), append(v.lows(len(v.spots)), 0), append(v.highs(len(v.spots)), math.Inf(1))
	for i, c := range w.weights {
		objective[i] = -c
	}
	lo[n], hi[n] = v.spare-keep/2, v.spare-keep/2
	hi[n+1] = 1e9
	if w.even {
		clear(objective)
		objective[n+1] = -1
	}
	solver := lp.New(objective, lo, hi)
	solver.Halt = v.halt
	for _, h := range v.held {
		v.hold(solver, h)
	}
	if w.even {
		solver.Push(w.row(1, w.middle, n+1))
		solver.Push(w.row(-1, -w.middle, n+1))
	}
	for _, key := range v.order {
		solver.Push(v.sides[key].row(len(v.spots)))
	}
	return v.finish(solver)
}

// hold keeps what a wish has reached.
func (v *improver) hold(solver *lp.Solver, w wish) {
	const slack = 1e-7
	reached := w.at(v.spots) + slack
	solver.Push(w.row(1, reached+w.middle, -1))
	if w.even {
		solver.Push(w.row(-1, reached-w.middle, -1))
	}
}

// row is sign·weights·x − t ≤ bound, where t is a variable or, with less, 0.
func (w wish) row(sign, bound float64, less int) lp.Row {
	r := lp.Row{Bound: bound}
	for i, c := range w.weights {
		if c != 0 {
			r.Index, r.Coef = append(r.Index, i), append(r.Coef, sign*c)
		}
	}
	if less >= 0 {
		r.Index, r.Coef = append(r.Index, less), append(r.Coef, -1)
	}
	return r
}
