package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"

	"github.com/spf13/pflag"

	"rackwright/export"
	"rackwright/export/answer"
	"rackwright/export/drawing"
	"rackwright/export/worksheet"
	"rackwright/frame"
	"rackwright/frame/survey"
)

func surveyCommand() command {
	return command{
		name: "survey", args: "FRAME", least: 1, most: 1,
		summary: "show how well taped distances agree, what each mark may be off by, and what to tape",
		example: "rackwright survey bike.frame.yaml --out survey",
		flags: func(set *pflag.FlagSet) func(context.Context, streams, []string) (int, error) {
			var f surveyFlags
			set.BoolVar(&f.plan, "plan", false, "say which distances to tape, fewest for every one to be checked, from about where the marks are")
			set.StringVar(&f.out, "out", "", "`folder` to write a worksheet to, and a picture of what was measured")
			set.BoolVar(&f.force, "force", false, "replace files that are in the folder already")
			set.BoolVar(&f.json, "json", false, "print one JSON object")
			set.BoolVar(&f.quiet, "quiet", false, "print nothing but errors, and what was asked for as JSON")
			return f.run
		},
	}
}

// surveyFlags are the options of survey.
type surveyFlags struct {
	plan, force, json, quiet bool
	out                      string
}

func (f *surveyFlags) run(ctx context.Context, s streams, args []string) (int, error) {
	in, err := f.read(ctx, args[0])
	if err != nil {
		return exitUsage, err
	}
	if f.out != "" {
		files := surveyFiles(in)
		if err := writeAll(f.out, files, f.force); err != nil {
			return exitUsage, err
		}
		for _, file := range files {
			in.Written = append(in.Written, filepath.Join(f.out, file.Name))
		}
	}
	switch {
	case f.json:
		err = answer.WriteSurveyJSON(s.out, in)
	case !f.quiet:
		err = answer.WriteSurvey(s.out, in)
	}
	if err != nil {
		return exitUsage, fmt.Errorf("the answer could not be printed: %w", err)
	}
	return surveyStatus(in), nil
}

// read reads the frame file and makes the plan that was asked for.
func (f *surveyFlags) read(ctx context.Context, path string) (answer.Survey, error) {
	in := answer.Survey{Planned: f.plan}
	reader := frame.Read
	if f.plan {
		reader = frame.ReadRough
	}
	var err error
	if in.Frame, err = fileOf(ctx, path, reader); err != nil {
		return in, err
	}
	if in.Frame.Survey == nil {
		return in, errors.New("the file names no marks: name the dots to tape between, as in marks: [A, B, C]; rackwright help survey tells more, and rackwright new --taped writes an example")
	}
	if f.plan {
		sv := in.Frame.Survey
		if plan, ok := sv.Network.Plan(sv.Places, in.Frame.TapeDeviation()); ok {
			in.Plan = &plan
		}
	}
	return in, nil
}

// surveyStatus is 0 where measurements agree and are checked, 1 where one is wrong, and 3
// where a mistake could hide. A plan is an answer by itself.
func surveyStatus(in answer.Survey) int {
	if in.Planned {
		if in.Plan == nil {
			return exitNoFit
		}
		return exitFits
	}
	a := in.Frame.Survey.Adjusted
	found := in.Frame.Survey.Found
	switch {
	case !a.Agrees() || len(found.Wrong)+len(found.Doubted) > 0:
		return exitNoFit
	case len(a.Unchecked()) > 0:
		return exitUnknown
	}
	return exitFits
}

// surveyFiles are the worksheet on each paper, and the picture where there is one.
func surveyFiles(in answer.Survey) []export.File {
	var files []export.File
	add := func(name string, d drawing.Drawing) {
		files = append(files, export.File{Name: name + ".svg", Write: d.WriteSVG}, export.File{Name: name + ".pdf", Write: d.WritePDF})
	}
	var plan *survey.Plan
	if in.Planned {
		plan = in.Plan
	}
	for _, paper := range worksheet.Papers {
		for i, page := range worksheet.Sheets(in.Frame, plan, paper) {
			name := "worksheet-" + paper.Name
			if i > 0 {
				name += fmt.Sprintf("-%d", i+1)
			}
			add(name, page)
		}
	}
	if in.Frame.Survey.Adjusted != nil {
		add("survey", worksheet.Picture(in.Frame))
	}
	return files
}
