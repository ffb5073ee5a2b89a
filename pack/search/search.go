package search

import (
	"context"

	"rackwright/pack"
)

// Settings steer a search. The zero value is valid and means the defaults.
type Settings struct {
	Layouts  int            // how many different layouts to offer; 0 means 3
	Seed     uint64         // of the search's own random numbers
	Workers  int            // goroutines; 0 means one for each core. Never changes the result
	Progress func(Progress) // called now and then, never from two goroutines at once; may be nil
}

// Progress is where a search stands.
type Progress struct {
	Spare float64 // best so far, −Inf while there is none
	Bound float64 // proven upper bound, +Inf while there is none
	Note  string  // what is being done, a few words
}

// Stop tells why a search ended.
type Stop int

const (
	Done        Stop = iota // it had nothing left to do
	Time                    // the context's deadline passed
	Interrupted             // the context was cancelled
)

// Found is one layout with the judge's report on it.
type Found struct {
	Layout pack.Layout
	Report pack.Report
}

// Result is what a search knows when it ends.
type Result struct {
	Verdict pack.Verdict
	Proven  bool    // the first layout's spare is within 0.01 mm of Bound, or Bound is negative
	Stopped Stop    //
	Spare   float64 // of the first layout; −Inf with none
	Bound   float64 // no layout has a greater spare; +Inf when not known
	Reason  string  // why nothing can fit, in the builder's words, when that is proven
	Layouts []Found // best first; the first is given even when its spare is negative
}

// Fit searches for the layouts of problem with the greatest spare. A deadline or a
// cancelled ctx ends it with the best so far. It returns an error only for a problem
// that cannot be searched at all; that nothing fits is a Verdict.
func Fit(ctx context.Context, problem pack.Problem, settings Settings) (Result, error) {
	panic("not written yet")
}
