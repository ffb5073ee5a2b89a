package whatif

import (
	"context"

	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/limit"
	"rackwright/pack/search"
)

// Sureness says how sure a fit is.
type Sureness struct {
	// Sure tells that a layout fits with every measurement at its worst at once.
	Sure bool
	// Layout is that layout, its boxes where they still fit at the worst; empty without
	// one. Index says which of the result's it is, −1 that it is another one, found by
	// searching again with everything at its worst.
	Layout pack.Layout
	Index  int
	Report pack.Report  // of Layout as measured
	Entry  entry.Answer // of Layout as measured; zero where it was not asked for
	// ProvenTight tells that no layout fits at the worst.
	ProvenTight bool
	// Error is how much every measurement may be off the wrong way at once, in mm, with
	// the result's first layout still fitting; negative where it does not fit.
	Error float64
}

// HowSure says how sure the result of a search is. First the layouts of the result are
// moved about with everything at its worst; where none of them holds, the problem is
// searched again like that. It fails only where search.Fit does.
func HowSure(ctx context.Context, problem pack.Problem, result search.Result, settings Settings) (Sureness, error) {
	s := Sureness{Index: -1, Error: -1}
	if !result.Verdict.Fits() {
		return s, nil
	}
	if e, _, err := limit.CommonError(problem, result.Layouts[0].Layout); err == nil {
		s.Error = e
	}
	for i, l := range result.Layouts {
		if l.Report.Spare < 0 {
			continue
		}
		if s.take(ctx, problem, l.Layout, settings) || s.takeMoved(ctx, problem, l.Layout, settings) {
			s.Index = i
			return s, nil
		}
	}
	r, err := settings.hasty().fit(ctx, "everything at its worst", problem.AtWorst())
	if err != nil {
		return s, err
	}
	s.ProvenTight = r.Verdict == pack.ProvenNoFit
	if r.Verdict.Fits() {
		s.take(ctx, problem, r.Layouts[0].Layout, settings)
	}
	return s, nil
}

// takeMoved is take with the boxes moved to where they have the most to spare at the worst.
func (s *Sureness) takeMoved(ctx context.Context, problem pack.Problem, layout pack.Layout, settings Settings) bool {
	at, fits := limit.Fitting(problem.AtWorst(), layout)
	return fits && s.take(ctx, problem, at, settings)
}

// take makes a layout the sure one if the judge agrees: it fits at the worst and, as
// measured, fits and goes in.
func (s *Sureness) take(ctx context.Context, problem pack.Problem, layout pack.Layout, settings Settings) bool {
	report := pack.Check(problem, layout)
	if !pack.Check(problem.AtWorst(), layout).Holds() || !report.Holds() {
		return false
	}
	way, ok := settings.goesIn(ctx, problem, layout)
	if !ok {
		return false
	}
	s.Sure, s.Layout, s.Report, s.Entry = true, layout, report, way
	return true
}
