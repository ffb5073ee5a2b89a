package main

import (
	"rackwright/export"
	"rackwright/export/answer"
	"rackwright/export/block"
	"rackwright/export/card"
	"rackwright/export/view"
)

// mockups are the files to build mock-ups from: a card template and a printable block
// for each kind of box, and each layout as a model and as drawings to look at.
func mockups(in answer.Input) ([]export.File, error) {
	cards, err := card.Files(*in.Problem.Pack, card.DefaultBoard)
	if err != nil {
		return nil, err
	}
	var judged []export.Judged
	for _, l := range in.Result.Layouts {
		judged = append(judged, export.Judged{Layout: l.Layout, Report: l.Report, Entry: l.Entry})
	}
	blocks, err := block.Files(in.Problem, judged)
	if err != nil {
		return nil, err
	}
	drawings, err := view.Files(in.Problem, judged)
	return append(append(cards, blocks...), drawings...), err
}
