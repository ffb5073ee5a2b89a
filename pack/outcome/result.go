package outcome

import (
	"math"
	"slices"

	"rackwright/pack"
	"rackwright/pack/entry"
)

// Stop tells why a search ended.
type Stop int

const (
	Done        Stop = iota // it had nothing left to do
	Time                    // the context's deadline passed, or the work that was allowed is done
	Interrupted             // the context was cancelled
)

// String gives the word used in JSON.
func (s Stop) String() string { return [...]string{"done", "time", "interrupt"}[s] }

// Found is one layout with the judge's report on it.
type Found struct {
	Layout pack.Layout
	Report pack.Report
	Entry  entry.Answer // zero where the layout overlaps, or it was not asked for
	Why    []Reason     // why it is offered
}

// Result is what is known of a problem when a search ends. Spare, Proven and Verdict follow
// from the rest: Decide sets them.
type Result struct {
	Verdict pack.Verdict
	Proven  bool    // the first layout's spare is within Closed of Bound, or Bound is negative
	Stopped Stop    //
	Spare   float64 // of the first layout; −Inf with none
	Bound   float64 // no layout has a greater spare; +Inf when not known
	// Entering tells that Bound speaks of layouts that go in alone: others may have more.
	Entering bool
	// AnyEntry tells that layouts that cannot be put in or connected are answers too.
	AnyEntry bool
	Reason   string  // why nothing can fit, in the builder's words, when that is proven
	Layouts  []Found // best first; what overlaps is given only when nothing was found that fits
	// Barred is a layout with more to spare than the first that is no answer, for it
	// cannot be put in or a post of it cannot be reached; nil when there is none. Where
	// nothing found goes in, Layouts are such themselves and the verdict is NoFitFound.
	Barred *Found
	Sure   *Sureness // how sure a fit is; nil where that was not asked
	// Levels is what was found for one level, two levels and so on; empty where layouts that
	// stand were not looked for, or none was found.
	Levels []LevelRow
}

// Closed is how near in millimetres the spare has to come to the bound to count as
// proven.
const Closed = 0.01

// Decide sets what follows from the layouts, the bound and, where it was asked, how sure a fit
// is. Whoever changes one of these calls it.
func (r *Result) Decide() {
	r.Spare = none
	if len(r.Layouts) > 0 {
		r.Spare = r.Layouts[0].Report.Spare
	}
	fits, stranded := r.fits(), r.fits() && !r.AnyEntry && !r.Layouts[0].Entry.Holds()
	r.Proven = r.Bound < 0 || r.Bound-r.Spare <= Closed && !stranded
	r.Verdict = r.verdict(fits && !stranded)
}

// fits tells whether the boxes of the first layout have room beside one another.
func (r Result) fits() bool { return len(r.Layouts) > 0 && r.Layouts[0].Report.Holds() }

// Stranded tells whether boxes have room beside one another, but in no layout that was found can all of
// them be put in and connected.
func (r Result) Stranded() bool {
	return r.fits() && !r.AnyEntry && !r.Layouts[0].Entry.Holds() && !r.Layouts[0].Entry.Unknown
}

func (r *Result) verdict(fits bool) pack.Verdict {
	switch {
	case !fits && r.Bound < 0:
		return pack.ProvenNoFit
	case !fits:
		return pack.NoFitFound
	case r.Sure == nil:
		return pack.Fits
	case r.Sure.Holds():
		return pack.Sure
	}
	return pack.Tight
}

// With is the result with a layout from elsewhere as its first, and at most so many in all.
// Where it fits, layouts that overlap are no other choice beside it.
func (r Result) With(first Found, most int) Result {
	rest := slices.Clone(r.Layouts)
	if first.Report.Holds() {
		rest = slices.DeleteFunc(rest, func(f Found) bool { return f.Report.Spare < 0 })
	}
	r.Layouts = append([]Found{first}, rest...)
	r.Layouts = r.Layouts[:min(len(r.Layouts), most)]
	r.Sure = nil
	r.Decide()
	return r
}

// In is the result with its layouts judged in another problem, one that asks no more of them
// than theirs: what was proven and how sure it is are not known of it.
func (r Result) In(problem pack.Problem) Result {
	r.Layouts = slices.Clone(r.Layouts)
	for i := range r.Layouts {
		r.Layouts[i].Report = pack.Check(problem, r.Layouts[i].Layout)
	}
	r.Bound, r.Entering, r.Reason, r.Barred, r.Sure = math.Inf(1), false, "", nil, nil
	r.Decide()
	return r
}
