package outcome

import "rackwright/pack"

// Given is what the judge says of a layout exactly as its boxes stand.
type Given struct {
	Report pack.Report // as measured
	Worst  pack.Report // with everything at its worst at once
	// Exact tells that neither file gives an accuracy: then there is no worst case, and
	// nothing is sure.
	Exact bool
}

// Judge judges a layout as its boxes stand.
func Judge(problem pack.Problem, layout pack.Layout) Given {
	return Given{pack.Check(problem, layout), pack.Check(problem.AtWorst(), layout), !problem.GivesAccuracy()}
}

// Sure tells whether the layout holds as measured and, no box moved, with everything at its
// worst.
func (g Given) Sure() bool { return !g.Exact && g.Report.Holds() && g.Worst.Holds() }
