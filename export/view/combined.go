package view

import (
	"fmt"
	"io"

	"github.com/golang/geo/r2"

	"rackwright/geom"
)

// WriteSheet writes all views of a layout as one picture: the front view beside that
// from the right, the top view below.
func (s *Scene) WriteSheet(w io.Writer) error {
	var views [3]*drawing
	for _, d := range Directions {
		views[d] = s.ready().view(d)
		views[d].prefix = s.options.Prefix
		views[d].shared = true
		views[d].draw()
	}
	right, front, top := views[FromRight], views[FromFront], views[FromTop]
	left := max(right.at.X, top.at.X) // the two share the rear
	middle := max(left-right.at.X+right.size.X, left-top.at.X+top.size.X) + 16
	below := max(right.size.Y, front.size.Y) + 10
	page := &picture{size: r2.Point{
		X: max(middle+front.size.X, middle+420),
		Y: below + max(top.size.Y, 160+s.barHeight()+(3*lineHeight+4)*float64(len(s.measures))) + 8,
	}}
	page.put(right.picture, r2.Point{X: left - right.at.X})
	page.put(front.picture, r2.Point{X: middle})
	page.put(top.picture, r2.Point{X: left - top.at.X, Y: below})
	s.key(page, r2.Point{X: middle, Y: below + 15})
	return s.writeSVG(w, page, s.options.Prefix, s.title, s.description)
}

func (s *Scene) title(geom.Unit) string {
	return s.problem.Pack.Name + " in " + s.problem.Frame.Name
}

// description is the alternative in text of a drawing.
func (s *Scene) description(u geom.Unit) string {
	text := fmt.Sprintf("%d boxes in the opening, measured from the floor, the rear and the middle.", len(s.judged.Layout.Placements))
	for _, m := range s.measures {
		text += fmt.Sprintf(" %s to %s: %s.", m.Relation.A, m.Relation.B, m.Words(u))
	}
	return text
}

// key says what the sheet shows and how to read it.
func (s *Scene) key(p *picture, at r2.Point) {
	p.text("rw-b", at, brief(s.problem.Pack.Name, 40))
	p.text("", at.Add(r2.Point{Y: lineHeight}), "in "+brief(s.problem.Frame.Name, 40))
	y := at.Y + 2*lineHeight + 4
	for i, m := range s.measures {
		if i == 0 {
			p.text("rw-gapt", r2.Point{X: at.X, Y: y}, map[bool]string{true: "Too little room", false: "Tightest"}[m.Relation.Left < 0])
			y += lineHeight
		}
		s.each(m.Words, func(class, line string) { p.text("rw-gapt"+class, r2.Point{X: at.X, Y: y}, line) })
		p.text("rw-gapt", r2.Point{X: at.X, Y: y + lineHeight}, brief(m.Relation.A.String()+" –", 44))
		p.text("rw-gapt", r2.Point{X: at.X, Y: y + 2*lineHeight}, brief(m.Relation.B.String(), 44))
		y += 3*lineHeight + 4
	}
	samples := []struct{ class, words string }{
		{"rw-side", "side of the opening"},
		{"rw-open", "open while boxes go in"},
		{"rw-hid", "behind a box; so is a name in brackets"},
		{"rw-over", "rail or keep-out before the boxes"},
		{"rw-dim", "gap between two boxes, with its length"},
		{"rw-notch", "to be cut out"},
	}
	for _, line := range samples[:len(samples)-map[bool]int{true: 1, false: 0}[len(s.options.Notches) == 0]] {
		p.line(line.class, r2.Point{X: at.X, Y: y - 5}, r2.Point{X: at.X + 36, Y: y - 5})
		p.text("", r2.Point{X: at.X + 46, Y: y}, line.words)
		y += lineHeight + 2
	}
	s.scaleBar(p, r2.Point{X: at.X, Y: y - 8}, barLength, false)
}

// unitLines say what lengths are in, and how they are rounded; within a page, the page does.
func (s *Scene) unitLines(u geom.Unit) []string {
	if s.options.Inline {
		return nil
	}
	if u == geom.Inch {
		return []string{"Lengths in inches, to the nearest 1/16;", "clearances rounded down, gaps up."}
	}
	return []string{"Lengths in mm."}
}

// barLength is how many pixels the scale bar is long at most.
const barLength = 95.0

// barHeight is how many pixels the scale bar takes with what lengths are in below it.
func (s *Scene) barHeight() float64 {
	lines := 0
	for _, u := range s.options.Units {
		lines = max(lines, len(s.unitLines(u)))
	}
	return 26 + lineHeight*float64(lines)
}

// foot is the scale bar: below the view or, within a page, in the corner between the rulers, where
// nothing else stands.
func (d *drawing) foot() {
	if d.scene.options.Inline {
		corner := r2.Point{X: 4, Y: d.px(d.window.Lo()).Y + bend}
		d.size.Y = max(d.size.Y, corner.Y+2*lineHeight+8)
		d.scene.scaleBar(d.picture, corner, d.at.X-bend-12, true)
		return
	}
	at := r2.Point{X: 4, Y: d.size.Y}
	d.size.Y += d.scene.barHeight()
	for _, u := range d.scene.options.Units {
		for _, line := range d.scene.unitLines(u) {
			d.size.X = max(d.size.X, 8+textWidth(line))
		}
	}
	d.scene.scaleBar(d.picture, at, barLength, false)
}

// scaleBar draws a bar of a round length, so many pixels at most, with that beside or below it, and says
// below what lengths are in.
func (s *Scene) scaleBar(p *picture, at r2.Point, most float64, below bool) {
	y := at.Y + 8
	for _, u := range s.options.Units {
		class, length := s.class(u), s.barOf(u, most)
		end := at.X + length*u.Millimetres()*s.scale
		p.line("rw-line"+class, r2.Point{X: at.X, Y: y - 4}, r2.Point{X: at.X, Y: y + 4}, r2.Point{X: at.X, Y: y},
			r2.Point{X: end, Y: y}, r2.Point{X: end, Y: y - 4}, r2.Point{X: end, Y: y + 4})
		beside := r2.Point{X: end + 8, Y: y + 6}
		if below {
			beside = r2.Point{X: at.X, Y: y + 6 + lineHeight}
		}
		p.text(class, beside, geom.FormatLength(length*u.Millimetres(), u))
		for i, line := range s.unitLines(u) {
			p.text(class, r2.Point{X: at.X, Y: y + 26 + lineHeight*float64(i)}, line)
		}
	}
}

// barOf is the greatest round number of a unit that a scale bar of so many pixels has room for.
func (s *Scene) barOf(u geom.Unit, most float64) float64 {
	rounds := []float64{5000, 2000, 1000, 500, 200, 100, 50, 20, 10, 5, 2}
	if u == geom.Inch {
		rounds = []float64{200, 100, 50, 20, 10, 8, 6, 4, 3, 2, 1, 0.5, 0.25}
	}
	for _, length := range rounds {
		if length*u.Millimetres()*s.scale <= min(most, barLength) {
			return length
		}
	}
	return rounds[len(rounds)-1]
}
