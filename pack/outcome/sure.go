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
	// Error is how much every measurement may be off the wrong way at once, in mm, with
	// the result's first layout still fitting, its boxes moved; negative where it does not fit.
	Error float64
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
// holds, the problem is searched again like that, and a layout that is found so becomes the
// result's last. Of a result that does not fit there is nothing to ask. It fails only where
// Means.Again does.
func (r *Result) AskSure(problem pack.Problem, means Means) error {
	if !r.Verdict.Fits() {
		return nil
	}
	s := Sureness{Layout: -1, Error: -1}
	defer func() {
		r.Sure = &s
		r.Decide()
	}()
	if e, _, err := limit.CommonError(problem, r.Layouts[0].Layout); err == nil {
		s.Error = e
	}
	for i, l := range r.Layouts {
		if s.take(problem, l.Layout, means) {
			s.Layout = i
			return nil
		}
	}
	if means.Again == nil {
		return nil
	}
	again, err := means.Again(problem.AtWorst())
	if err != nil {
		return err
	}
	s.ProvenTight = again.Verdict == pack.ProvenNoFit
	if again.Verdict.Fits() && s.take(problem, again.Layouts[0].Layout, means) {
		r.Layouts = append(r.Layouts, s.Moved)
		s.Layout = len(r.Layouts) - 1
	}
	return nil
}

// take looks at a layout and tells whether it is sure.
func (s *Sureness) take(problem pack.Problem, layout pack.Layout, means Means) bool {
	at, stands, ok := SurePlaces(problem, layout, means)
	if ok {
		s.Moved, s.Stands = at, stands
	}
	return ok
}

// SurePlaces is where the boxes of a layout still fit with everything at its worst, if there is
// such a place: as measured they have their gaps there as well, and go in. They stay where they
// stand if they can, and are else moved to where they have the most to spare at the worst, their
// orientations kept.
func SurePlaces(problem pack.Problem, layout pack.Layout, means Means) (at Found, stands, ok bool) {
	if at, ok = sureAt(problem, layout, means); ok {
		return at, true, true
	}
	moved, fits := limit.Fitting(problem.AtWorst(), layout)
	if !fits {
		return Found{}, false, false
	}
	at, ok = sureAt(problem, moved, means)
	return at, false, ok
}

// sureAt asks the judge of a layout as it stands.
func sureAt(problem pack.Problem, layout pack.Layout, means Means) (Found, bool) {
	given := Judge(problem, layout)
	if !given.Sure() {
		return Found{}, false
	}
	way, ok := means.GoesIn(problem, layout)
	return Found{Layout: layout, Report: given.Report, Entry: way}, ok
}
