package main

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/spf13/pflag"

	"rackwright/export"
	"rackwright/export/answer"
	"rackwright/export/block"
	"rackwright/export/card"
	"rackwright/export/drawing"
	"rackwright/export/mockup"
	"rackwright/pack"
	"rackwright/pack/whatif"
)

// mockFlags are the options of mock.
type mockFlags struct {
	out, board, form, paper, sheet string
	scale, bed                     string
	shell, play                    float64
	force, quiet                   bool
}

func mockCommand() command {
	return command{
		name: "mock", args: "FRAME PACK [LAYOUT]", least: 2, most: 3,
		summary: "make card templates, gauges and printable blocks to hold against the frame",
		example: "rackwright mock bike.frame.yaml bike.pack.yaml mock-ups/layout-1.yaml --board C --paper a4",
		flags: func(set *pflag.FlagSet) func(context.Context, streams, []string) (int, error) {
			var f mockFlags
			set.StringVar(&f.out, "out", "templates", "`folder` to write to")
			set.BoolVar(&f.force, "force", false, "replace files that are in the folder already")
			set.StringVar(&f.form, "form", "pdf,svg,stl", "`forms` of the files: some of pdf, svg, dxf, stl, 3mf")
			set.StringVar(&f.board, "board", "C", "`card`: thickness in mm, 0 for paper, or E, B, C, A, BC")
			set.StringVar(&f.paper, "paper", "a4", "`paper` to print tiles on: a4, a3, letter, tabloid or none")
			set.StringVar(&f.sheet, "sheet", "", "lay the templates out on sheets of card of this `size` in mm, such as 1200x800")
			set.StringVar(&f.scale, "scale", "1:1", "`scale` of printed blocks, such as 1:4")
			set.Float64Var(&f.shell, "shell", 0, "print shells open at the bottom with walls of this many `mm`, 0 for solids")
			set.StringVar(&f.bed, "bed", "", "`size` of the printer in mm, such as 220x220x250: what is larger comes in pieces with pegs")
			set.Float64Var(&f.play, "play", 0.2, "play in `mm` between pegs and their sockets")
			set.BoolVar(&f.quiet, "quiet", false, "print nothing but errors")
			return f.run
		},
	}
}

func (f *mockFlags) run(ctx context.Context, s streams, args []string) (int, error) {
	settings, err := f.settings()
	if err != nil {
		return exitUsage, err
	}
	p, err := problem(ctx, args[0], args[1])
	if err != nil {
		return exitUsage, err
	}
	var warnings []string
	if len(args) == 3 {
		if warnings, err = withLayout(ctx, &settings, p, args[2]); err != nil {
			return exitUsage, err
		}
	}
	made, err := f.make(ctx, p, settings)
	if err != nil {
		return exitUsage, err
	}
	warnings = append(answer.Doubts(p), warnings...)
	made.Notes = append(append(warnings, answer.Crossing(p.Frame)...), made.Notes...)
	if err := writeAll(f.out, made.Files, f.force); err != nil {
		return exitUsage, err
	}
	if !f.quiet {
		if stale := notOfThisRun(f.out, made.Files); len(stale) > 0 {
			made.Notes = append(made.Notes, answer.Stale+":\n  "+strings.Join(answer.Listed("", stale), "\n  "))
		}
		if err := tellMade(s, f.out, made); err != nil {
			return exitUsage, fmt.Errorf("the answer could not be printed: %w", err)
		}
	}
	return exitFits, nil
}

// make makes the files, which a signal ends.
func (f *mockFlags) make(ctx context.Context, p pack.Problem, settings mockup.Settings) (mockup.Result, error) {
	type made struct {
		mockup.Result
		err error
	}
	m, ok := within(ctx, overdueLook, func() (m made) {
		m.Result, m.err = mockup.Make(p, settings)
		return m
	})
	if !ok {
		return mockup.Result{}, errStopped
	}
	if m.err != nil {
		return mockup.Result{}, m.err
	}
	var err error
	m.Files, err = madeBefore(ctx, m.Files...)
	return m.Result, err
}

func (f *mockFlags) settings() (mockup.Settings, error) {
	var s mockup.Settings
	var err error
	if s.Forms, err = mockup.ParseForms(f.form); err != nil {
		return s, err
	}
	if s.Board, err = card.ParseBoard(f.board); err != nil {
		return s, err
	}
	if !strings.EqualFold(f.paper, "none") {
		paper, err := drawing.ParsePaper(f.paper)
		if err != nil {
			return s, fmt.Errorf("%w, or none", err)
		}
		s.Paper = &paper
	}
	if f.sheet != "" {
		size, err := sizeOf("--sheet", f.sheet, 2)
		if err != nil {
			return s, err
		}
		s.Sheet = r2.Point{X: size[0], Y: size[1]}
	}
	s.Print, err = f.print()
	return s, err
}

// print reads how blocks are printed.
func (f *mockFlags) print() (block.Print, error) {
	p := block.Print{Shell: f.shell, Play: f.play}
	var err error
	if p.Scale, err = scaleOf(f.scale); err != nil {
		return p, err
	}
	if f.shell != 0 && !(f.shell >= minShell && f.shell <= maxShell) {
		return p, fmt.Errorf("--shell is 0 for solids, or from %g to %d mm", minShell, maxShell)
	}
	if !(f.play >= 0 && f.play <= maxPlay) {
		return p, fmt.Errorf("--play is from 0 to %d mm", maxPlay)
	}
	if f.bed != "" {
		size, err := sizeOf("--bed", f.bed, 3)
		if err != nil {
			return p, err
		}
		p.Bed = r3.Vector{X: size[0], Y: size[1], Z: size[2]}
	}
	return p, nil
}

// scaleOf reads a scale such as 1:4.
func scaleOf(text string) (float64, error) {
	var one, many float64
	var rest string
	n, _ := fmt.Sscanf(text+" .", "%g:%g %s", &one, &many, &rest)
	if scale := one / many; n == 3 && rest == "." && one > 0 && many > 0 && scale <= 1 && scale >= 0.01 {
		return scale, nil
	}
	return 0, fmt.Errorf("--scale is from 1:1 to 1:100, such as 1:4, not %q", text)
}

// The thinnest and the thickest walls, and the most play, in millimetres. Nozzles of 0.2 mm are
// about the finest (common practice).
const (
	minShell = 0.2
	maxShell = 50
	maxPlay  = 2
)

// Limits of a size in millimetres on the command line.
const (
	minSize = 10
	maxSize = 10000
)

// sizeOf reads a size such as 1200x800.
func sizeOf(option, text string, numbers int) ([]float64, error) {
	words := strings.Split(text, "x")
	list := make([]float64, len(words))
	ok := len(words) == numbers
	for i, w := range words {
		var rest string
		n, _ := fmt.Sscanf(w+" .", "%g %s", &list[i], &rest)
		ok = ok && n == 2 && rest == "." && list[i] >= minSize && list[i] <= maxSize
	}
	if !ok {
		return nil, fmt.Errorf("%s is %d lengths from %d to %d mm with x between them, not %q", option, numbers, minSize, maxSize, text)
	}
	return list, nil
}

// withLayout reads a layout and returns what there is to say against it. It is an error
// when it is not one of these boxes; that boxes stand too near to something is only said,
// for a mock-up shows just that.
func withLayout(ctx context.Context, s *mockup.Settings, p pack.Problem, path string) (warnings []string, err error) {
	file, err := readLayout(ctx, path)
	if err != nil {
		return nil, err
	}
	report := pack.Check(p, file.Layout)
	if len(report.Faults) > 0 {
		return nil, fmt.Errorf("this is no layout of these boxes; rackwright check tells more:\n%w", faulty(ctx, path, report.Faults[0]))
	}
	for _, w := range report.Warnings {
		warnings = append(warnings, "Note: "+w.Text)
	}
	if report.Spare < 0 {
		short := answer.SpareWords(report.Spare, p.Pack.Unit)
		if c, ok := whatif.Taken(ctx, p, file.Layout, whatif.Settings{}); ok {
			s.Taken = &c
			warnings = append(warnings, fmt.Sprintf("The layout is %s as the frame is, and holds with %s changed as the frame file allows. rackwright check tells how.", short, strings.Join(c.Names(), " and ")))
		} else {
			warnings = append(warnings, fmt.Sprintf("The layout does not hold: it is %s. rackwright check tells where.", short))
		}
	}
	s.Layout, s.Order = &file.Layout, file.Order
	s.Name = export.Printable(strings.TrimSuffix(filepath.Base(path), filepath.Ext(path)))
	return warnings, nil
}

// tellMade prints what was written and what there is to say of it.
func tellMade(s streams, dir string, made mockup.Result) error {
	var b strings.Builder
	var names []string
	for _, f := range made.Files {
		names = append(names, f.Name)
	}
	fmt.Fprintf(&b, "Written to the folder %q:\n  %s\n", dir, strings.Join(answer.Listed("", names), "\n  "))
	for _, n := range made.Notes {
		fmt.Fprintf(&b, "\n%s\n", n)
	}
	_, err := fmt.Fprint(s.out, b.String())
	return err
}
