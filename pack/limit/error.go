package limit

import (
	"math"
	"slices"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/lp"
)

// Off returns the problem with every measurement off by e millimetres the wrong way at
// once: all faces of the frame nearer, all sizes of boxes larger, and swollen as the
// pack says, all posts higher, thicker and aside.
func Off(problem pack.Problem, e float64) pack.Problem {
	p := *problem.Pack
	p.Kinds = slices.Clone(p.Kinds)
	for i := range p.Kinds {
		p.Kinds[i].Accuracy = e
	}
	problem.Frame, problem.Pack = problem.Frame.WithAccuracy(e), &p
	return problem.AtWorst()
}

// CommonError is the greatest error e in millimetres that every measurement may have at
// once with the layout still fitting, boxes kept in their orientations and moved only as
// Best moves them, and that layout: it fits with any smaller errors as well. It is
// rounded down by Down. It is negative, with no layout, when the layout does not
// fit as measured with the boxes swollen.
//
// It is found as the greatest spare is: what a row leaves falls by a fixed amount for
// each millimetre of error as long as its sheet stays the same, so the greatest error
// with the present sheets is the optimum of a linear program.
func CommonError(problem pack.Problem, layout pack.Layout) (float64, pack.Layout, error) {
	layout, spare, err := Best(Off(problem, 0), layout)
	if err != nil || spare < 0 {
		return -1, pack.Layout{}, err
	}
	e := 0.0
	for range steps {
		next, at, ok := stretch(problem, layout, e)
		if !ok || !holds(Off(problem, next), at) {
			break
		}
		gain := next - e
		if gain <= 0 {
			break
		}
		e, layout = next, at
	}
	return e, layout, nil
}

// Step in mm is what errors are told in steps of.
const Step = 0.001

// Down is an error in mm as it is told: rounded down to a Step, so that the layout bears it for all
// rounding of the search for it. What is less than geom.Tolerance below one is that step.
func Down(e float64) float64 { return math.Floor((e+geom.Tolerance)/Step) / (1 / Step) }

// holds tells whether nothing falls short in a layout, but for rounding.
func holds(problem pack.Problem, layout pack.Layout) bool {
	s, err := newScene(problem, layout)
	return err == nil && least(s.allRows()) >= -1e-9
}

// stretch is the greatest common error with the sheets that the layout has with error e,
// in a step of limited size, and the layout then.
func stretch(problem pack.Problem, layout pack.Layout, e float64) (float64, pack.Layout, bool) {
	s, err := newScene(Off(problem, e), layout)
	if err != nil {
		return e, layout, false
	}
	worse, err := newScene(Off(problem, e+1), layout)
	if err != nil {
		return e, layout, false
	}
	n, reach := len(s.places), s.reach()
	const most = 8 // no row loses more per millimetre: two posts, each 3.2 at its corners, and a case or a sharp corner less
	rows := near(s.allRows(), 4*math.Sqrt(3)*reach+most*reach)
	objective, lo, hi := moves(s.places, reach)
	hi[3*n], lo[3*n] = reach, 0
	solver := lp.New(objective, lo, hi)
	for _, r := range rows {
		q := r.inequality(n)
		q.Coef[0] = r.gapAlong(s) - r.gapAlong(worse)
		q.Bound = max(q.Bound, 0)
		solver.Push(q)
	}
	if solver.Solve(math.Inf(-1)) != lp.Optimal {
		return e, layout, false
	}
	x := make([]float64, 3*n+1)
	solver.X(x)
	layout.Placements = movedBy(s.places, x)
	return Down(e + x[3*n]), layout, true
}
