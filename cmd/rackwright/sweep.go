package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"runtime"
	"strings"

	"rackwright/export"
	"rackwright/export/answer"
	"rackwright/frame"
	"rackwright/frame/strict"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/whatif/sweep"
)

// sweepName is the name of the picture in an output folder.
const sweepName = "sweep.svg"

// runSweep searches with one number of either file at each of its values.
func (f *fitFlags) runSweep(ctx context.Context, s streams, args []string, tool entry.Settings) (int, error) {
	spec, err := sweep.Parse(f.sweep)
	if err != nil {
		return exitUsage, fmt.Errorf("--%w", err)
	}
	p, err := problem(ctx, args[0], args[1]) // what is wrong with the files themselves comes first
	if err != nil {
		return exitUsage, err
	}
	points, err := sweepPoints(ctx, spec, args[0], args[1])
	if err != nil {
		return exitUsage, err
	}
	if err := f.hiddenAll(p, points, args[1], tool); err != nil {
		return exitUsage, err
	}
	if err := f.searchAll(ctx, s, points, tool); err != nil {
		return exitUsage, err
	}
	title := fmt.Sprintf("%s into %s", p.Pack.Name, p.Frame.Name)
	if err := errors.Join(f.printSweep(s, p, spec, points), f.drawSweep(s, title, spec, points, p.Pack.Unit)); err != nil {
		return exitUsage, err
	}
	return statusOfSweep(points), nil
}

// hiddenAll is an error where the tool reaches some post of the files at none of the values.
func (f *fitFlags) hiddenAll(p pack.Problem, points []sweep.Point, packPath string, tool entry.Settings) error {
	for _, point := range points {
		if f.hidden(point.Problem, packPath, tool) == nil {
			return nil
		}
	}
	return f.hidden(p, packPath, tool)
}

// sweepPoints reads the two files once for each value. The number is looked for in the
// pack file, then in the frame file.
func sweepPoints(ctx context.Context, spec sweep.Spec, framePath, packPath string) ([]sweep.Point, error) {
	inFrame, err := textOfFile(ctx, framePath)
	if err != nil {
		return nil, err
	}
	inPack, err := textOfFile(ctx, packPath)
	if err != nil {
		return nil, err
	}
	_, packErr := spec.Set(inPack, spec.From)
	_, frameErr := spec.Set(inFrame, spec.From)
	if packErr != nil && frameErr != nil {
		return nil, noNumber(spec, packErr, frameErr)
	}
	var points []sweep.Point
	for _, v := range spec.Values() {
		frameText, packText := inFrame, inPack
		if packErr == nil {
			packText, err = spec.Set(inPack, v)
		} else {
			frameText, err = spec.Set(inFrame, v)
		}
		if err != nil {
			return nil, err
		}
		p, err := problemOf(frameText, packText, framePath, packPath)
		if err != nil {
			return nil, fmt.Errorf("--sweep: with %s at %g: %w", spec.Path, v, withoutPlace(err))
		}
		points = append(points, sweep.Point{Value: v, Problem: p})
	}
	return points, nil
}

// withoutPlace is what is wrong with a changed file, without where: its lines are not those
// of the builder's file.
func withoutPlace(err error) error {
	var list strict.Errors
	if !errors.As(err, &list) {
		return err
	}
	var texts []string
	for _, one := range list {
		texts = append(texts, one.Text)
	}
	return errors.New(strings.Join(texts, "; "))
}

// noNumber is the error of the file that the path belongs to by its first key.
func noNumber(spec sweep.Spec, packErr, frameErr error) error {
	first, _, _ := strings.Cut(spec.Path, ".")
	switch first {
	case "boxes", "gaps", "gaps_floor", "pack":
		return fmt.Errorf("--%w (in the pack file)", packErr)
	case "opening", "rails", "keepouts", "mounts", "frame", "accuracy":
		return fmt.Errorf("--%w (in the frame file)", frameErr)
	}
	return fmt.Errorf("--%w (in the pack file); nor in the frame file: %w", packErr, frameErr)
}

func problemOf(frameText, packText []byte, framePath, packPath string) (pack.Problem, error) {
	fr, ferr := frame.Read(bytes.NewReader(frameText), framePath)
	pk, perr := pack.Read(bytes.NewReader(packText), packPath)
	if err := errors.Join(ferr, perr); err != nil {
		return pack.Problem{}, err
	}
	return pack.NewProblem(fr, pk)
}

// searchAll searches all points on all cores, each within the time of a search.
func (f *fitFlags) searchAll(ctx context.Context, s streams, points []sweep.Point, tool entry.Settings) error {
	line := newProgress(s, f.quiet)
	defer line.clear()
	limit := func(ctx context.Context) (context.Context, context.CancelFunc) {
		return context.WithTimeout(ctx, f.time)
	}
	settings := f.whatif(nil, tool)
	line.note(fmt.Sprintf("0 of %d searched", len(points)))
	return sweep.Run(ctx, points, runtime.GOMAXPROCS(0), settings, limit, func(done int) {
		line.note(fmt.Sprintf("%d of %d searched", done, len(points)))
	})
}

func (f *fitFlags) printSweep(s streams, p pack.Problem, spec sweep.Spec, points []sweep.Point) error {
	var err error
	switch {
	case f.json:
		err = answer.WriteSweepJSON(s.out, spec, points)
	case f.quiet:
	default:
		err = answer.WriteSweep(s.out, spec, points, p.Pack.Unit)
	}
	if err != nil {
		return fmt.Errorf("the table could not be printed: %w", err)
	}
	return nil
}

// drawSweep writes the picture to the output folder, where one was given.
func (f *fitFlags) drawSweep(s streams, title string, spec sweep.Spec, points []sweep.Point, unit geom.Unit) error {
	if f.out == "" {
		return nil
	}
	picture := export.File{Name: sweepName, Write: answer.SweepPlot(title, spec, points, unit).WriteSVG}
	if err := writeAll(f.out, []export.File{picture}, f.force); err != nil {
		return err
	}
	if !f.quiet && !f.json {
		fmt.Fprintf(s.out, "Written: %q\n", filepath.Join(f.out, sweepName))
	}
	return nil
}

// statusOfSweep is that of the best value: 0 when it fits with any.
func statusOfSweep(points []sweep.Point) int {
	status := exitNoFit
	for _, p := range points {
		switch {
		case p.Done && p.Result.Verdict.Fits():
			return exitFits
		case !p.Done || p.Result.Verdict != pack.ProvenNoFit:
			status = exitUnknown
		}
	}
	return status
}
