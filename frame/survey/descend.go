package survey

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Limits of the damped steps (Levenberg 1944, Marquardt 1963, from memory).
const (
	mostSteps   = 100
	leastDamp   = 1e-12
	mostDamp    = 1e12
	stepsEnough = 1e-9 // of the cost: less than this from a step ends them
)

// descend goes down to a state whose cost no small movement lowers.
func (n *Network) descend(s state) (state, float64) {
	cost, damp := n.cost(s), 1e-3
	basis := n.allowed(s)
	for range mostSteps {
		square, slope := n.normal(s, basis)
		next, lower, damped := n.step(s, cost, basis, square, slope, damp)
		if lower >= cost {
			break
		}
		little := cost-lower < stepsEnough*lower || lower < 1e-20
		s, cost, damp = next, lower, max(damped/10, leastDamp)
		if little {
			break
		}
	}
	return s, cost
}

// step tries steps with more and more damping until one lowers the cost.
func (n *Network) step(s state, cost float64, basis *mat.Dense, square *mat.SymDense, slope *mat.VecDense, damp float64) (state, float64, float64) {
	for ; damp < mostDamp; damp *= 10 {
		damped := mat.NewSymDense(square.SymmetricDim(), nil)
		damped.CopySym(square)
		for i := range damped.SymmetricDim() {
			damped.SetSym(i, i, square.At(i, i)*(1+damp)+damp*1e-9)
		}
		var factor mat.Cholesky
		if !factor.Factorize(damped) {
			continue
		}
		var y, by mat.VecDense
		if factor.SolveVecTo(&y, slope) != nil && math.IsNaN(mat.Norm(&y, 2)) {
			continue
		}
		by.MulVec(basis, &y)
		next := s.moved(by.RawVector().Data)
		if lower := n.cost(next); lower < cost {
			return next, lower, damp
		}
	}
	return s, cost, damp
}

// normal are the normal equations in the movements of a basis.
func (n *Network) normal(s state, basis *mat.Dense) (*mat.SymDense, *mat.VecDense) {
	design, off := n.design(s, basis)
	_, size := basis.Dims()
	squares := mat.NewSymDense(size, nil)
	squares.SymOuterK(1, design.T())
	var slope mat.VecDense
	slope.MulVec(design.T(), mat.NewVecDense(len(off), off))
	return squares, &slope
}

// design is how all measurements, over their standard deviations, change by each movement of
// a basis, and their misclosures.
func (n *Network) design(s state, basis *mat.Dense) (*mat.Dense, []float64) {
	rows, off := n.system(s)
	size, moves := basis.Dims()
	design := mat.NewDense(len(rows), moves, nil)
	for k := range moves {
		by := mat.Col(make([]float64, size), k, basis)
		for i, r := range rows {
			design.Set(i, k, r.apply(n.Measurements[i], by))
		}
	}
	return design, off
}
