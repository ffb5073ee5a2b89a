package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"sync/atomic"
	"time"

	"github.com/spf13/pflag"

	"rackwright/export"
	"rackwright/export/answer"
	"rackwright/export/layoutfile"
	"rackwright/export/view"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/search"
)

// fitFlags are the options of fit.
type fitFlags struct {
	time    time.Duration
	timed   bool // whether --time is given
	layouts int
	seed    uint64
	out     string
	force   bool
	json    bool
	quiet   bool
	try     bool
	sweep   string
	proof   string
	prefer  []string
	levels  int
	stand   *search.Stand
	keep    string
	pin     string
	forRack bool
	limit   time.Time // of the last search
	views   []string
	others  []view.Direction // of views
	dateFlag
	entryFlags
}

func fitCommand() command {
	return command{
		name: "fit", args: "FRAME PACK", least: 2, most: 2,
		summary: "search for layouts and say what is to spare",
		example: "rackwright fit bike.frame.yaml bike.pack.yaml --out mock-ups",
		flags: func(set *pflag.FlagSet) func(context.Context, streams, []string) (int, error) {
			var f fitFlags
			set.DurationVar(&f.time, "time", 10*time.Second, "most `time` that the search takes, such as 30s or 2m; the worst case, or what would make it fit, is looked into for at most half as long after that")
			set.IntVar(&f.layouts, "layouts", 3, "`number` of different layouts to offer")
			set.Uint64Var(&f.seed, "seed", 1, "`start` of the search's random numbers: another one may find another layout")
			set.StringVar(&f.out, "out", "", "`folder` to write the page, layouts, drawings and templates to")
			set.BoolVar(&f.force, "force", false, "replace files that are in the folder already")
			set.BoolVar(&f.try, "try", false, "try changes of the pack too: a box fewer, gaps at their floor, other stands and tilts; each takes up to a quarter of --time more")
			set.StringVar(&f.sweep, "sweep", "", "search at each of several values of one number of either file, in `words` such as 'boxes.battery.size.H 160..180 step 2'; each may take --time")
			set.IntVar(&f.levels, "levels", 0, "`number` of levels that boxes are to stand on; 0 for what is easiest to build")
			set.StringVar(&f.keep, "keep", "", "`length` to spare that a layout to be built keeps everywhere, such as 5 mm; by default what makes it sure")
			set.StringVar(&f.pin, "pin", "", "`layout` file whose boxes with pinned: true stay where they are")
			set.BoolVar(&f.forRack, "rack", false, "keep the room that a rack takes: beside and under boxes, at walls, and at mounts; looks for a rack too, first among rows of boxes for so many tries, or for as long as a --time that is given")
			f.addViews(set)
			f.dateFlag.add(set)
			f.entryFlags.add(set)
			set.StringSliceVar(&f.prefer, "prefer", preferenceWords(search.Preferences()), "`order` of what decides between layouts with the same to spare, first to last; balance and wiring too are had by naming them")
			set.StringVar(&f.proof, "proof", "", "`file` to write the proof to, where it is proven that nothing fits; takes up to as much time again")
			set.BoolVar(&f.json, "json", false, "print one JSON object instead of words")
			set.BoolVar(&f.quiet, "quiet", false, "print no words but errors; --json is printed all the same")
			return func(ctx context.Context, s streams, args []string) (int, error) {
				f.timed = set.Changed("time")
				return f.run(ctx, s, args)
			}
		},
	}
}

// addViews adds the flag for views beside those that are always drawn.
func (f *fitFlags) addViews(set *pflag.FlagSet) {
	set.StringSliceVar(&f.views, "views", nil, "draw more `views`: left, rear, underneath, beside those from the right, the front and the top")
}

// maxLayouts is how many layouts one run may offer.
const maxLayouts = 20

func (f *fitFlags) run(ctx context.Context, s streams, args []string) (int, error) {
	if f.layouts < 1 || f.layouts > maxLayouts {
		return exitUsage, fmt.Errorf("--layouts is from 1 to %d", maxLayouts)
	}
	if f.time < 0 {
		return exitUsage, fmt.Errorf("--time cannot be negative")
	}
	tool, err := f.settings()
	if err != nil {
		return exitUsage, err
	}
	if f.others, err = view.ReadOthers(f.views); err != nil {
		return exitUsage, fmt.Errorf("--views: %w", err)
	}
	prefer, err := preferences(f.prefer)
	if err != nil {
		return exitUsage, err
	}
	if f.sweep != "" && f.proof != "" {
		return exitUsage, fmt.Errorf("--proof is for one problem, not for a --sweep")
	}
	if f.sweep != "" && f.try {
		return exitUsage, fmt.Errorf("--try is for one problem, not for a --sweep")
	}
	if f.sweep != "" {
		return f.runSweep(ctx, s, args, tool)
	}
	p, err := problem(ctx, args[0], args[1])
	if err != nil {
		return exitUsage, err
	}
	if p, err = f.pinned(ctx, p); err != nil {
		return exitUsage, err
	}
	if f.stand, err = f.standing(p.Pack.Unit); err != nil {
		return exitUsage, err
	}
	if err := errors.Join(f.refuseProof(), f.refusePage(), f.hidden(p, args[1], tool)); err != nil {
		return exitUsage, err
	}
	in, err := f.asked(ctx, s, p, tool, prefer)
	if err != nil {
		return exitUsage, err
	}
	if err := f.advise(ctx, s, &in, tool); err != nil {
		return exitUsage, err
	}
	var unwritten error
	if f.out != "" {
		unwritten = f.write(ctx, &in)
	}
	if f.proof != "" {
		written, err := f.writeProof(ctx, s, p, in.Result)
		in.Written, unwritten = append(in.Written, written...), errors.Join(unwritten, err)
	}
	// What the search has found is told even where its files cannot be written.
	if err := f.print(s.out, in); err != nil {
		unwritten = errors.Join(unwritten, fmt.Errorf("the answer could not be printed: %w", err))
	}
	if unwritten != nil {
		return exitUsage, unwritten
	}
	return statusOf(in.Result), nil
}

func (f *fitFlags) search(ctx context.Context, s streams, p pack.Problem, tool entry.Settings, prefer []search.Preference) (search.Result, error) {
	f.limit = time.Now().Add(f.time)
	limited, cancel := context.WithDeadline(ctx, f.limit)
	defer cancel()
	line := newProgress(s, f.quiet)
	line.unit = p.Pack.Unit
	defer line.clear()
	type found struct {
		result search.Result
		err    error
	}
	var last atomic.Pointer[search.Progress]
	done, ok := within(limited, overdueSearch, func() (d found) {
		d.result, d.err = search.Fit(limited, p, search.Settings{
			Layouts: f.layouts, Seed: f.seed, Stand: f.stand, AnyEntry: f.any(), Tool: tool, Prefer: prefer, Progress: func(now search.Progress) {
				last.Store(&now)
				line.show(now)
			},
		})
		return d
	})
	if ok {
		return done.result, done.err
	}
	r := search.Result{Stopped: search.Time, Bound: math.Inf(1), AnyEntry: f.any()}
	if ctx.Err() != nil {
		r.Stopped = search.Interrupted
	}
	if now := last.Load(); now != nil {
		f.soFar(ctx, p, tool, *now, &r)
	}
	r.Decide()
	return r, nil
}

// soFar puts into a result what a search had that did not end in time.
func (f *fitFlags) soFar(ctx context.Context, p pack.Problem, tool entry.Settings, now search.Progress, r *search.Result) {
	r.Bound, r.Entering = now.Bound, now.Entering
	if now.Layout == nil {
		return
	}
	found := search.Found{Layout: *now.Layout, Report: pack.Check(p, *now.Layout)}
	if found.Report.Holds() && !f.any() {
		found.Entry = f.entryOf(ctx, p, found.Layout, tool)
	}
	r.Layouts = []search.Found{found}
}

// entryOf is how a layout goes in, unknown where that is not found out at once.
func (f *fitFlags) entryOf(ctx context.Context, p pack.Problem, l pack.Layout, tool entry.Settings) entry.Answer {
	limited, cancel := context.WithTimeout(ctx, overdueEntry)
	defer cancel()
	planned, ok := within(limited, overdueEntry/2, func() entry.Answer {
		a, err := entry.Plan(limited, p, l, tool)
		if err != nil { // which is that the time is up: the search has planned it before
			return entry.Answer{Unknown: true}
		}
		return a
	})
	if !ok {
		return entry.Answer{Unknown: true}
	}
	return planned
}

func (f *fitFlags) print(w io.Writer, in answer.Input) error {
	switch {
	case f.json:
		return answer.WriteJSON(w, in)
	case f.quiet:
		return nil
	}
	return answer.Write(w, in)
}

// write writes what follows from the result to the output folder, and puts the paths into the
// answer. Layouts are always written. What else is not made in time is left out, which is told; the page
// comes last, for it says what else there is.
func (f *fitFlags) write(ctx context.Context, in *answer.Input) error {
	now, stop := context.WithCancel(ctx)
	stop()      // nothing is left of the limit
	told := *in // for what is left to itself reads it still
	outputs, _, err := making(context.WithoutCancel(ctx), func() ([]export.File, error) { return layoutFiles(told), nil })
	if err != nil {
		return err
	}
	more, all, err := making(outlasting(now, filesWhile(f.time)), fitFiles(told, f.others)...)
	if err != nil {
		return err
	}
	outputs = append(outputs, more...)
	paths := []string{filepath.Join(f.out, reportName)}
	for _, o := range outputs {
		paths = append(paths, filepath.Join(f.out, o.Name))
	}
	limited, end := context.WithTimeout(ctx, overduePage) // of what is found out for the page alone
	defer end()
	pages, paged, err := making(outlasting(now, filesWhile(f.time)), func() ([]export.File, error) {
		report := resultPage(limited, told)
		report.Date, report.Written, report.Views = f.shown(), paths, f.others
		return []export.File{pageFile(report)}, nil
	})
	if err != nil {
		return err
	}
	written := paths
	if !paged {
		written = paths[1:]
	}
	if err := writeAll(f.out, append(pages, outputs...), f.force); err != nil {
		return err
	}
	in.Written, in.Unmade = written, !all || !paged
	for _, name := range notOfThisRun(f.out, outputs) {
		in.Stale = append(in.Stale, filepath.Join(f.out, name))
	}
	return nil
}

// layoutFiles are the layouts of a result.
func layoutFiles(in answer.Input) []export.File {
	var files []export.File
	for i, l := range in.Result.Layouts {
		files = append(files, export.File{Name: fmt.Sprintf("layout-%d.yaml", i+1), Write: func(w io.Writer) error {
			return layoutfile.Write(w, layoutfile.File{Layout: l.Layout, Order: l.Entry.Order})
		}})
	}
	return files
}

// fitFiles make the files beside layouts and the page, what is wanted first at first.
func fitFiles(in answer.Input, others []view.Direction) []maker {
	easings := func() ([]export.File, error) { return easingFiles(in), nil }
	return append([]maker{easings, func() ([]export.File, error) { return concessionFiles(in, others) }}, mockups(in, others)...)
}

func statusOf(r search.Result) int {
	switch {
	case r.Verdict.Fits():
		return exitFits
	case r.Verdict == pack.ProvenNoFit:
		return exitNoFit
	}
	return exitUnknown
}

// progress is a line on the terminal that is written over and over.
type progress struct {
	w     io.Writer
	on    bool
	shown bool
	last  time.Time
	unit  geom.Unit
}

func newProgress(s streams, quiet bool) *progress {
	return &progress{w: s.err, on: s.terminal && !quiet && os.Getenv("TERM") != "dumb"}
}

// redraw is how often the line changes at most.
const redraw = 100 * time.Millisecond

func (p *progress) show(now search.Progress) {
	if !p.on || time.Since(p.last) < redraw {
		return
	}
	p.last, p.shown = time.Now(), true
	fmt.Fprintf(p.w, "\r\x1b[K%s: %s", now.Note, spareAndBound(now, p.unit))
}

func spareAndBound(now search.Progress, unit geom.Unit) string {
	text := "nothing placed yet"
	if !math.IsInf(now.Spare, 0) {
		text = "best so far " + answer.SpareWords(now.Spare, unit)
	}
	switch {
	case math.IsInf(now.Bound, 0):
	case now.Bound < 0:
		text += ", every layout is short"
	default:
		text += fmt.Sprintf(", at most %s to spare is possible", geom.FormatLengthRounded(now.Bound, unit, geom.ToMore))
	}
	return text
}

func (p *progress) clear() {
	if p.shown {
		fmt.Fprint(p.w, "\r\x1b[K")
	}
}
