package card

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"rackwright/export/drawing"
	"rackwright/export/nest"
)

// aside is what a face or a post is too small to have written on it: it stands beside the net,
// with a line to the place.
type aside struct {
	at    r2.Point
	lines []string
}

// How far beside a net words are looked for room, in what steps, the air around them, and how
// wide they are at most, in millimetres.
const (
	asideWide = 110.0
	asideFar  = 90.0
	asideStep = 3.0
	asideAir  = 1.5
)

// newAside is words with each line cut off where it is too wide.
func newAside(at r2.Point, lines ...string) aside {
	a := aside{at: at}
	for _, line := range lines {
		a.lines = append(a.lines, drawing.Short(line, drawing.Least, asideWide))
	}
	return a
}

// writeAside puts words beside the net that have no room on it: each where nothing is drawn,
// with the shortest line to its place that crosses no words. What finds no such place goes onto
// strips, which are returned.
func (l labels) writeAside(d *drawing.Drawing, rects *[]r2.Rect, list []aside) (left []aside) {
	for _, a := range list {
		area, from, ok := l.roomAside(*d, a)
		if !ok {
			left = append(left, a)
			continue
		}
		for i, line := range a.lines {
			y := area.Y.Hi - lead*drawing.Least*(float64(i)+0.5)
			d.TextFrom(r2.Point{X: area.X.Lo, Y: y}, drawing.Least, math.Inf(1), line)
		}
		d.Line(drawing.Mark, from, a.at)
		d.Circle(drawing.Mark, a.at, 0.6)
		*rects = append(*rects, area)
	}
	return left
}

// roomAside is the rectangle for words, and where the line from there begins.
func (l labels) roomAside(d drawing.Drawing, a aside) (area r2.Rect, from r2.Point, ok bool) {
	size := r2.Point{Y: lead * drawing.Least * float64(len(a.lines))}
	for _, line := range a.lines {
		size.X = max(size.X, drawing.Width(line, drawing.Least))
	}
	all, shortest := d.Bounds().ExpandedByMargin(size.Y+asideFar/3), math.Inf(1)
	all = all.Intersection(r2.RectFromCenterSize(a.at, r2.Point{X: 2 * (asideFar + size.X), Y: 2 * (asideFar + size.Y)}))
	for x := all.X.Lo - size.X; x < all.X.Hi; x += asideStep {
		for y := all.Y.Lo; y < all.Y.Hi; y += asideStep {
			here := r2.RectFromPoints(r2.Point{X: x, Y: y}, r2.Point{X: x, Y: y}.Add(size))
			begin := here.ExpandedByMargin(asideAir / 2).ClampPoint(a.at)
			if long := begin.Sub(a.at).Norm(); long >= shortest || here.ExpandedByMargin(asideAir).ContainsPoint(a.at) || l.onNet(here) ||
				d.Touches(here.ExpandedByMargin(asideAir)) || crossesWords(d, begin, a.at) {
				continue
			}
			area, from, ok, shortest = here, begin, true, begin.Sub(a.at).Norm()
		}
	}
	return area, from, ok
}

// onNet tells whether an area meets a panel of the net.
func (l labels) onNet(area r2.Rect) bool {
	for _, p := range l.net.Panels {
		if area.ExpandedByMargin(asideAir).Intersects(p.Rect) {
			return true
		}
	}
	return false
}

// crossesWords tells whether a line runs through words.
func crossesWords(d drawing.Drawing, from, to r2.Point) bool {
	for _, t := range d.Texts {
		if segmentMeets(from, to, t.Area().ExpandedByMargin(0.5)) {
			return true
		}
	}
	return false
}

// segmentMeets tells whether a segment meets a rectangle.
func segmentMeets(a, b r2.Point, area r2.Rect) bool {
	_, _, ok := stretch(a, b, area)
	return ok
}

// stripsOf are strips with words, to be taped on where they belong, each one of these.
func stripsOf(list []aside) []nest.Part {
	var all []nest.Part
	for _, a := range list {
		var d drawing.Drawing
		for i, line := range a.lines {
			d.TextFrom(r2.Point{X: 3, Y: 3 + lead*drawing.Least*(float64(len(a.lines)-i)-0.5)}, drawing.Least, math.Inf(1), line)
			d.Size.X = max(d.Size.X, 6+drawing.Width(line, drawing.Least))
		}
		d.Size.Y = 6 + lead*drawing.Least*float64(len(a.lines))
		d.Title = a.lines[0]
		d.Rect(drawing.Cut, r2.Rect{X: r1.Interval{Hi: d.Size.X}, Y: r1.Interval{Hi: d.Size.Y}})
		all = append(all, nest.Whole(d))
	}
	return all
}

// fitting writes the first of some lines that fits in a room in letters that can be read, and
// tells whether one did.
func fitting(d *drawing.Drawing, at r2.Point, size, room float64, turns int, lines ...string) bool {
	for _, line := range lines {
		if drawing.Width(line, drawing.Least) <= room {
			d.Text(at, max(size, drawing.Least), room, turns, line)
			return true
		}
	}
	return false
}
