// Package view draws layouts to be set out with a tape: seen from the right, from the
// front and from the top, and cut across at a height, as SVG with dimensions from the
// floor, the rear and the middle of the opening.
//
// A drawing is made in pixels of 1/96 inch. What it shows is told by words, line and
// pattern, never by colour alone, so that it can be printed in black and white.
package view

import (
	"fmt"
	"io"

	"rackwright/export"
	"rackwright/pack"
)

// Files returns the drawings of every layout: each view by itself, those that are always shown and
// others, and the first on one sheet.
func Files(problem pack.Problem, layouts []export.Judged, options Options) ([]export.File, error) {
	var files []export.File
	for i, l := range layouts {
		name := fmt.Sprintf("layout-%d", i+1)
		s, err := NewScene(problem, l, options)
		if err != nil {
			return nil, err
		}
		files = append(files, export.File{Name: name + ".svg", Write: s.WriteSheet})
		for _, d := range options.Directions() {
			files = append(files, export.File{Name: name + "-" + d.String() + ".svg", Write: func(w io.Writer) error { return s.WriteView(w, d) }})
		}
	}
	return files, nil
}
