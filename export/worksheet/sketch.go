package worksheet

import (
	"github.com/golang/geo/r2"

	"rackwright/export/drawing"
	"rackwright/frame"
	"rackwright/frame/survey"
)

// sketch draws a network into an area of a drawing, smaller than it is.
type sketch struct {
	*drawing.Drawing
	frame *frame.Frame
	scale float64
	shift r2.Point
}

// Sizes in millimetres on paper.
const (
	dot    = 0.9
	letter = 4.2
	small  = 3.0
)

// newSketch fits the marks and the outline of a frame into an area, with room around them.
func newSketch(d *drawing.Drawing, f *frame.Frame, area r2.Rect, room float64) *sketch {
	all := r2.RectFromPoints(f.Survey.Places...).AddRect(f.Opening.Outline.Bounds())
	inner := area.ExpandedByMargin(-room)
	scale := 1.0
	if size := all.Size(); size.X > 0 || size.Y > 0 {
		scale = min(inner.Size().X/max(size.X, 1), inner.Size().Y/max(size.Y, 1))
	}
	return &sketch{Drawing: d, frame: f, scale: scale, shift: area.Center().Sub(all.Center().Mul(scale))}
}

func (s *sketch) at(p r2.Point) r2.Point { return p.Mul(s.scale).Add(s.shift) }

func (s *sketch) mark(i int) r2.Point { return s.at(s.frame.Survey.Places[i]) }

// outline draws the opening, dotted.
func (s *sketch) outline() {
	var corners []r2.Point
	for _, c := range s.frame.Opening.Outline.Corners {
		corners = append(corners, s.at(c))
	}
	s.Paths = append(s.Paths, drawing.Path{Layer: drawing.Mark, Points: corners, Closed: true, Dotted: true})
}

// marks draws the dots; their names come after all lines, where there is room.
func (s *sketch) marks() {
	for i := range s.frame.Survey.Places {
		s.Circle(drawing.Cut, s.mark(i), dot)
	}
}

func (s *sketch) names() {
	for i, m := range s.frame.Survey.Network.Marks {
		s.TextNear(s.mark(i), letter, 0, m.Name)
	}
}

// lineBetween draws the line of a distance and returns its middle.
func (s *sketch) lineBetween(p survey.Pair, layer drawing.Layer, dotted bool) r2.Point {
	a, b := s.mark(p.From), s.mark(p.To)
	s.Paths = append(s.Paths, drawing.Path{Layer: layer, Points: []r2.Point{a, b}, Dotted: dotted})
	return a.Add(b).Mul(0.5)
}

// third is a point on the line of a distance off its middle, where fewer lines cross.
func (s *sketch) third(p survey.Pair) r2.Point {
	a, b := s.mark(p.From), s.mark(p.To)
	return a.Mul(0.6).Add(b.Mul(0.4))
}
