package view

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r2"

	"rackwright/geom"
	"rackwright/pack"
)

// mark is a place on a ruler: a tape that is hooked in at 0 shows it there.
type mark struct {
	at    float64 // coordinate in the view
	reach float64 // the other coordinate of what it measures to, where its thin line ends
	value words
	boxes []pack.Part
	datum bool
}

// label is what stands at a mark.
func (m mark) label(u geom.Unit) string {
	if len(m.boxes) == 0 {
		return m.value(u)
	}
	return m.value(u) + " · " + together(m.boxes)
}

// mostTogether is how many boxes a label names.
const mostTogether = 8

// together names boxes, those of a kind once: "battery 1, 2".
func together(boxes []pack.Part) string {
	var b strings.Builder
	for i, p := range boxes[:min(mostTogether, len(boxes))] {
		switch {
		case i > 0 && boxes[i-1].Box == p.Box:
			fmt.Fprintf(&b, ", %d", p.Number)
		case i > 0:
			b.WriteString(", " + called(p))
		default:
			b.WriteString(called(p))
		}
	}
	if more := len(boxes) - mostTogether; more > 0 {
		fmt.Fprintf(&b, " and %d more", more)
	}
	return b.String()
}

// called is the name of a box, a long one cut short before the number.
func called(p pack.Part) string { return fmt.Sprintf("%s %d", brief(p.Box, longestName), p.Number) }

// ruler is one scale beside a view.
type ruler struct{ marks []mark }

// room is what a ruler takes beside the view, in pixels.
func (r ruler) room(s *Scene) float64 {
	widest := 0.0
	for _, m := range r.marks {
		widest = max(widest, s.widest(m.label))
	}
	return widest + 34
}

type rulers struct{ left, bottom ruler }

// rulers measure each box from the floor, the rear and the middle of the opening.
func (d *drawing) rulers() rulers {
	opening := d.scene.opening(d.dir)
	var left, bottom []mark
	for _, b := range d.scene.ofRole(isBox) {
		part, box := b.part, b.bounds(d.dir)
		if d.dir == FromTop {
			left = append(left, d.fromMiddle(box.Y.Lo, box.X.Lo, part), d.fromMiddle(box.Y.Hi, box.X.Lo, part))
		} else {
			left = append(left, d.from(opening.Y.Lo, box.Y.Lo, box.X.Lo, part))
		}
		if d.dir == FromFront {
			bottom = append(bottom, d.fromMiddle(box.X.Lo, box.Y.Lo, part), d.fromMiddle(box.X.Hi, box.Y.Lo, part))
		} else {
			bottom = append(bottom, d.from(opening.X.Lo, box.X.Lo, box.Y.Lo, part))
		}
	}
	return rulers{
		ruler{joined(append(left, d.datums(opening.Y.Lo, opening.Y.Hi, d.dir == FromTop, "floor", "top")...))},
		ruler{joined(append(bottom, d.datums(opening.X.Lo, opening.X.Hi, d.dir == FromFront, "rear", "front end")...))},
	}
}

// datums are where a tape is hooked in, and how far the opening reaches.
func (d *drawing) datums(lo, hi float64, middle bool, zero, end string) []mark {
	at := func(y float64, value words) mark { return mark{at: y, reach: math.NaN(), value: value, datum: true} }
	fixed := func(text string) words { return func(geom.Unit) string { return text } }
	if middle {
		return []mark{
			at(lo, func(u geom.Unit) string { return side(lo, u) + " · edge" }),
			at(0, fixed("middle 0")),
			at(hi, func(u geom.Unit) string { return side(hi, u) + " · edge" }),
		}
	}
	return []mark{
		at(lo, fixed(zero+" 0")),
		at(hi, func(u geom.Unit) string { return length(hi-lo, u) + " · " + end }),
	}
}

func length(mm float64, u geom.Unit) string { return bare(geom.FormatLength(mm, u)) }

// side tells how far from the middle a point across is: "12 left".
func side(y float64, u geom.Unit) string {
	text := length(math.Abs(y), u)
	switch {
	case text == "0":
		return text
	case y < 0:
		return text + " right"
	}
	return text + " left"
}

func (d *drawing) from(zero, at, reach float64, part pack.Part) mark {
	return mark{at: at, reach: reach, value: func(u geom.Unit) string { return length(at-zero, u) }, boxes: []pack.Part{part}}
}

func (d *drawing) fromMiddle(at, reach float64, part pack.Part) mark {
	return mark{at: at, reach: reach, value: func(u geom.Unit) string { return side(at, u) }, boxes: []pack.Part{part}}
}

// shown is the finest that a length is written to, in millimetres.
const shown = 0.1

// joined sorts marks by where they are and makes one of those that say the same.
func joined(marks []mark) []mark {
	slices.SortStableFunc(marks, func(a, b mark) int { return cmp.Compare(a.at, b.at) })
	var all []mark
	for _, m := range marks {
		if n := len(all) - 1; n >= 0 && !m.datum && !all[n].datum && m.at-all[n].at < shown/2 {
			all[n].boxes = append(all[n].boxes, m.boxes...)
			all[n].reach = min(all[n].reach, m.reach)
			continue
		}
		all = append(all, m)
	}
	for _, m := range all {
		slices.SortFunc(m.boxes, func(a, b pack.Part) int {
			return cmp.Or(cmp.Compare(a.Box, b.Box), cmp.Compare(a.Number, b.Number))
		})
	}
	return all
}

// spread moves positions, which rise, as little as it takes for each to be at least
// apart from the one before: least squares, by joining neighbours that would overlap
// (pool adjacent violators; Barlow, Bartholomew, Bremner & Brunk 1972).
func spread(positions []float64, apart float64) []float64 {
	type group struct{ sum, n float64 }
	var groups []group
	for i, p := range positions {
		g := group{p - float64(i)*apart, 1}
		for len(groups) > 0 && groups[len(groups)-1].sum/groups[len(groups)-1].n >= g.sum/g.n {
			last := groups[len(groups)-1]
			g = group{g.sum + last.sum, g.n + last.n}
			groups = groups[:len(groups)-1]
		}
		groups = append(groups, g)
	}
	var all []float64
	for _, g := range groups {
		for range int(g.n) {
			all = append(all, g.sum/g.n+float64(len(all))*apart)
		}
	}
	return all
}

// draw writes both rulers beside the window of a view.
func (r rulers) draw(d *drawing) {
	low, high := d.px(r2.Point{X: d.window.X.Lo, Y: d.window.Y.Lo}), d.px(d.window.Hi())
	r.left.drawUp(d, low.X)
	r.bottom.drawAlong(d, low.Y)
	d.line("rw-thin", r2.Point{X: low.X, Y: high.Y}, low, r2.Point{X: high.X, Y: low.Y})
}

// bend is how long a mark's line is from the ruler to its label.
const bend = 20.0

// heights are where the labels of a ruler at the left stand, from above: spread, and none
// below the window, where the other ruler is.
func (r ruler) heights(d *drawing) (at, labels []float64) {
	for i := len(r.marks) - 1; i >= 0; i-- {
		at = append(at, d.px(r2.Point{Y: r.marks[i].at}).Y)
	}
	labels = spread(at, lineHeight)
	low := d.px(d.window.Lo()).Y
	for i := len(labels) - 1; i >= 0; i-- {
		labels[i] = min(labels[i], low)
		low = labels[i] - lineHeight
	}
	return at, labels
}

func (r ruler) drawUp(d *drawing, x float64) {
	at, labels := r.heights(d)
	for i, y := range labels {
		m := r.marks[len(r.marks)-1-i]
		d.line("rw-thin", r2.Point{X: x - bend, Y: y}, r2.Point{X: x - 5, Y: at[i]}, d.endOf(m, r2.Point{X: m.reach, Y: m.at}, r2.Point{X: x, Y: at[i]}))
		d.scene.each(m.label, func(class, line string) {
			d.text("rw-e"+m.class()+class, r2.Point{X: x - bend - 4, Y: y + 4}, line)
		})
	}
}

// places are where the labels of a ruler at the bottom stand: spread, and none to the
// left of the window, where the other ruler is.
func (r ruler) places(d *drawing) (at, labels []float64) {
	for _, m := range r.marks {
		at = append(at, d.px(r2.Point{X: m.at}).X)
	}
	labels = spread(at, lineHeight)
	left := d.at.X
	for i := range labels {
		labels[i] = max(labels[i], left)
		left = labels[i] + lineHeight
	}
	return at, labels
}

func (r ruler) drawAlong(d *drawing, y float64) {
	at, labels := r.places(d)
	for i, x := range labels {
		m := r.marks[i]
		d.line("rw-thin", r2.Point{X: x, Y: y + bend}, r2.Point{X: at[i], Y: y + 5}, d.endOf(m, r2.Point{X: m.at, Y: m.reach}, r2.Point{X: at[i], Y: y}))
		d.scene.each(m.label, func(class, line string) {
			d.upward("rw-e"+m.class()+class, r2.Point{X: x + 4, Y: y + bend + 4}, line)
		})
	}
}

// endOf is where the thin line of a mark ends: at what it measures to, or at the ruler.
func (d *drawing) endOf(m mark, q, ruler r2.Point) r2.Point {
	if math.IsNaN(m.reach) {
		return ruler
	}
	return d.px(q)
}

func (m mark) class() string {
	if m.datum {
		return " rw-b"
	}
	return ""
}
