package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/pflag"

	"rackwright/export"
	"rackwright/export/drawing"
	"rackwright/export/layoutfile"
	"rackwright/export/rackplan"
	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/design"
	"rackwright/pack/rack/judge"
)

func rackCommand() command {
	return command{
		name: "rack", args: "FRAME PACK LAYOUT", least: 3, most: 3,
		summary: "design the rack that holds the boxes of a layout, with drawings, cut list and parts list",
		example: "rackwright rack bike.frame.yaml bike.pack.yaml mock-ups/layout-1.yaml --out rack",
		flags: func(set *pflag.FlagSet) func(context.Context, streams, []string) (int, error) {
			var f rackFlags
			set.StringVar(&f.out, "out", "", "`folder` to write the rack file and drawings to")
			set.StringVar(&f.joints, "joints", "bolt", "how bars of a tray are put together: `bolt or weld`")
			set.Float64Var(&f.hold, "hold", 0, "`g` to hold in all six directions; 0: what the published rules for boats and lorries ask")
			set.StringVar(&f.stock, "stock", "", "`file` with the sections and rods on hand")
			set.DurationVar(&f.time, "time", 0, "most `time` that the design takes, such as 30s; 0: as long as so many tries take")
			set.StringVar(&f.paper, "paper", "a4", "`paper` for the sheets: a4, a3, letter or tabloid")
			set.StringVar(&f.scale, "scale", "1:4", "`scale` of the rack as solids to print, such as 1:4")
			set.BoolVar(&f.force, "force", false, "replace files that are there already")
			set.BoolVar(&f.json, "json", false, "print one JSON object")
			return f.run
		},
	}
}

// rackFlags are the options of rack.
type rackFlags struct {
	out, joints, stock, paper, scale string
	hold                             float64
	time                             time.Duration
	force, json                      bool
}

func (f *rackFlags) run(ctx context.Context, s streams, args []string) (int, error) {
	p, err := problem(ctx, args[0], args[1])
	if err != nil {
		return exitUsage, err
	}
	file, err := readLayout(ctx, args[2])
	if err != nil {
		return exitUsage, err
	}
	settings, err := f.settings(ctx)
	if err != nil {
		return exitUsage, err
	}
	if f.time < 0 {
		return exitUsage, errors.New("--time cannot be negative")
	}
	if f.hold < 0 || f.hold > 50 {
		return exitUsage, fmt.Errorf("--hold is from 0 to 50 g, not %g", f.hold)
	}
	paper, err := drawing.ParsePaper(f.paper)
	if err != nil {
		return exitUsage, err
	}
	if _, err := scaleOf(f.scale); err != nil {
		return exitUsage, err
	}
	if f.out != "" && !f.force { // told before the design, which takes its time
		if err := refuseExisting(f.out, []export.File{{Name: "rack.yaml"}}); err != nil {
			return exitUsage, err
		}
	}
	was := p.Frame
	p, off := concededFor(ctx, p, file.Layout)
	if _, err := rack.Mounts(p, file.Layout); err != nil {
		return exitUsage, mountPlaces(args[0], err)
	}
	if f.time > 0 {
		limited, stop := context.WithTimeout(ctx, f.time)
		defer stop()
		ctx = limited
	}
	type designed struct {
		rackplan.Answer
		err error
	}
	d, ok := within(ctx, overdueAdvice, func() (d designed) {
		d.Answer, d.err = f.designed(ctx, p, file, settings)
		if d.err != nil {
			return d
		}
		d.Removals = rackplan.Removals(was, off, p, file.Layout, d.Rack)
		joined(ctx, &d.Answer, file)
		return d
	})
	switch {
	case errors.Is(ctx.Err(), context.DeadlineExceeded) && (!ok || d.err == nil && d.Rack == nil):
		return exitUnknown, errors.New("no rack was found in the time there was; --time allows more")
	case !ok:
		return exitUnknown, errStopped
	case d.err != nil:
		return exitUsage, d.err
	}
	return f.tell(s, d.Answer, paper)
}

// designed is a rack for a layout, judged.
func (f *rackFlags) designed(ctx context.Context, p pack.Problem, file layoutfile.File, settings design.Settings) (rackplan.Answer, error) {
	a := rackplan.Answer{Problem: p, Layout: file.Layout}
	result, err := design.New(ctx, p, file.Layout, settings, func(r *rack.Rack, loads bool) design.Verdict {
		return verdictOf(p, file.Layout, r, judge.Settings{Hold: f.hold, NoLoads: !loads, Briefly: true})
	})
	if err != nil {
		return a, err
	}
	a.Rack, a.Why = result.Rack, result.Why
	if a.Rack != nil {
		if a.Report, err = judge.Judge(p, file.Layout, a.Rack, judge.Settings{Hold: f.hold}); err != nil {
			return a, err
		}
		refuse(&a)
	}
	return a, nil
}

// refuse takes back a rack that breaks a rule other than that it holds less than is aimed at:
// nobody is to build it. What the designer said of it is why, else its violations.
func refuse(a *rackplan.Answer) {
	var why []string
	for _, v := range a.Report.Violations {
		if v.Unit != "g" {
			why = append(why, v.Text)
		}
	}
	if len(why) > 0 {
		if len(a.Why) > 0 { // the designer says more of a rack that has no room
			why = a.Why
		}
		a.Rack, a.Report, a.Why = nil, judge.Report{}, why[:min(len(why), 8)]
	}
}

// tell writes the files and prints the answer.
func (f *rackFlags) tell(s streams, a rackplan.Answer, paper drawing.Paper) (int, error) {
	if f.out != "" && a.Rack != nil {
		scale, err := scaleOf(f.scale)
		if err != nil {
			return exitUsage, err
		}
		files, err := rackplan.Files(a, paper, scale)
		if err != nil {
			return exitUsage, err
		}
		if err := writeAll(f.out, files, f.force); err != nil {
			return exitUsage, err
		}
	}
	write := rackplan.Write
	if f.json {
		write = rackplan.WriteJSON
	}
	if err := write(s.out, a); err != nil {
		return exitUsage, fmt.Errorf("the answer could not be printed: %w", err)
	}
	if a.Rack != nil && a.Report.Sound() {
		return exitFits, nil
	}
	return exitNoFit, nil
}

// verdictOf is what the judge of racks says, for the designer.
func verdictOf(p pack.Problem, l pack.Layout, r *rack.Rack, settings judge.Settings) design.Verdict {
	report, err := judge.Judge(p, l, r, settings)
	if err != nil {
		return design.Verdict{Violations: 1, Words: []string{err.Error()}}
	}
	v := design.Verdict{Violations: len(report.Violations)}
	for _, x := range report.Violations {
		v.Off += x.By
		v.Words = append(v.Words, x.Text)
		if x.Unit == "g" {
			v.Weak = append(v.Weak, x.Parts...)
		}
	}
	return v
}

func (f *rackFlags) settings(ctx context.Context) (design.Settings, error) {
	s := design.Settings{Joints: rack.Joints(f.joints)}
	if s.Joints != rack.Bolted && s.Joints != rack.Welded {
		return s, fmt.Errorf("--joints is bolt or weld, not %q", f.joints)
	}
	var err error
	s.Stock, err = readStock(ctx, f.stock)
	return s, err
}

// readStock is the stock of a file, or the default one where there is none.
func readStock(ctx context.Context, path string) (rack.Stock, error) {
	if path == "" {
		return rack.DefaultStock(), nil
	}
	return fileOf(ctx, path, rack.ReadStock)
}
