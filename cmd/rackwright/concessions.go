package main

import (
	"fmt"
	"io"
	"strings"

	"rackwright/export"
	"rackwright/export/answer"
	"rackwright/export/block"
	"rackwright/export/card"
	"rackwright/export/layoutfile"
	"rackwright/export/mockup"
	"rackwright/export/view"
	"rackwright/pack"
	"rackwright/pack/whatif"
)

// concessions are those with which it fits, in the order in which they are told.
func concessions(in answer.Input) []whatif.Concession {
	if in.Conceded == nil {
		return nil
	}
	return in.Conceded.Fits
}

// conceded is the problem with a concession made.
func conceded(p pack.Problem, c whatif.Concession) pack.Problem {
	p.Frame = c.Frame
	return p
}

// easingFiles are the layouts that one thing changed would make answers.
func easingFiles(in answer.Input) []export.File {
	if in.Eased == nil {
		return nil
	}
	var files []export.File
	for i, one := range in.Eased.Gives {
		files = append(files, export.File{Name: fmt.Sprintf("with-%d.yaml", i+1), Write: func(w io.Writer) error {
			return layoutfile.Write(w, layoutfile.File{Layout: one.Layout, Order: one.Entry.Order})
		}})
	}
	return files
}

// concessionFiles are the files of every concession with which it fits: its layout, the
// layout as a model and as drawings in the frame as changed, and for each keep-out that is
// notched a template and a solid of what is cut away.
func concessionFiles(in answer.Input, others []view.Direction) ([]export.File, error) {
	var files []export.File
	for i, c := range concessions(in) {
		name := fmt.Sprintf("concession-%d", i+1)
		files = append(files, export.File{Name: name + ".yaml", Write: func(w io.Writer) error {
			return layoutfile.Write(w, layoutfile.File{Layout: c.Layout, Order: c.Entry.Order})
		}})
		judged := []export.Judged{c.Found}
		problem := conceded(in.Problem, c)
		models, err := block.Files(problem, judged)
		if err != nil {
			return nil, err
		}
		drawings, err := view.Files(problem, judged, view.Options{Others: others, Notches: view.NotchesOf(c)})
		if err != nil {
			return nil, err
		}
		for _, f := range append(models, drawings...) {
			f.Name = name + strings.TrimPrefix(f.Name, "layout-1")
			files = append(files, f)
		}
		s := mockup.Settings{Forms: []mockup.Form{mockup.SVG, mockup.STL}, Board: card.DefaultBoard}
		notches, err := mockup.NotchesOf(in.Problem, s, name+"-", c)
		if err != nil {
			return nil, err
		}
		files = append(files, notches.Files...)
	}
	return files, nil
}
