package improve

import (
	"math"
	"slices"

	"rackwright/pack/balance"
	"rackwright/pack/lp"
	"rackwright/pack/search/model"
)

// The greatest spare seldom fixes every box. Among the places that keep it, settle takes
// those that are preferred: it asks for one thing after the other, each by a linear
// program over the layout's own choice of sides, and what an earlier wish reached, later
// ones keep.
//
// With many boxes a wish can take long. What has not been granted after mostSettling is left.
//
// Preferences that no linear program can ask for, such as few stands, choose among layouts and not
// within one; they are passed over here.
func Settle(m *model.Model, prefer []Preference, spots []model.Spot, spare float64) []model.Spot {
	v := &Improver{m: m, Spots: slices.Clone(spots), Spare: spare, grace: mostSettlingWork, counted: true}
	v.tools = m.Reach != nil && m.ToolsFit(spots)
	for _, p := range prefer {
		switch p {
		case Low:
			v.settleFor(lowWish(m))
		case Centred:
			v.settleFor(centredWish(m))
		case Balance:
			if w, ok := balanceWish(m); ok {
				v.settleFor(w)
			}
			v.settleFor(centredWish(m))
		case Rows:
			v.alignFaces()
			v.settleFor(sideWish(m, 0))
			v.settleFor(sideWish(m, 1))
		}
	}
	return v.Spots
}

// settleFor moves boxes for a wish, and holds what it reaches. A wish that cannot be granted is
// held all the same: later ones may not make it worse.
func (v *Improver) settleFor(w wish) {
	v.chooseSides()
	// Measured again, exact distances and all.
	if next, ok := v.grant(w); ok && v.m.SharpLeft(next) >= v.Spare-model.Rounding {
		v.Spots = next
	}
	v.held = append(v.held, w)
}

// alignFaces brings faces into common planes, as far as they can be all at once. One at a time, the
// nearest first; what does not go is left and costs nothing.
func (v *Improver) alignFaces() {
	for _, w := range alignments(v.m, v.Spots) {
		// In one plane already where it is less.
		if w.at(v.Spots) > Tie/2 {
			v.chooseSides()
			next, ok := v.grant(w)
			if !ok || w.at(next) > Tie/2 || v.m.SharpLeft(next) < v.Spare-model.Rounding {
				continue
			}
			v.Spots = next
		}
		v.held = append(v.held, w)
	}
}

// wish is a linear function of the places that is to be small: one weight for each
// coordinate. Where even is set its absolute value counts, less the whole times middle. Weights are
// per mm: x, y and z of each box in turn.
type wish struct {
	weights []float64
	even    bool
	middle  float64
}

// at is what the wish amounts to at spots.
func (w wish) at(spots []model.Spot) float64 {
	sum := -w.middle
	for i, s := range spots {
		sum += w.weights[3*i]*s.At.X + w.weights[3*i+1]*s.At.Y + w.weights[3*i+2]*s.At.Z
	}
	if w.even {
		return math.Abs(sum)
	}
	return sum
}

// lowWish asks for the mass low. A sum over boxes and not a middle: the whole mass is the same in
// all layouts.
func lowWish(m *model.Model) wish {
	w := make([]float64, 3*len(m.Boxes))
	for i := range m.Boxes {
		w[3*i+2] = massOf(m, i)
	}
	return wish{weights: w}
}

// centredWish asks for the mass in the middle across.
func centredWish(m *model.Model) wish {
	w := make([]float64, 3*len(m.Boxes))
	for i := range m.Boxes {
		w[3*i+1] = massOf(m, i)
	}
	return wish{weights: w, even: true}
}

// balanceWish asks for the mass where the wheels would share their load as before, and tells
// whether that is known. Only along the vehicle: across there is centredWish.
func balanceWish(m *model.Model) (wish, bool) {
	w, whole := make([]float64, 3*len(m.Boxes)), 0.0
	for i := range m.Boxes {
		w[3*i] = massOf(m, i)
		whole += massOf(m, i)
	}
	x, ok := balance.Wanted(m.Problem, whole)
	return wish{weights: w, even: true, middle: x * whole}, ok
}

// sideWish asks for all boxes to the rear or, with axis 1, to the right: what has slack
// then touches something.
func sideWish(m *model.Model, axis int) wish {
	w := make([]float64, 3*len(m.Boxes))
	for i := range m.Boxes {
		w[3*i+axis] = 1
	}
	return wish{weights: w}
}

// grant finds the places with the least of a wish that keep the spare and the wishes
// granted before. The spare is fixed to what the layout has, half of the rounding given away so
// that the program has a solution. An even wish is made of two rows and one variable more, which is
// at least as great as either sign of the sum.
func (v *Improver) grant(w wish) ([]model.Spot, bool) {
	n := 3 * len(v.Spots)
	objective, lo, hi := make([]float64, n+2), append(v.m.Lows(len(v.Spots)), 0), append(v.m.Highs(len(v.Spots)), math.Inf(1))
	for i, c := range w.weights {
		objective[i] = -c
	}
	lo[n], hi[n] = v.Spare-model.Rounding/2, v.Spare-model.Rounding/2
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
		solver.Push(v.sides[key].Row(len(v.Spots)))
	}
	return v.finish(solver, math.Inf(-1))
}

// hold keeps what a wish has reached. The slack keeps rounding from making the next program
// unsolvable.
func (v *Improver) hold(solver *lp.Solver, w wish) {
	const slack = 1e-7
	reached := w.at(v.Spots) + slack
	solver.Push(w.row(1, reached+w.middle, -1))
	if w.even {
		solver.Push(w.row(-1, reached-w.middle, -1))
	}
}

// row is sign·weights·x − t ≤ bound, where t is a variable or, with less, 0. A negative less means
// that there is no variable.
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
