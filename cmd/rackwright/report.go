package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"rackwright/export"
	"rackwright/export/answer"
	"rackwright/export/inspection"
	"rackwright/export/page"
	"rackwright/export/view"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/outcome"
	"rackwright/pack/whatif"
)

// reportName is the name of the page in an output folder.
const reportName = "report.html"

func reportCommand() command {
	return command{
		name: "report", args: "FRAME PACK [LAYOUT...]", least: 2, most: 2 + maxLayouts,
		summary: "write one page with pictures to open in a browser",
		example: "rackwright report bike.frame.yaml bike.pack.yaml mock-ups/layout-1.yaml --out pictures",
		flags: func(set *pflag.FlagSet) func(context.Context, streams, []string) (int, error) {
			f := reportFlags{fitFlags: fitFlags{time: 10 * time.Second, layouts: 3, seed: 1}}
			set.DurationVar(&f.time, "time", f.time, "most `time` that the search takes, where no layout is given; what follows from it takes up to half as long")
			set.StringVar(&f.out, "out", ".", "`folder` to write "+reportName+" to")
			set.BoolVar(&f.force, "force", false, "replace the page that is in the folder already")
			set.StringSliceVar(&f.cut, "cut", nil, "`heights` of level cuts in mm above the floor, such as 40,160; through the boxes by default")
			set.StringVar(&f.stock, "stock", "", "`file` of the stock that the rack's metal is bought from, instead of the lengths in the rack file")
			set.StringVar(&f.rack, "rack", "", "`file` of the rack of the one layout that is given, as rack writes it; cables go round it")
			set.BoolVar(&f.inspection, "inspection", false, "add one sheet for the inspection to the page, and write it as PDF for A4 and letter: what is known of the layout that the page opens on, blanks for the rest")
			f.addViews(set)
			f.dateFlag.add(set)
			f.entryFlags.add(set)
			set.BoolVar(&f.quiet, "quiet", false, "print nothing but errors")
			return f.report
		},
	}
}

// reportFlags are the options of report.
type reportFlags struct {
	fitFlags
	cut        []string
	rack       string
	stock      string
	inspection bool
}

// heights reads the heights of level cuts.
func (f *reportFlags) heights() ([]float64, error) {
	var all []float64
	for _, text := range f.cut {
		mm, err := geom.ParseLength(text, geom.Millimetre)
		if err != nil {
			return nil, fmt.Errorf("--cut is heights in mm such as 40,160, not %q", strings.Join(f.cut, ","))
		}
		all = append(all, mm)
	}
	return all, nil
}

// dateFlag is the date that a page bears.
type dateFlag struct{ date string }

func (f *dateFlag) add(set *pflag.FlagSet) {
	set.StringVar(&f.date, "date", today, "`date` to print on the page")
}

// today stands for the date on which the program runs.
const today = "today"

// shown is the date as it stands on the page.
func (f *dateFlag) shown() string {
	if f.date == today {
		return time.Now().Format(time.DateOnly)
	}
	return f.date
}

func (f *reportFlags) report(ctx context.Context, s streams, args []string) (int, error) {
	settings, err := f.settings()
	if err != nil {
		return exitUsage, err
	}
	cuts, err := f.heights()
	if err != nil {
		return exitUsage, err
	}
	if f.others, err = view.ReadOthers(f.views); err != nil {
		return exitUsage, fmt.Errorf("--views: %w", err)
	}
	if f.rack != "" && len(args) != 3 {
		return exitUsage, errors.New("--rack is the rack of one layout: give one layout file, after the frame and the pack")
	}
	if f.stock != "" && f.rack == "" {
		return exitUsage, errStockAlone
	}
	p, err := problem(ctx, args[0], args[1])
	if err != nil {
		return exitUsage, err
	}
	if err := f.refusePage(); err != nil {
		return exitUsage, err
	}
	var in page.Input
	var status int
	if len(args) == 2 {
		if err := f.hidden(p, args[1], settings); err != nil {
			return exitUsage, err
		}
		in, status, err = f.found(ctx, s, p, settings)
	} else {
		in, status, err = f.given(ctx, p, args[2:], settings)
	}
	if err != nil {
		return exitUsage, mountPlaces(args[0], err)
	}
	in.Problem, in.Date, in.Cuts, in.Views = p, f.shown(), cuts, f.others
	sheets, err := f.inspected(ctx, &in)
	if err != nil {
		return exitUsage, err
	}
	files, err := madeBefore(ctx, append([]export.File{pageFile(in)}, sheets...)...)
	if errors.Is(err, errStopped) { // what is known is told without the page
		for _, line := range in.Verdict(p.Pack.Unit) {
			fmt.Fprintln(s.out, line)
		}
		return exitUnknown, errors.New("stopped before the page was made; nothing was written")
	}
	if err != nil {
		return exitUsage, err
	}
	if err := writeAll(f.out, files, f.force); err != nil {
		return exitUsage, err
	}
	if !f.quiet {
		for _, line := range in.Verdict(p.Pack.Unit)[:max(1, len(args)-2)] { // of a search, or of each layout
			fmt.Fprintln(s.out, line)
		}
		fmt.Fprintf(s.out, "Open in a browser: %q\n", filepath.Join(f.out, reportName))
		for _, sheet := range sheets {
			fmt.Fprintf(s.out, "For the inspection: %q\n", filepath.Join(f.out, sheet.Name))
		}
	}
	return status, nil
}

// inspected adds the sheet for the inspection to the page where it is asked for, and returns it on
// paper: of the layout that the page opens on, if there is one.
//
// Where there was no time to find ways for cables round a rack, its electricity is that of cables
// without one: volts and fuse are the same.
func (f *reportFlags) inspected(ctx context.Context, in *page.Input) ([]export.File, error) {
	if !f.inspection {
		return nil, nil
	}
	sheet := inspection.Input{Problem: in.Problem, Date: in.Date}
	if len(in.Layouts) > 0 {
		l := in.Layouts[in.Open]
		if bare := l; l.Wiring == nil && l.Rack != nil {
			bare.Rack = nil
			wired(ctx, mostWiringGiven, l.Framed(in.Problem), &bare)
			l.Wiring = bare.Wiring
		}
		sheet.Problem, sheet.Layout, sheet.Name, sheet.Rack, sheet.Wiring = l.Framed(in.Problem), &l.Layout, l.Name, l.Rack, l.Wiring
	}
	in.Inspection = &sheet
	return inspection.Files(sheet, in.Problem.Pack.Unit)
}

// refusePage is an error where the page may not be written: it is told before the search.
func (f *fitFlags) refusePage() error {
	if f.out == "" || f.force {
		return nil
	}
	return refuseExisting(f.out, []export.File{{Name: reportName}})
}

func pageFile(in page.Input) export.File {
	return export.File{Name: reportName, Write: func(w io.Writer) error { return page.Write(w, in) }}
}

// found is the page of a search.
func (f *reportFlags) found(ctx context.Context, s streams, p pack.Problem, settings entry.Settings) (page.Input, int, error) {
	result, err := f.search(ctx, s, p, settings, nil)
	if err != nil {
		return page.Input{}, exitUsage, err
	}
	in := answer.Input{Problem: p, Result: result}
	if err := f.advise(ctx, s, &in, settings); err != nil {
		return page.Input{}, exitUsage, err
	}
	return resultPage(ctx, in), statusOf(in.Result), nil
}

// resultPage is the page of what a search has found.
func resultPage(ctx context.Context, in answer.Input) page.Input {
	out := page.Input{
		Problem: in.Problem,
		Verdict: func(u geom.Unit) []string { return answer.VerdictLines(in, u) },
		Advice:  func(u geom.Unit) []answer.Part { return answer.Advice(in, u) },
	}
	out.Open = max(in.Result.Easiest(), 0)
	for i, l := range in.Result.Layouts {
		one := page.Layout{Judged: l, Name: layoutName(i, l)}
		if l.Entry.GoesIn {
			one.Undo, _ = undos(ctx, in.Problem, l.Layout) // without it after an interrupt
		}
		wired(ctx, mostWiring, in.Problem, &one)
		out.Layouts = append(out.Layouts, one)
	}
	for i, c := range concessions(in) {
		one := page.Layout{Judged: c.Found, Name: fmt.Sprintf("Concession %d", i+1), Concession: &c}
		if c.Entry.GoesIn {
			one.Undo, _ = undos(ctx, conceded(in.Problem, c), c.Layout)
		}
		wired(ctx, mostWiring, conceded(in.Problem, c), &one)
		out.Layouts = append(out.Layouts, one)
	}
	return out
}

// layoutName is what a layout is called on the page: its number, and why it is offered.
func layoutName(i int, l outcome.Found) string {
	name := fmt.Sprintf("Layout %d", i+1)
	if len(l.Why) > 0 {
		name += ", " + answer.WhyWords(l.Why)
	}
	return name
}

// take shows a layout that does not hold with the concession with which it would.
func (f *reportFlags) take(ctx context.Context, l *page.Layout, p pack.Problem, settings entry.Settings) {
	if len(l.Report.Faults) > 0 {
		return
	}
	c, ok := whatif.Taken(ctx, p, l.Layout, f.unsearched(settings))
	if !ok {
		return
	}
	l.Concession, l.Judged = &c, c.Found
}

// given is the page of layout files.
func (f *reportFlags) given(ctx context.Context, p pack.Problem, paths []string, settings entry.Settings) (page.Input, int, error) {
	var in page.Input
	var judged []outcome.Given
	status := exitFits
	for _, path := range paths {
		file, err := readLayout(ctx, path)
		if err != nil {
			return in, exitUsage, err
		}
		given := outcome.JudgeMoved(p, file.Layout, f.unsearched(settings).Means(ctx))
		if i := slices.IndexFunc(given.Report.Faults, func(f pack.Fault) bool { return f.Rule == pack.UnknownBox }); i >= 0 {
			return in, exitUsage, fmt.Errorf("a box that is not known cannot be drawn:\n%w", faulty(ctx, path, given.Report.Faults[i]))
		}
		judged = append(judged, given)
		one := page.Layout{Judged: export.Judged{Layout: file.Layout, Report: given.Report}, Name: export.Printable(filepath.Base(path))}
		if one.Report.Holds() && !f.any() {
			e, err := goingIn(ctx, p, file, settings)
			if err != nil {
				return in, exitUsage, err
			}
			one.Entry, one.Undo = e.Answer, e.Undo
			for _, fault := range e.Faults {
				one.Faults = append(one.Faults, "Fault of the order: "+fault.Text)
			}
			if !e.Holds() {
				status = exitNoFit
			}
		}
		if !one.Report.Holds() {
			status = exitNoFit
			f.take(ctx, &one, p, settings)
		}
		if f.rack != "" {
			if one.Rack, err = rackedBy(ctx, f.rack, f.stock, p, one); err != nil {
				return in, exitUsage, err
			}
			if !one.Rack.Report.Sound() {
				status = exitNoFit
			}
		}
		if one.Concession == nil {
			wired(ctx, mostWiringGiven, p, &one)
		}
		if one.Rack != nil {
			one.Rack.Wiring = one.Wiring
		}
		in.Layouts = append(in.Layouts, one)
	}
	in.Verdict = func(u geom.Unit) []string {
		var lines []string
		for i, l := range in.Layouts {
			line := l.Name + ": " + answer.HoldsWords(p, judged[i], u)
			if l.Concession != nil {
				line = l.Name + ": The layout does not hold in the frame as it is. " + answer.TakenWords(*l.Concession, u)
			}
			if len(l.Faults) > 0 || answer.Hindered(l.Entry) != "" {
				line += " But it cannot be put in and connected as it is."
			}
			lines = append(lines, line)
		}
		return lines
	}
	return in, status, nil
}
