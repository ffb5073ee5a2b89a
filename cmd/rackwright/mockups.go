package main

import (
	"slices"

	"rackwright/export"
	"rackwright/export/answer"
	"rackwright/export/block"
	"rackwright/export/card"
	"rackwright/export/mockup"
	"rackwright/export/view"
)

// mockups are the files to build mock-ups from: card templates, gauges and silhouettes,
// a printable block for each kind of box, and each layout as a model and as drawings to
// look at. The command mock makes them in more forms.
func mockups(in answer.Input) ([]export.File, error) {
	s := mockup.Settings{Forms: []mockup.Form{mockup.SVG, mockup.STL}, Board: card.DefaultBoard}
	made, err := mockup.Make(in.Problem, s)
	if err != nil {
		return nil, err
	}
	layouts, err := block.Files(in.Problem, in.Result.Layouts)
	if err != nil {
		return nil, err
	}
	drawings, err := view.Files(in.Problem, in.Result.Layouts)
	return slices.Concat(made.Files, layouts, drawings), err
}
