package outcome

import "rackwright/pack"

// Given is what is known of a layout that was given, exactly as its boxes stand.
type Given struct {
	Report pack.Report // as measured
	Worst  pack.Report // with everything at its worst at once
	// Exact tells that neither file gives an accuracy: then there is no worst case, and
	// nothing is sure.
	Exact bool
	// Moved tells that the boxes have other places, their orientations kept, where the layout
	// holds at the worst as well; false where it need not be asked.
	Moved bool
}

// Judge judges a layout as its boxes stand.
func Judge(problem pack.Problem, layout pack.Layout) Given {
	return Given{
		Report: pack.Check(problem, layout), Worst: pack.Check(problem.AtWorst(), layout),
		Exact: !problem.GivesAccuracy(),
	}
}

// JudgeMoved is Judge that asks of a tight layout whether moving its boxes would make it sure.
func JudgeMoved(problem pack.Problem, layout pack.Layout, means Means) Given {
	g := Judge(problem, layout)
	if g.Report.Holds() && !g.Worst.Holds() {
		_, _, g.Moved = SurePlaces(problem, layout, means)
	}
	return g
}

// Holds tells whether the layout holds as measured.
func (g Given) Holds() bool { return g.Report.Holds() }

// Sure tells whether the layout holds as measured and, no box moved, with everything at its
// worst.
func (g Given) Sure() bool { return !g.Exact && g.Report.Holds() && g.Worst.Holds() }
