package limit

import (
	"math"

	"rackwright/pack/lp"
)

// sided are the two one-sided rates of the optimum, for rates of the rows: with the
// measured thing growing and, of the thing getting smaller, per millimetre as well. The
// optimal multipliers form a polytope: none negative, their sum 1, normals in balance
// at every box, and no weight on rows that leave more. The first rate is the least over
// it, the second minus the greatest.
func (o *optimum) sided(rate []float64) (more, less float64, ok bool) {
	down, ok1 := o.extreme(rate, -1)
	up, ok2 := o.extreme(rate, 1)
	return -down, -up, ok1 && ok2
}

// extreme is the greatest of sign·rate·y over the optimal multipliers y.
func (o *optimum) extreme(rate []float64, sign float64) (float64, bool) {
	rows := o.tight
	n := len(rows)
	if n == 0 {
		return 0, false
	}
	objective, lo, hi := make([]float64, n), make([]float64, n), make([]float64, n)
	for k, r := range rows {
		objective[k], hi[k] = sign*rate[r], 1
	}
	solver := lp.New(objective, lo, hi)
	for _, e := range o.balance() {
		solver.Push(e)
		solver.Push(negated(e))
	}
	if solver.Solve(math.Inf(-1)) != lp.Optimal {
		return 0, false
	}
	return solver.Value(), true
}

// balance are the equations that optimal multipliers of the tight rows obey, each as
// the half "at most".
func (o *optimum) balance() []lp.Row {
	n := 3 * len(o.places)
	equations := make([]lp.Row, n+1)
	equations[n].Bound = 1
	for k, r := range o.tight {
		in := o.rows[r].inequality(len(o.places))
		for q, i := range in.Index {
			equations[i].Index = append(equations[i].Index, k)
			equations[i].Coef = append(equations[i].Coef, in.Coef[q])
		}
	}
	return equations
}

func negated(r lp.Row) lp.Row {
	n := lp.Row{Index: r.Index, Bound: -r.Bound, Coef: make([]float64, len(r.Coef))}
	for k, c := range r.Coef {
		n.Coef[k] = -c
	}
	return n
}
