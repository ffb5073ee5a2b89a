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
// with the present sheets is the optimum of a linear program. What is swept by a part
// that moves is cut otherwise with another error, and nothing is known of its sheets
// then; so whether more can be borne is asked at the end (outwards). Errors are those of Of.
func CommonError(problem pack.Problem, layout pack.Layout) (float64, pack.Layout, error) {
	layout, spare, err := Best(Off(problem, 0), layout)
	if err != nil || spare < 0 {
		return -1, pack.Layout{}, err
	}
	e := 0.0
	for range mostClimbs {
		next, at, err := stretch(problem, layout, e)
		if err != nil {
			return -1, pack.Layout{}, err
		}
		ok, err := holds(Off(problem, next), at)
		if err != nil {
			return -1, pack.Layout{}, err
		}
		if !ok || next <= e {
			break
		}
		e, layout = next, at
	}
	return outwards(problem, layout, e)
}

// outwards is the greatest common error from one on that a layout bears, and the layout then. A layout
// that was found on the way may bear more where the one before did not: then it is sought anew from
// there.
func outwards(problem pack.Problem, layout pack.Layout, e float64) (float64, pack.Layout, error) {
	for range mostClimbs {
		more, moved, err := upTo(problem, layout, e)
		if err != nil {
			return -1, pack.Layout{}, err
		}
		if more <= e {
			break
		}
		e, layout = more, moved
	}
	return Down(e), layout, nil
}

// upTo is a common error greater than one that a layout bears, the greatest where what is borne is all
// below what is not; or that error itself where one a little greater is not borne. Each millimetre of
// error takes at least one from every row, so that what is left with an error is no more than what it
// may grow by; in between the greatest is sought along the chord, and now and then by halving, in case
// that stays on one side.
func upTo(problem pack.Problem, layout pack.Layout, e float64) (float64, pack.Layout, error) {
	good, left := e, 0.0          // the greatest found that is borne, and what it leaves
	bad, lack := math.Inf(1), 0.0 // the least found that is not, and what it lacks
	at := e + little
	for try := 0; try < mostTries && bad-good > Step/2; try++ {
		moved, spare, err := Best(Off(problem, at), layout)
		switch {
		case err != nil:
			return e, layout, err
		case spare >= 0:
			good, left, layout = at, spare, moved
		default:
			bad, lack = at, -spare
		}
		switch {
		case math.IsInf(bad, 1):
			at = good + max(left, little)
		case try%3 == 2 || left == 0:
			at = (good + bad) / 2
		default:
			at = good + (bad-good)*left/(left+lack)
		}
	}
	return good, layout, nil
}

// little in mm is the least that is asked beyond what is borne.
const little = 10 * Step

// mostTries is how often upTo asks at most.
const mostTries = 40

// Step in mm is what errors are told in steps of.
const Step = 0.001

// Down is an error in mm as it is told: rounded down to a Step, so that the layout bears it for all
// rounding of the search for it. What is less than geom.Tolerance below one is that step.
func Down(e float64) float64 { return math.Floor((e+geom.Tolerance)/Step) / (1 / Step) }

// holds tells whether nothing falls short in a layout, but for rounding.
func holds(problem pack.Problem, layout pack.Layout) (bool, error) {
	s, err := newScene(problem, layout)
	if err != nil {
		return false, err
	}
	return least(s.allRows()) >= -1e-9, nil
}

// stretch is the greatest common error with the sheets that the layout has with error e,
// in a step of limited size, and the layout then; e itself where there is no greater one.
func stretch(problem pack.Problem, layout pack.Layout, e float64) (float64, pack.Layout, error) {
	s, err := newScene(Off(problem, e), layout)
	if err != nil {
		return e, layout, err
	}
	worse, err := newScene(Off(problem, e+1), layout)
	if err != nil {
		return e, layout, err
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
		return e, layout, nil
	}
	x := make([]float64, 3*n+1)
	solver.X(x)
	layout.Placements = movedBy(s.places, x)
	return Down(e + x[3*n]), layout, nil
}
