package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"rackwright/export/answer"
	"rackwright/export/wiring"
	"rackwright/pack"
	"rackwright/pack/wire"
)

func wireCommand() command {
	return command{
		name: "wire", args: "FRAME PACK LAYOUT", least: 3, most: 3,
		summary: "plan the wiring: order, jumpers, cable, fuse, boots",
		example: "rackwright wire bike.frame.yaml bike.pack.yaml mock-ups/layout-1.yaml --out wiring",
		flags: func(set *pflag.FlagSet) func(context.Context, streams, []string) (int, error) {
			var f wireFlags
			set.StringVar(&f.prefer, "prefer", "least", "`what` to look for: least cable in all, or the shortest longest jumper (longest)")
			set.StringVar(&f.rack, "rack", "", "`file` of a rack, as rack writes it, that the cables go round")
			set.StringVar(&f.out, "out", "", "`folder` to write the plan to, on a sheet to take along")
			set.BoolVar(&f.force, "force", false, "replace files that are in the folder already")
			set.BoolVar(&f.json, "json", false, "print one JSON object")
			set.BoolVar(&f.quiet, "quiet", false, "print nothing but errors, and what was asked for as JSON")
			return f.run
		},
	}
}

// wireFlags are the options of wire.
type wireFlags struct {
	prefer, out, rack  string
	force, json, quiet bool
}

func (f *wireFlags) run(ctx context.Context, s streams, args []string) (int, error) {
	if f.prefer != "least" && f.prefer != "longest" {
		return exitUsage, fmt.Errorf("--prefer is least or longest, not %q", f.prefer)
	}
	p, err := problem(ctx, args[0], args[1])
	if err != nil {
		return exitUsage, err
	}
	file, err := readLayout(ctx, args[2])
	if err != nil {
		return exitUsage, err
	}
	if r := pack.Check(p, file.Layout); len(r.Faults) > 0 {
		return exitUsage, fmt.Errorf("%q is no layout of these files: %s", args[2], r.Faults[0].Text)
	}
	settings, err := f.settings(ctx)
	if err != nil {
		return exitUsage, err
	}
	plan, err := planned(ctx, p, file.Layout, settings)
	if errors.Is(err, errStopped) {
		return exitUnknown, err
	}
	if errors.Is(err, wire.ErrNoWay) {
		return exitNoFit, err
	}
	if err != nil {
		return exitUsage, wiringFaults(args[1], p.Pack, err)
	}
	written, err := f.write(p, file.Layout, plan, filepath.Base(args[2]))
	if err != nil {
		return exitUsage, err
	}
	if f.json {
		err = answer.WriteWiringJSON(s.out, p, plan, written)
	} else if !f.quiet {
		err = answer.WriteWiring(s.out, p, plan, written)
	}
	if err != nil {
		return exitUsage, fmt.Errorf("the answer could not be printed: %w", err)
	}
	return wiringStatus(plan), nil
}

func (f *wireFlags) settings(ctx context.Context) (wire.Settings, error) {
	s := wire.Settings{Longest: f.prefer == "longest"}
	if f.rack == "" {
		return s, nil
	}
	r, err := readRack(ctx, f.rack)
	if err != nil {
		return s, err
	}
	s.Rack = wire.Around(r)
	return s, nil
}

// write writes the sheets, and returns the paths of the files.
func (f *wireFlags) write(p pack.Problem, l pack.Layout, plan wire.Plan, name string) ([]string, error) {
	if f.out == "" {
		return nil, nil
	}
	files, err := wiring.Files(p, l, plan, name)
	if err != nil {
		return nil, err
	}
	var paths []string
	for _, file := range files {
		paths = append(paths, filepath.Join(f.out, file.Name))
	}
	return paths, writeAll(f.out, files, f.force)
}

// planned is the plan of a layout, which a signal ends.
func planned(ctx context.Context, p pack.Problem, l pack.Layout, settings wire.Settings) (wire.Plan, error) {
	type made struct {
		plan wire.Plan
		err  error
	}
	m, ok := within(ctx, overdueLook, func() (m made) {
		m.plan, m.err = wire.Make(p, l, settings)
		return m
	})
	if !ok {
		return wire.Plan{}, errStopped
	}
	return m.plan, m.err
}

// wiringStatus is a no where a cable would have to be bent too sharply.
func wiringStatus(plan wire.Plan) int {
	for _, j := range plan.Cables() {
		if j.Sharp() {
			return exitNoFit
		}
	}
	return exitFits
}

// wiringFaults says where in the pack file each fault is that keeps it from being wired.
func wiringFaults(path string, p *pack.Pack, err error) error {
	var faults *wire.FaultsError
	if !errors.As(err, &faults) {
		return err
	}
	lines := []string{"nothing was done, because of what the pack file says:"}
	for _, f := range faults.Faults {
		place := path
		for _, k := range p.Kinds {
			for _, post := range k.Posts {
				if k.Name == f.Kind && post.Name == f.Post && post.Line > 0 {
					place = fmt.Sprintf("%s:%d", path, post.Line)
				}
			}
		}
		lines = append(lines, place+": "+f.Text)
	}
	return errors.New(strings.Join(lines, "\n"))
}
