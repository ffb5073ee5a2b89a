package view

import (
	"math"
	"slices"

	"github.com/golang/geo/r2"

	"rackwright/export"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/rack"
)

// Scene is one layout ready to be drawn.
type Scene struct {
	problem  pack.Problem
	judged   export.Judged
	options  Options
	bodies   []body
	measures []Measure
	cut      *float64 // the height of a cross-section, nil when everything is drawn
	scale    float64  // pixels per millimetre, the same in all views
}

// size is how many pixels the longest side of the largest view takes at most.
const size = 480.0

// sheetWidth in pixels of 1/96 inch fits between margins of 12 mm on A4 (210 mm, ISO 216)
// and on letter (8.5 inches, ANSI Y14.1): drawings no wider are printed at full size, and
// their letters of 12 pixels are 9 points high.
const sheetWidth = 700.0

// largest is the scale at which every view is as large as a sheet allows.
func (s *Scene) largest() float64 {
	longest, scale := 0.0, math.Inf(1)
	for _, dir := range Directions {
		w := s.window(dir).Size()
		longest = max(longest, w.X, w.Y)
		scale = min(scale, (sheetWidth-s.view(dir).rulers().left.room(s)-rightRim)/w.X)
	}
	return min(scale, size/longest)
}

// Options are how a scene is drawn. The zero value is valid.
type Options struct {
	// Units are those of the lengths; none means that of the pack file. With more than
	// one each length is written in all of them, at the same place, with the class
	// rw-mm or rw-in, for a style sheet to choose from.
	Units []geom.Unit
	// Prefix is what names within the file begin with, "rw-" when empty: drawings in
	// one page need different ones.
	Prefix string
	// Inline leaves the style out, for drawings within a page that has Style once.
	Inline bool
	// Rack is drawn too, its bars by the letters that stand under their names; then no tightest
	// place is shown.
	Rack     *rack.Rack
	RackName string // what is shown of it: "rack", or a tray
	Letters  map[string]string
}

// NewScene prepares a layout. The error is that of Problem.Bodies.
func NewScene(problem pack.Problem, judged export.Judged, options Options) (*Scene, error) {
	if len(options.Units) == 0 {
		options.Units = []geom.Unit{problem.Pack.Unit}
	}
	if options.Prefix == "" {
		options.Prefix = "rw-"
	}
	boxes, err := boxBodies(problem, judged.Layout)
	if err != nil {
		return nil, err
	}
	s := &Scene{problem: problem, judged: judged, options: options, bodies: append(frameBodies(problem.Frame), boxes...)}
	s.bodies = append(s.bodies, rackBodies(options.Rack, options.Letters)...)
	if options.Rack == nil {
		s.measures = Measures(problem, judged)
	}
	s.scale = s.largest()
	return s, nil
}

// around is how far a drawing reaches beyond opening and boxes, of the opening's
// longest side: enough to see what rails are near.
const around = 0.12

// window is what a view shows: rails and keep-outs are cut off at its edge.
func (s *Scene) window(d Direction) r2.Rect {
	core := s.opening(d)
	whole := core
	for _, b := range s.bodies {
		if !b.ofFrame() {
			core = core.Union(b.bounds(d))
		}
		whole = whole.Union(b.bounds(d))
	}
	bounds := s.problem.Frame.Opening.Outline.Bounds()
	pad := around * max(bounds.X.Length(), bounds.Y.Length())
	shown := core.ExpandedByMargin(pad).Intersection(whole)
	const rim = 4 // mm, so that no line runs along the edge of the picture
	return shown.ExpandedByMargin(rim)
}

// opening is the extent of the opening in a view.
func (s *Scene) opening(d Direction) r2.Rect {
	b, across := s.problem.Frame.Opening.Outline.Bounds(), s.problem.Frame.Opening.Widest()
	switch d {
	case FromFront:
		return r2.Rect{X: across, Y: b.Y}
	case FromTop:
		return r2.Rect{X: b.X, Y: across}
	}
	return b
}

// section is the front view of the opening over its whole height.
func (s *Scene) section() []r2.Point {
	o := s.problem.Frame.Opening
	z := o.Outline.Bounds().Y
	return o.Section(z.Lo, z.Hi)
}

func isBox(b body) bool { return b.role == boxBody }

// ofRole are the bodies that are so.
func (s *Scene) ofRole(is func(body) bool) []body {
	var all []body
	for _, b := range s.bodies {
		if is(b) {
			all = append(all, b)
		}
	}
	return all
}

// words is a text with lengths in a unit.
type words func(geom.Unit) string

// class tells the texts of a unit apart where there is more than one.
func (s *Scene) class(u geom.Unit) string {
	if len(s.options.Units) > 1 {
		return " rw-" + u.String()
	}
	return ""
}

// each gives the words in every unit, with the class that tells them apart; once where
// they are the same in all.
func (s *Scene) each(w words, write func(class, line string)) {
	s.eachLine(func(u geom.Unit) []string { return []string{w(u)} }, func(class string, _ float64, line string) { write(class, line) })
}

// eachLine is each for several lines, with how far below the middle of them all each
// stands, in pixels.
func (s *Scene) eachLine(lines func(geom.Unit) []string, write func(class string, below float64, line string)) {
	first := lines(s.options.Units[0])
	same := !slices.ContainsFunc(s.options.Units, func(u geom.Unit) bool { return !slices.Equal(lines(u), first) })
	for _, u := range s.options.Units {
		class, all := s.class(u), lines(u)
		if same {
			class = ""
		}
		for i, line := range all {
			write(class, lineHeight*(float64(i)-float64(len(all)-1)/2), line)
		}
		if same {
			return
		}
	}
}
