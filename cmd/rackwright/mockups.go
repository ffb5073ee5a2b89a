package main

import (
	"rackwright/export"
	"rackwright/export/answer"
	"rackwright/export/block"
	"rackwright/export/card"
	"rackwright/export/mockup"
	"rackwright/export/view"
)

// mockups make the files to build mock-ups from: each layout as drawings to look at and as a model,
// card templates, gauges and silhouettes, and a printable block for each kind of box. The command mock
// makes them in more forms.
func mockups(in answer.Input, others []view.Direction) []maker {
	return []maker{
		func() ([]export.File, error) {
			return view.Files(in.Problem, in.Result.Layouts, view.Options{Others: others})
		},
		func() ([]export.File, error) {
			s := mockup.Settings{Forms: []mockup.Form{mockup.SVG, mockup.STL}, Board: card.DefaultBoard}
			made, err := mockup.Make(in.Problem, s)
			return made.Files, err
		},
		func() ([]export.File, error) { return block.Files(in.Problem, in.Result.Layouts) },
	}
}
