package outcome

import (
	"math"

	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/limit"
)

// none is the spare where there is no layout.
var none = math.Inf(-1)

// Sureness says how sure a fit is.
type Sureness struct {
	// Layout says which of the result's layouts still fits with everything at its worst, from
	// 0; −1 where none was found that does.
	Layout int
	// Moved is that layout with its boxes where they fit at the worst, too. Stands tells that
	// they do so where they stand: then Moved is the layout itself.
	Moved  Found
	Stands bool
	// ProvenTight tells that no layout fits at the worst.
	ProvenTight bool
	// Exact tells that neither file gives an accuracy: then there is no worst case, and the fit
	// is tight.
	Exact bool
	// Error is how much every measurement may be off the wrong way at once, in mm, with the
	// result's first layout still an answer, its boxes moved; negative where it is none with the
	// boxes swollen. It asks what Layout asks: gaps, ways in and tools.
	Error float64
	// AsWritten is the same with no box moved: what Judge finds with every measurement off by it
	// is an answer, and with more it is none.
	AsWritten float64
}

// Holds tells whether a layout was found that still fits with everything at its worst.
func (s Sureness) Holds() bool { return s.Layout >= 0 }

// Means are what is used to find out how sure a fit is.
type Means struct {
	// GoesIn plans how the boxes of a layout go in, and tells whether they do or that is not asked.
	GoesIn func(pack.Problem, pack.Layout) (entry.Answer, bool)
	// Again searches a problem for any layout that fits; nil for no search. It may come back
	// with nothing.
	Again func(pack.Problem) (Result, error)
}

// AskSure finds out how sure a fit is, and decides the result anew. First the layouts of the
// result are looked at with everything at its worst, as they stand and moved; where none of them
// is an answer then, the problem is searched again like that, and a layout that is found so becomes
// the result's last. Of a result that does not fit there is nothing to ask. It fails only where
// Means.Again does.
func (r *Result) AskSure(problem pack.Problem, means Means) error {
	if !r.Verdict.Fits() {
		return nil
	}
	s := Sureness{Layout: -1, Exact: !problem.GivesAccuracy()}
	first := r.Layouts[0].Layout
	var furthest pack.Layout
	s.Error, furthest = means.commonError(problem, first)
	s.AsWritten = means.asWritten(problem, first)
	var err error
	if !s.Exact && !s.take(problem, r.Layouts, furthest, means) && means.Again != nil {
		err = r.searchAtWorst(problem, &s, means)
	}
	if s.Layout == 0 { // it bears at least what every measurement may be off
		s.Error = max(s.Error, problem.LeastAccuracy())
	}
	r.Sure = &s
	r.Decide()
	return err
}

// take looks at the layouts of a result, and at where the first bears the greatest common
// error, for one that is sure.
func (s *Sureness) take(problem pack.Problem, layouts []Found, furthest pack.Layout, means Means) bool {
	for i, l := range layouts {
		at, stands, ok := SurePlaces(problem, l.Layout, means)
		if !ok && i == 0 {
			at, ok = means.answer(problem, problem.AtWorst(), furthest)
		}
		if ok {
			s.Layout, s.Moved, s.Stands = i, at, stands
			return true
		}
	}
	return false
}

// searchAtWorst searches with everything at its worst.
func (r *Result) searchAtWorst(problem pack.Problem, s *Sureness, means Means) error {
	again, err := means.Again(problem.AtWorst())
	if err != nil {
		return err
	}
	s.ProvenTight = again.Verdict == pack.ProvenNoFit
	if !again.Verdict.Fits() {
		return nil
	}
	if at, stands, ok := SurePlaces(problem, again.Layouts[0].Layout, means); ok {
		r.Layouts = append(r.Layouts, at)
		s.Layout, s.Moved, s.Stands = len(r.Layouts)-1, at, stands
	}
	return nil
}

// SurePlaces is where the boxes of a layout are still an answer with everything at its worst, if
// there is such a place: they have their gaps and go in, as measured and at the worst, and as
// measured their posts are reached. They stay where they stand if they can, and are else moved to where they have the
// most to spare at the worst, their orientations kept. Where no accuracy is given there is no worst.
func SurePlaces(problem pack.Problem, layout pack.Layout, means Means) (at Found, stands, ok bool) {
	if !problem.GivesAccuracy() {
		return Found{}, false, false
	}
	worst := problem.AtWorst()
	if at, ok = means.answer(problem, worst, layout); ok {
		return at, true, true
	}
	moved, fits := limit.Fitting(worst, layout)
	if !fits {
		return Found{}, false, false
	}
	at, ok = means.answer(problem, worst, moved)
	return at, false, ok
}

// answer tells whether a layout is an answer to a problem as measured and as well to the
// same with its measurements off: the one question that is asked of every worst case.
func (m Means) answer(problem, off pack.Problem, layout pack.Layout) (Found, bool) {
	if !pack.Check(off, layout).Holds() {
		return Found{}, false
	}
	found, in := m.asMeasured(problem, layout)
	return found, found.Report.Holds() && m.borne(off, layout, in)
}

// asMeasured judges a layout as measured; in tells that it goes in, or that this is not asked.
func (m Means) asMeasured(problem pack.Problem, layout pack.Layout) (found Found, in bool) {
	found = Found{Layout: layout, Report: pack.Check(problem, layout)}
	if found.Report.Holds() {
		found.Entry, in = m.GoesIn(problem, layout)
	}
	return found, in
}

// borne tells whether a layout that is in as measured goes in with measurements off. The room for
// a tool is no measurement: as measured it has to be there.
func (m Means) borne(off pack.Problem, layout pack.Layout, in bool) bool {
	if !in {
		return false
	}
	again, reached := m.GoesIn(off, layout)
	return reached || again.GoesIn
}

// bearing is answer for one layout and many problems with their measurements off.
func (m Means) bearing(problem pack.Problem, layout pack.Layout) func(off pack.Problem) bool {
	found, in := m.asMeasured(problem, layout)
	return func(off pack.Problem) bool {
		return found.Report.Holds() && pack.Check(off, layout).Holds() && m.borne(off, layout, in)
	}
}
