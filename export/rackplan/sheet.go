package rackplan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"rackwright/export/drawing"
	"rackwright/pack/rack"
)

// Sizes on a sheet in mm.
const (
	margin    = 10.0
	leftRoom  = 34.0 // for what the rows of figures are
	figures   = 3.1
	small     = 3.0
	rowHigh   = 3.8
	pairHigh  = 2*rowHigh + 1 // two rows of figures
	apart     = 16.0          // of figures that stand beside each other
	nameHigh  = 4.2
	narrowest = 150.0 // room for the head
)

// Sheet draws one part at true size, its legs unfolded along the heel as they look from outside:
// cut out and folded, it lies around the bar. Hole centres count from the left end.
func (p Part) Sheet() drawing.Drawing { return p.strip(0, p.Bar.Length()) }

// strip draws the part from one length along it to another: long bars take several sheets.
func (p Part) strip(from, to float64) drawing.Drawing {
	d := drawing.Drawing{Title: p.Letter}
	s := strip{&d, p, from, to, p.Bar.Section.Width}
	lower, upper := s.rows(p.lower()), 0.0
	if p.Bar.Section.Form == rack.Angle {
		upper = s.rows(p.upper())
	}
	base := 3 + lower*pairHigh
	high := s.outline(base)
	s.leg(p.lower(), base, base, -1)
	if p.Bar.Section.Form == rack.Angle {
		s.leg(p.upper(), base+s.width, high, 1)
	}
	d.Size.X = max(leftRoom+to-from, narrowest) + margin
	s.head(high+upper*pairHigh+1.5, d.Size.X-2*margin)
	return d
}

// strip is a drawing of a length of a part.
type strip struct {
	*drawing.Drawing
	part     Part
	from, to float64
	width    float64
}

// lower and upper are the legs as they are drawn; a flat has the lower one alone.
func (p Part) lower() rack.Leg { return p.legs()[0] }
func (p Part) upper() rack.Leg { return p.legs()[len(p.legs())-1] }

// legs are those of the part as they are drawn, from below: folded away from the reader along
// the heel, which is between them, they make the bar, seen from outside.
func (p Part) legs() []rack.Leg {
	if p.Bar.Section.Form != rack.Angle {
		return []rack.Leg{rack.LegA}
	}
	if leftHanded(p.Bar) {
		return []rack.Leg{rack.LegB, rack.LegA}
	}
	return []rack.Leg{rack.LegA, rack.LegB}
}

func (s strip) x(at float64) float64 { return leftRoom + at - s.from }

// outline draws both legs and the heel between them, and returns how high that is. An end that
// is none of the bar's is dotted.
func (s strip) outline(base float64) float64 {
	high := base + s.width
	if s.part.Bar.Section.Form == rack.Angle {
		high += s.width
	}
	s.edges(r2.Rect{X: r1.Interval{Lo: s.x(s.from), Hi: s.x(s.to)}, Y: r1.Interval{Lo: base, Hi: high}})
	if s.part.Bar.Section.Form == rack.Angle {
		heel := base + s.width
		s.Line(drawing.Fold, r2.Point{X: s.x(s.from), Y: heel}, r2.Point{X: s.x(s.to), Y: heel})
		s.Text(r2.Point{X: leftRoom / 2, Y: heel}, small, leftRoom-2, 0, "heel: fold")
	}
	return high
}

// edges draws the outline; where the bar goes on beyond the strip, its end is dotted.
func (s strip) edges(area r2.Rect) {
	if s.from == 0 && s.to == s.part.Bar.Length() {
		s.Rect(drawing.Cut, area)
		return
	}
	v := area.Vertices() // counter-clockwise from the low corner: below, right, above, left
	own := [4]bool{true, s.to == s.part.Bar.Length(), true, s.from == 0}
	for i := range v {
		p := drawing.Path{Layer: drawing.Cut, Points: []r2.Point{v[i], v[(i+1)%4]}}
		if !own[i] {
			p.Layer, p.Dotted = drawing.Mark, true
		}
		s.Paths = append(s.Paths, p)
	}
}

// holesOf are the holes of a leg that are on the strip.
func (s strip) holesOf(leg rack.Leg) []rack.Hole {
	var list []rack.Hole
	for _, h := range s.part.Holes {
		if h.Leg == leg && h.At >= s.from && h.At < s.to {
			list = append(list, h)
		}
	}
	slices.SortFunc(list, func(a, b rack.Hole) int { return int(math.Copysign(1, a.At-b.At)) })
	return list
}

// levels are how far out the figures of each hole stand: those too near to the one before go
// one row farther.
func (s strip) levels(holes []rack.Hole) []float64 {
	var list, ends []float64
	for _, h := range holes {
		i := slices.IndexFunc(ends, func(end float64) bool { return h.At-end >= apart })
		if i < 0 {
			i, ends = len(ends), append(ends, 0)
		}
		ends[i] = h.At
		list = append(list, float64(i))
	}
	return list
}

// aside is by how much the figures of a hole are moved along, off the lines to figures farther out.
func (s strip) aside(holes []rack.Hole, i int) float64 {
	const clear = apart/2 + 0.5
	levels, by := s.levels(holes), 0.0
	for k, h := range holes {
		off := h.At - holes[i].At
		if levels[k] > levels[i] && math.Abs(off) < clear && clear-math.Abs(off) > math.Abs(by) {
			by = -math.Copysign(clear-math.Abs(off), off)
		}
	}
	return by
}

// rows is how many pairs of rows of figures a leg has.
func (s strip) rows(leg rack.Leg) float64 {
	most := 0.0
	for _, l := range s.levels(s.holesOf(leg)) {
		most = max(most, l+1)
	}
	return most
}

// leg draws the holes of a leg, their figures beyond its edge: below it or above.
func (s strip) leg(leg rack.Leg, low, edge, out float64) {
	holes := s.holesOf(leg)
	name := "width"
	if s.part.Bar.Section.Form == rack.Angle {
		name = fmt.Sprintf("leg %d", slices.Index(s.part.legs(), leg)+1)
	}
	s.Text(r2.Point{X: leftRoom / 2, Y: low + s.width/2}, figures, leftRoom-2, 0, name)
	s.spots(leg, low, out)
	for i, level := range s.levels(holes) {
		h := holes[i]
		at := r2.Point{X: s.x(h.At), Y: s.across(low, h, out)}
		s.Circle(drawing.Cut, at, h.Diameter/2)
		s.Cross(drawing.Mark, at, h.Diameter/2+1.5)
		first := edge + out*(level*pairHigh+rowHigh/2+0.5)
		s.Line(drawing.Mark, r2.Point{X: at.X, Y: at.Y + out*(h.Diameter/2+1.5)}, r2.Point{X: at.X, Y: first - out*rowHigh/2})
		rows := [2]string{fmt.Sprintf("%.1f", h.At), fmt.Sprintf("%.1f Ø%g", h.Across, h.Diameter)}
		if out > 0 {
			rows[0], rows[1] = rows[1], rows[0]
		}
		beside := at.X + s.aside(holes, i)
		s.Text(r2.Point{X: beside, Y: first}, figures, apart, 0, rows[0])
		s.Text(r2.Point{X: beside, Y: first + out*rowHigh}, figures, apart, 0, rows[1])
	}
	if len(holes) > 0 {
		end, heel := edge+out*(rowHigh/2+0.5), edge+out*(rowHigh*1.5+0.5)
		if out > 0 {
			end, heel = heel, end
		}
		s.Text(r2.Point{X: leftRoom / 2, Y: end}, small, leftRoom-2, 0, "from left end")
		s.Text(r2.Point{X: leftRoom / 2, Y: heel}, small, leftRoom-2, 0, map[bool]string{true: "from heel, drill", false: "this edge, drill"}[s.part.Bar.Section.Form == rack.Angle])
	}
}

// across is how high a hole is drawn: from the heel, or of a flat from its lower edge.
func (s strip) across(low float64, h rack.Hole, out float64) float64 {
	if out < 0 && s.part.Bar.Section.Form == rack.Angle {
		return low + s.width - h.Across
	}
	return low + h.Across
}

// head says what the part is, over its drawing, and which way round each of its bars lies.
func (s strip) head(top, room float64) {
	p := s.part
	text := fmt.Sprintf("%s   %d × %s, %.1f mm long, both ends square, S235 steel", p.Letter, len(p.Names), p.Bar.Section, p.Bar.Length())
	lines := s.lines(room)
	s.Size.Y = top + nameHigh*float64(len(lines)) + 8
	s.TextFrom(r2.Point{X: margin, Y: s.Size.Y - 4}, 4.5, room, text)
	for i, line := range lines {
		s.TextFrom(r2.Point{X: margin, Y: s.Size.Y - 8.7 - nameHigh*float64(i)}, figures, room, line)
	}
}

// lines are the names of the part's bars with which way round they lie, those that lie alike
// together, broken to the room.
func (s strip) lines(room float64) []string {
	var groups, lines []string
	names := map[string][]string{}
	if s.to-s.from < s.part.Bar.Length() {
		lines = append(lines, fmt.Sprintf("%s: this strip is from %.1f to %.1f mm", s.part.Letter, s.from, s.to))
	}
	if s.part.Twin != "" {
		lines = append(lines, strings.TrimPrefix(s.part.mirrored(), " – "))
	}
	for _, n := range s.part.Names {
		w := s.part.Ways[n]
		if names[w] == nil {
			groups = append(groups, w)
		}
		names[w] = append(names[w], n)
	}
	for _, w := range groups {
		line := ""
		for _, word := range strings.Fields(strings.Join(names[w], ", ") + ": " + w) {
			if drawing.Width(line+" "+word, figures) > room {
				lines, line = append(lines, line), ""
			}
			line = strings.TrimSpace(line + " " + word)
		}
		lines = append(lines, line)
	}
	return lines
}
