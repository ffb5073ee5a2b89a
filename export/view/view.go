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

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/export"
	"rackwright/pack"
)

// Direction is where a view is seen from.
type Direction int

// Views with the front of the vehicle to the right, or looked at from the front.
const (
	FromRight Direction = iota
	FromFront
	FromTop
)

// Directions are all views, in the order in which they are shown.
var Directions = [...]Direction{FromRight, FromFront, FromTop}

// String is the word in names of files: "right", "front" or "top".
func (d Direction) String() string { return [...]string{"right", "front", "top"}[d] }

// Title is what stands over a view.
func (d Direction) Title() string {
	return [...]string{
		"From the right (front of the vehicle to the right)",
		"From the front (left of the vehicle to the right)",
		"From the top (front to the right, left up)",
	}[d]
}

// flatten returns where p lies in the view, to the right and up, and how near it is to
// the eye.
func (d Direction) flatten(p r3.Vector) (at r2.Point, near float64) {
	switch d {
	case FromFront:
		return r2.Point{X: p.Y, Y: p.Z}, p.X
	case FromTop:
		return r2.Point{X: p.X, Y: p.Y}, p.Z
	}
	return r2.Point{X: p.X, Y: p.Z}, -p.Y
}

func (d Direction) flat(p r3.Vector) r2.Point {
	at, _ := d.flatten(p)
	return at
}

// eye is the unit vector towards the eye.
func (d Direction) eye() r3.Vector {
	return [...]r3.Vector{{Y: -1}, {X: 1}, {Z: 1}}[d]
}

// Files returns the drawings of every layout: each view by itself, and all on one sheet.
func Files(problem pack.Problem, layouts []export.Judged) ([]export.File, error) {
	var files []export.File
	for i, l := range layouts {
		name := fmt.Sprintf("layout-%d", i+1)
		s, err := NewScene(problem, l, Options{})
		if err != nil {
			return nil, err
		}
		files = append(files, export.File{Name: name + ".svg", Write: s.WriteSheet})
		for _, d := range Directions {
			files = append(files, export.File{Name: name + "-" + d.String() + ".svg", Write: func(w io.Writer) error { return s.WriteView(w, d) }})
		}
	}
	return files, nil
}
