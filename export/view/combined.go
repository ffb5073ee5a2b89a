package view

import (
	"fmt"
	"io"
	"strings"

	"github.com/golang/geo/r2"

	"rackwright/geom"
)

// WriteSheet writes all views of a layout as one picture: the front view beside that
// from the right, the top view below.
func (s *Scene) WriteSheet(w io.Writer) error {
	var views [3]*drawing
	for _, d := range Directions {
		views[d] = s.view(d)
		views[d].prefix = s.options.Prefix
		views[d].draw()
	}
	right, front, top := views[FromRight], views[FromFront], views[FromTop]
	left := max(right.at.X, top.at.X) // the two share the rear
	middle := max(left-right.at.X+right.size.X, left-top.at.X+top.size.X) + 16
	below := max(right.size.Y, front.size.Y) + 10
	page := &picture{size: r2.Point{
		X: max(middle+front.size.X, middle+340),
		Y: below + max(top.size.Y, 166+49*float64(len(s.measures))) + 8,
	}}
	page.put(right.picture, r2.Point{X: left - right.at.X})
	page.put(front.picture, r2.Point{X: middle})
	page.put(top.picture, r2.Point{X: left - top.at.X, Y: below})
	s.key(page, r2.Point{X: middle, Y: below + 15})
	return s.writeSVG(w, page, s.options.Prefix, s.title(), s.description())
}

func (s *Scene) title() string {
	return s.problem.Pack.Name + " in " + s.problem.Frame.Name
}

// description is the alternative in text of a drawing.
func (s *Scene) description() string {
	text := fmt.Sprintf("%d boxes in the opening, measured from the floor, the rear and the middle.", len(s.judged.Layout.Placements))
	for _, m := range s.measures {
		text += fmt.Sprintf(" %s to %s: %s.", m.Relation.A, m.Relation.B, m.Words(s.options.Units[0]))
	}
	return text
}

// key says what the sheet shows and how to read it.
func (s *Scene) key(p *picture, at r2.Point) {
	p.text("rw-b", at, brief(s.problem.Pack.Name, 48))
	p.text("", at.Add(r2.Point{Y: 16}), "in "+brief(s.problem.Frame.Name, 48))
	y := at.Y + 34
	for i, m := range s.measures {
		if i == 0 {
			p.text("rw-gapt", r2.Point{X: at.X, Y: y}, map[bool]string{true: "Too little room", false: "Tightest"}[m.Relation.Left < 0])
			y += 16
		}
		s.each(m.Words, func(class, line string) { p.text("rw-gapt"+class, r2.Point{X: at.X, Y: y}, line) })
		p.text("rw-gapt", r2.Point{X: at.X, Y: y + 15}, brief(m.Relation.A.String()+" –", 56))
		p.text("rw-gapt", r2.Point{X: at.X, Y: y + 30}, brief(m.Relation.B.String(), 56))
		y += 49
	}
	samples := []struct{ class, words string }{
		{"rw-side", "side of the opening"},
		{"rw-open", "open while boxes go in"},
		{"rw-hid", "behind a box; so is a name in brackets"},
		{"rw-over", "rail or keep-out before the boxes"},
	}
	for _, line := range samples {
		p.line(line.class, r2.Point{X: at.X, Y: y - 4}, r2.Point{X: at.X + 36, Y: y - 4})
		p.text("", r2.Point{X: at.X + 46, Y: y}, line.words)
		y += 17
	}
	s.each(unitWords, func(class, line string) { p.text(strings.TrimSpace(class), r2.Point{X: at.X, Y: y}, line) })
	s.scaleBar(p, r2.Point{X: at.X, Y: y + 4})
}

func unitWords(u geom.Unit) string {
	if u == geom.Inch {
		return "Lengths in inches, to the nearest 1/16."
	}
	return "Lengths in mm."
}

// barHeight is the room of the scale bar in pixels.
const barHeight = 40.0

// scaleBar draws a bar of a round length.
func (s *Scene) scaleBar(p *picture, at r2.Point) {
	y := at.Y + 14
	s.each(func(u geom.Unit) string { return u.String() }, func(class, unit string) {
		length, words := 100.0, "100 mm"
		if unit == geom.Inch.String() {
			length, words = 4*geom.MillimetresPerInch, "4 in"
		}
		end := at.X + length*s.scale
		p.line("rw-line"+class, r2.Point{X: at.X, Y: y - 4}, r2.Point{X: at.X, Y: y + 4}, r2.Point{X: at.X, Y: y},
			r2.Point{X: end, Y: y}, r2.Point{X: end, Y: y - 4}, r2.Point{X: end, Y: y + 4})
		p.text(strings.TrimSpace(class), r2.Point{X: end + 8, Y: y + 4}, words)
	})
}
