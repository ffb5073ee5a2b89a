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
	gaps     []gap
	wide     bool                 // whether words beside a view stand on few long lines
	scale    float64              // pixels per millimetre, the same in all views; 0 until something is drawn
	sights   map[Direction]*sight // that have been found
}

// size is how many pixels the longest side of the largest view takes at most.
const size = 480.0

// sheetWidth in pixels of 1/96 inch fits between margins of 12 mm on A4 (210 mm, ISO 216)
// and on letter (8.5 inches, ANSI Y14.1): drawings no wider are printed at full size.
const sheetWidth = 700.0

// Of the height of a sheet of letter paper between such margins (963 pixels) the view from the right
// leaves half to a picture, and those from the front and from the top share one, below a heading.
const (
	mostRight = 500.0
	mostBoth  = 850.0
)

// fit finds the scale: the largest at which everything fits its sheets, with all words that have to
// stand beside it, in a narrow column or in a wide one; where none does, that at which the least reaches
// beyond.
func (s *Scene) fit(views ...Direction) {
	units := s.options.Units
	s.options.Units = units[:1] // in which the boxes are measured
	start := min(s.scale, s.most(views))
	var scales, beyond [2]float64
	for i := range scales {
		s.wide = i > 0
		scales[i], beyond[i] = s.largest(views, start)
	}
	s.wide = beyond[1] < beyond[0] || beyond[1] == beyond[0] && scales[1] > scales[0]
	s.scale, s.options.Units = scales[map[bool]int{true: 1}[s.wide]], units
}

// largest is the largest scale, from one on, at which the views fit their sheets, or that at which they
// reach least beyond, and how far. Smaller is not always better, for what is too small to bear its name
// needs room beside.
func (s *Scene) largest(views []Direction, scale float64) (best, least float64) {
	best, least = scale, math.Inf(1)
	step, tries := s.steps()
	for range tries {
		s.scale = scale
		if beyond := s.beyond(views, least); beyond < least {
			best, least = scale, beyond
		}
		if least == 0 {
			break
		}
		scale *= step
	}
	return best, least
}

// steps are those in which a smaller scale is looked for, and how many: fewer where a picture of many
// bodies takes long to draw.
func (s *Scene) steps() (step float64, tries int) {
	const many, far = 500, 1000
	switch {
	case len(s.bodies) > far:
		return 0.7, 2
	case len(s.bodies) > many:
		return 0.85, 5
	}
	return 0.95, 16
}

// most is the scale beyond which the windows and rulers alone do not fit their sheets.
func (s *Scene) most(views []Direction) float64 {
	most, windows, rulers := math.Inf(1), 0.0, 0.0
	for _, dir := range views {
		w, r := s.window(dir).Size(), s.view(dir).rulers()
		below := r.bottom.room(s) + topRoom
		most = min(most, size/max(w.X, w.Y), (sheetWidth-r.left.room(s)-rightRim)/w.X)
		if dir == FromRight {
			most = min(most, (mostRight-below)/w.Y)
			continue
		}
		windows, rulers = windows+w.Y, rulers+below
	}
	if windows > 0 {
		most = min(most, (mostBoth-rulers)/windows)
	}
	return max(most, leastScale)
}

// leastScale, in pixels a millimetre, is that of a window of ten metres.
const leastScale = size / 10_000

// widthCounts is how much more it counts that a picture is too wide than too high: that would be cut off.
const widthCounts = 100

// bothCount is how much more it counts that two views do not fit one sheet than that one leaves less
// room to the picture above it.
const bothCount = 10

// beyond is how many pixels the views are longer than their sheets; no more is found out once it is
// enough.
func (s *Scene) beyond(views []Direction, enough float64) float64 {
	sum, heights := 0.0, 0.0
	for _, dir := range views {
		d := s.view(dir)
		d.sizing = true
		d.draw()
		sum += widthCounts * max(0, d.size.X-sheetWidth)
		if dir == FromRight {
			sum += max(0, d.size.Y-mostRight)
			continue
		}
		if heights += d.size.Y; sum+bothCount*(heights-mostBoth) >= enough {
			return enough
		}
	}
	return sum + bothCount*max(0, heights-mostBoth)
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
	// Notches are cut out of keep-outs, and drawn.
	Notches []Notch
	// Others are views that are drawn beside those that always are.
	Others []Direction
}

// Directions are the views that are drawn, in their order.
func (o Options) Directions() []Direction { return append(Directions[:], o.Others...) }

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
		s.gaps = gapsOf(problem, judged, s.measures)
	}
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
	r := b
	switch d.facing() {
	case FromFront:
		r = r2.Rect{X: across, Y: b.Y}
	case FromTop:
		r = r2.Rect{X: b.X, Y: across}
	}
	return r2.RectFromPoints(d.turned(r.Lo()), d.turned(r.Hi()))
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
	units := s.options.Units
	if !slices.ContainsFunc(units, func(u geom.Unit) bool { return w(u) != w(units[0]) }) {
		write("", w(units[0]))
		return
	}
	for _, u := range units {
		write(s.class(u), w(u))
	}
}

// ready is the scene with its scale found.
func (s *Scene) ready() *Scene {
	if s.scale == 0 {
		s.scale = math.Inf(1)
		s.fit(Directions[:]...)
	}
	return s
}
