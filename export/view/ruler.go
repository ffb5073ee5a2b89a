package view

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"unicode/utf8"

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

// longestLine is how many letters of a label stand in a line, if its words allow.
const longestLine = 32

// lines are what stands at a mark, many boxes on several lines.
func (m mark) lines(u geom.Unit) []string {
	if len(m.boxes) == 0 {
		return []string{m.value(u)}
	}
	var lines []string
	line, joint := m.value(u), " · "
	for _, name := range together(m.boxes) {
		if utf8.RuneCountInString(line+joint+name) > longestLine && joint != " · " {
			lines, line, joint = append(lines, line+","), name, ", "
			continue
		}
		line, joint = line+joint+name, ", "
	}
	return append(lines, line)
}

// together names boxes, those of a kind once: "battery 1", "2".
func together(boxes []pack.Part) []string {
	var all []string
	for i, p := range boxes {
		if i > 0 && boxes[i-1].Box == p.Box {
			all = append(all, strconv.Itoa(p.Number))
		} else {
			all = append(all, called(p))
		}
	}
	return all
}

// called is the name of a box, a long one cut short before the number.
func called(p pack.Part) string { return fmt.Sprintf("%s %d", brief(p.Box, longestName), p.Number) }

// ruler is one scale beside a view.
type ruler struct{ marks []mark }

// room is what a ruler takes beside the view, in pixels, and no less than the scale bar.
func (r ruler) room(s *Scene) float64 {
	widest := barWidth - 34
	for _, m := range r.marks {
		s.eachLine(m.lines, func(_ string, _ float64, line string) { widest = max(widest, m.width(line)) })
	}
	return widest + 34
}

// width of a line of the label in pixels.
func (m mark) width(line string) float64 {
	if m.datum {
		return boldWidth(line)
	}
	return textWidth(line)
}

// high is how many pixels a label takes in the unit in which it has the most lines.
func (m mark) high(s *Scene) float64 {
	lines := 0
	for _, u := range s.options.Units {
		lines = max(lines, len(m.lines(u)))
	}
	return lineHeight * float64(lines)
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
			left = append(left, d.from(opening.Y.Lo, box.Y.Lo, "below", box.X.Lo, part))
		}
		if d.dir == FromFront {
			bottom = append(bottom, d.fromMiddle(box.X.Lo, box.Y.Lo, part), d.fromMiddle(box.X.Hi, box.Y.Lo, part))
		} else {
			bottom = append(bottom, d.from(opening.X.Lo, box.X.Lo, "behind", box.Y.Lo, part))
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

// from is a mark of a box measured from where the opening begins, with a word for where it
// reaches out of that.
func (d *drawing) from(zero, at float64, other string, reach float64, part pack.Part) mark {
	value := func(u geom.Unit) string {
		text := length(math.Abs(at-zero), u)
		if at < zero && text != "0" {
			text += " " + other
		}
		return text
	}
	return mark{at: at, reach: reach, value: value, boxes: []pack.Part{part}}
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

// spread moves the middles of things of some sizes, which rise, as little as it takes for
// none to overlap the one before: least squares, by joining neighbours that would overlap
// (pool adjacent violators; Barlow, Bartholomew, Bremner & Brunk 1972).
func spread(middles, sizes []float64) []float64 {
	type group struct{ sum, n float64 }
	var groups []group
	offsets := make([]float64, len(sizes)) // from the first one, when all touch
	for i, p := range middles {
		if i > 0 {
			offsets[i] = offsets[i-1] + (sizes[i-1]+sizes[i])/2
		}
		g := group{p - offsets[i], 1}
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
			all = append(all, g.sum/g.n+offsets[len(all)])
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

// placed is where the middle of a label stands, for a mark at a place, and the size that
// it takes along the ruler.
type placed struct {
	mark
	from, label, size float64
}

// spreadOut places the labels of marks, which are sorted by the place in the picture that
// where gives.
func (r ruler) spreadOut(d *drawing, marks []mark, where func(mark) float64) []placed {
	var at, sizes []float64
	for _, m := range marks {
		at, sizes = append(at, where(m)), append(sizes, m.high(d.scene))
	}
	var all []placed
	for i, label := range spread(at, sizes) {
		all = append(all, placed{marks[i], at[i], label, sizes[i]})
	}
	return all
}

// heights are where the labels of a ruler at the left stand, from above: spread, and none
// below the window, where the other ruler is.
func (r ruler) heights(d *drawing) []placed {
	marks := slices.Clone(r.marks)
	slices.Reverse(marks)
	all := r.spreadOut(d, marks, func(m mark) float64 { return d.px(r2.Point{Y: m.at}).Y })
	low := d.px(d.window.Lo()).Y + lineHeight/2
	for i, p := range slices.Backward(all) {
		all[i].label = min(p.label, low-p.size/2)
		low = all[i].label - p.size/2
	}
	return all
}

func (r ruler) drawUp(d *drawing, x float64) {
	for _, p := range r.heights(d) {
		d.line("rw-thin", r2.Point{X: x - bend, Y: p.label}, r2.Point{X: x - 5, Y: p.from}, d.endOf(p.mark, r2.Point{X: p.reach, Y: p.at}, r2.Point{X: x, Y: p.from}))
		d.scene.eachLine(p.lines, func(class string, below float64, line string) {
			d.text("rw-e"+p.class()+class, r2.Point{X: x - bend - 4, Y: p.label + 4 + below}, line)
		})
	}
}

// places are where the labels of a ruler at the bottom stand: spread, and none to the
// left of the window, where the other ruler is.
func (r ruler) places(d *drawing) []placed {
	all := r.spreadOut(d, r.marks, func(m mark) float64 { return d.px(r2.Point{X: m.at}).X })
	left := d.at.X - lineHeight/2
	for i, p := range all {
		all[i].label = max(p.label, left+p.size/2)
		left = all[i].label + p.size/2
	}
	return all
}

func (r ruler) drawAlong(d *drawing, y float64) {
	for _, p := range r.places(d) {
		d.line("rw-thin", r2.Point{X: p.label, Y: y + bend}, r2.Point{X: p.from, Y: y + 5}, d.endOf(p.mark, r2.Point{X: p.at, Y: p.reach}, r2.Point{X: p.from, Y: y}))
		d.scene.eachLine(p.lines, func(class string, below float64, line string) {
			d.upward("rw-e"+p.class()+class, r2.Point{X: p.label + 4 + below, Y: y + bend + 4}, line)
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
