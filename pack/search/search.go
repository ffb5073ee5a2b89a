package search

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"

	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/outcome"
	"rackwright/pack/search/improve"
	"rackwright/pack/search/model"
)

// Settings steer a search. The zero value is valid and means the defaults.
type Settings struct {
	Layouts  int                  // how many different layouts to offer; 0 means 3
	Seed     uint64               // of the search's own random numbers
	Workers  int                  // goroutines; 0 means one for each core. Never changes the result
	AnyEntry bool                 // layouts that do not go in, or whose posts no tool reaches, are answers too
	Tool     entry.Settings       // the room for tools
	Memory   int                  // bytes that the open parts of the proof may take; 0 means 100 MiB. Twice that ends the proof
	Stand    *Stand               // looks for layouts that stand as well; nil for not
	Prefer   []improve.Preference // what decides between layouts with the same spare, first to last; nil means Preferences()
	// Work is how much the search may do, counted: about as many nanoseconds of one core. 0 means no
	// limit but that of ctx. What ends so is the same on every machine.
	Work model.Effort
	// Decides ends the search as soon as it is known that nothing fits; else it goes on for the
	// layout that comes nearest.
	Decides  bool
	Progress func(Progress) // called now and then, never from two goroutines at once; may be nil
}

// Progress is where a search stands.
type Progress struct {
	Spare float64 // best so far, −Inf while there is none
	Bound float64 // proven upper bound, +Inf while there is none
	Note  string  // what is being done, a few words
	// Entering tells that Bound speaks of layouts that go in alone, as Result.Entering does.
	Entering bool
	// Layout has the spare, not settled yet, and goes in as far as that is asked; nil while there is
	// none. It is for who has to leave a search to itself that does not end in time.
	Layout *pack.Layout
}

// What a search comes to is said by package outcome.
type (
	Stop   = outcome.Stop
	Found  = outcome.Found
	Result = outcome.Result
)

// Of package outcome.
const (
	Done        = outcome.Done
	Time        = outcome.Time
	Interrupted = outcome.Interrupted
	Closed      = outcome.Closed
)

// What Fit returns for a problem that it cannot search: one without a frame, a pack or boxes, and
// one that would take more memory than a search may have.
var (
	ErrProblem  = model.ErrProblem
	ErrTooLarge = model.ErrTooLarge
)

// Fit searches for the layouts of problem with the greatest spare. A deadline or a
// cancelled ctx ends it with the best so far. It returns an error only for a problem
// that cannot be searched at all (ErrProblem, ErrTooLarge), or where the judge or the planner of ways
// in refuses a layout of the search; that nothing fits is a Verdict.
//
// The result depends on problem and settings alone, as long as ctx does not end the
// search: not on the number of workers, and not on time.
func Fit(ctx context.Context, problem pack.Problem, settings Settings) (Result, error) {
	r, err := newRun(ctx, problem, settings.withDefaults())
	if err != nil {
		return Result{}, err
	}
	r.search()
	r.standOn()
	r.tidyAll()
	if fault := r.fault.Load(); fault != nil {
		return Result{}, *fault
	}
	return r.result()
}

// withDefaults fills in what is left open. Nothing after it asks whether a setting is zero.
func (s Settings) withDefaults() Settings {
	if s.Layouts <= 0 {
		s.Layouts = 3
	}
	if s.Workers <= 0 {
		s.Workers = runtime.GOMAXPROCS(0)
	}
	if s.Tool.Tool == (entry.Tool{}) {
		s.Tool.Tool = entry.DefaultTool()
	}
	if s.Memory <= 0 {
		s.Memory = 100 << 20
	}
	if s.Prefer == nil {
		s.Prefer = improve.Preferences()
	}
	if s.Progress == nil {
		s.Progress = func(Progress) {}
	}
	return s
}

// result judges what the run found.
//
// The order of the layouts is the pool's. Nothing is offered that the judge has not seen; a fault
// of one is a fault of the whole.
func (r *run) result() (Result, error) {
	res := Result{Stopped: r.stopped(), Bound: r.told(), AnyEntry: r.settings.AnyEntry, Reason: r.reason}
	res.Entering = r.entering()
	if r.noneEnters() {
		res.Reason = noneEnters
	}
	answers := r.pool.best
	// Layouts that fit and do not go in are offered where there is nothing better, and are said to
	// be that.
	r.stranded = r.any.spare() >= 0 && r.pool.spare() < 0
	if r.stranded {
		answers = r.any.best
	}
	if len(answers) > 0 && answers[0].spare >= 0 {
		// What overlaps is no other choice beside what fits.
		answers = slices.DeleteFunc(slices.Clone(answers), func(c candidate) bool { return c.spare < 0 })
	}
	if r.m.Ended() && r.m.Pairs() > model.Many {
		answers = answers[:min(1, len(answers))]
	}
	res.Layouts = make([]Found, len(answers))
	faults := make([]error, len(answers))
	r.atOnce(len(answers), func(n int) { res.Layouts[n], faults[n] = r.judge(answers[n]) })
	if err := errors.Join(faults...); err != nil {
		return Result{}, err
	}
	if err := r.addBarred(&res); err != nil {
		return Result{}, err
	}
	if err := r.addStanding(&res); err != nil {
		return Result{}, err
	}
	res.Decide()
	return res, nil
}

// noneEnters is why nothing is an answer where layouts fit.
const noneEnters = "boxes fit in beside one another, but in no such layout can all of them be put in by straight moves and a tool reach every post"

// judge has the pack's own judge look at a candidate. A disagreement is a defect of
// this program, never an answer. A thousandth of a micrometre would do on paper; a whole one leaves
// room for rounding in large openings, and no mistake worth the name is that small.
func (r *run) judge(c candidate) (Found, error) {
	l := r.m.Layout(c.spots)
	report := pack.Check(r.m.Problem, l)
	if len(report.Faults) > 0 || math.Abs(report.Spare-c.spare) > 1e-6 {
		return Found{}, fmt.Errorf("search: the judge says %.7f mm to spare with %d faults where the search has %.7f mm; please report this with both files",
			report.Spare, len(report.Faults), c.spare)
	}
	f := Found{Layout: l, Report: report}
	if report.Spare < 0 {
		return f, nil
	}
	var err error
	f.Entry, err = r.entry(l, c.entry == yes)
	return f, err
}

// addBarred adds the best layout of all where it is no answer. It tells the builder what more there
// would be with a wider way in. Not where that is told already, or time is up.
func (r *run) addBarred(res *Result) error {
	if r.stranded || r.m.Ended() && r.m.Pairs() > model.Many || r.any.spare() <= r.pool.spare()+Closed {
		return nil
	}
	f, err := r.judge(r.any.best[0])
	if err == nil && !f.Entry.Holds() && !f.Entry.Unknown {
		res.Barred = &f
	}
	return err
}
