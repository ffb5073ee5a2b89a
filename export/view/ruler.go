package view

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"rackwright/export/label"
	"rackwright/geom"
)

// mark is a place on a ruler: a tape that is hooked in at 0 shows it there. Its thin line leads to what
// it measures to, which bears its name, as ordinate dimensions do.
type mark struct {
	at    float64 // coordinate in the view
	reach float64 // the other coordinate of what it measures to, where its thin line ends
	value words
	datum bool
}

// ruler is one scale beside a view.
type ruler struct{ marks []mark }

// room is what a ruler takes beside the view, in pixels.
func (r ruler) room(s *Scene) float64 {
	widest := 0.0
	for _, m := range r.marks {
		s.each(m.value, func(_, line string) { widest = max(widest, m.width(line)) })
	}
	return widest + bend + 14
}

// width of a line of the label in pixels.
func (m mark) width(line string) float64 {
	if m.datum {
		return boldWidth(line)
	}
	return textWidth(line)
}

type rulers struct{ left, bottom ruler }

// scale is what a ruler measures in: from the middle to both sides, or from where the opening begins,
// which may be at the higher end.
type scale struct {
	middle, turned    bool
	zero, end, beyond string
}

// scales are those of the ruler at the left and of that at the bottom.
func (d Direction) scales() (left, bottom scale) {
	left = scale{zero: "floor", end: "top", beyond: "below"}
	bottom = scale{zero: "rear", end: "front", beyond: "behind", turned: d == FromLeft}
	switch d.facing() {
	case FromTop:
		left = scale{middle: true, turned: d == FromBelow}
	case FromFront:
		bottom = scale{middle: true, turned: d == FromRear}
	}
	return left, bottom
}

// rulers measure each box from the floor, the rear and the middle of the opening.
func (d *drawing) rulers() rulers {
	opening := d.scene.opening(d.dir)
	up, along := d.dir.scales()
	left, bottom := up.datums(opening.Y), along.datums(opening.X)
	for _, b := range d.scene.ofRole(isBox) {
		box := b.bounds(d.dir)
		left = append(left, up.of(opening.Y, box.Y, box.X.Lo)...)
		bottom = append(bottom, along.of(opening.X, box.X, box.Y.Lo)...)
	}
	return rulers{ruler{joined(left)}, ruler{joined(bottom)}}
}

// of are the marks of a box that reaches so far, in an opening that does.
func (s scale) of(opening, box r1.Interval, reach float64) []mark {
	if s.middle {
		return []mark{s.fromMiddle(box.Lo, reach), s.fromMiddle(box.Hi, reach)}
	}
	zero, at := opening.Lo, box.Lo
	if s.turned {
		zero, at = opening.Hi, box.Hi
	}
	value := func(u geom.Unit) string {
		text := length(math.Abs(at-zero), u)
		if (at < zero) != s.turned && text != "0" {
			text += " " + s.beyond
		}
		return text
	}
	return []mark{{at: at, reach: reach, value: value}}
}

func (s scale) fromMiddle(at, reach float64) mark {
	return mark{at: at, reach: reach, value: func(u geom.Unit) string { return s.side(at, u) }}
}

// side tells how far from the middle a point across is: "12 left".
func (s scale) side(at float64, u geom.Unit) string {
	text := length(math.Abs(at), u)
	switch {
	case text == "0":
		return text
	case (at < 0) != s.turned:
		return text + " right"
	}
	return text + " left"
}

// datums are where a tape is hooked in, and how far the opening reaches.
func (s scale) datums(opening r1.Interval) []mark {
	at := func(y float64, value words) mark { return mark{at: y, reach: math.NaN(), value: value, datum: true} }
	fixed := func(text string) words { return func(geom.Unit) string { return text } }
	if s.middle {
		edge := func(y float64) mark { return at(y, func(u geom.Unit) string { return s.side(y, u) }) }
		return []mark{edge(opening.Lo), at(0, fixed("middle 0")), edge(opening.Hi)}
	}
	zero, end := opening.Lo, opening.Hi
	if s.turned {
		zero, end = end, zero
	}
	return []mark{
		at(zero, fixed(s.zero+" 0")),
		at(end, func(u geom.Unit) string { return length(opening.Length(), u) + " " + s.end }),
	}
}

func length(mm float64, u geom.Unit) string { return bare(geom.FormatLength(mm, u)) }

// shown is the finest that a length is written to, in millimetres.
const shown = 0.1

// joined sorts marks by where they are and makes one of those that say the same.
func joined(marks []mark) []mark {
	slices.SortStableFunc(marks, func(a, b mark) int { return cmp.Compare(a.at, b.at) })
	var all []mark
	for _, m := range marks {
		if n := len(all) - 1; n >= 0 && !m.datum && !all[n].datum && m.at-all[n].at < shown/2 {
			all[n].reach = min(all[n].reach, m.reach)
			continue
		}
		all = append(all, m)
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

// block keeps other words from where the figures of both rulers stand.
func (r rulers) block(d *drawing) {
	low := d.px(d.window.Lo())
	for _, p := range r.left.heights(d) {
		right := low.X - bend - 4
		d.scene.each(p.value, func(_, line string) {
			d.taken = append(d.taken, r2.Rect{X: r1.Interval{Lo: right - p.width(line), Hi: right}, Y: p.along()})
		})
	}
	for _, p := range r.bottom.places(d) {
		top := low.Y + bend + 4
		d.scene.each(p.value, func(_, line string) {
			d.taken = append(d.taken, r2.Rect{X: p.along(), Y: r1.Interval{Lo: top, Hi: top + p.width(line)}})
		})
	}
}

// along is what a figure takes of its ruler.
func (p placed) along() r1.Interval {
	return r1.Interval{Lo: p.label - lineHeight/2, Hi: p.label + lineHeight/2}
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
		at, sizes = append(at, where(m)), append(sizes, lineHeight)
	}
	var all []placed
	for i, y := range label.Spread(at, sizes) {
		all = append(all, placed{marks[i], at[i], y, sizes[i]})
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
		d.scene.each(p.value, func(class, line string) {
			d.text("rw-e rw-fig"+p.class()+class, r2.Point{X: x - bend - 4, Y: p.label + 5}, line)
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
		d.scene.each(p.value, func(class, line string) {
			d.upward("rw-e rw-fig"+p.class()+class, r2.Point{X: p.label + 5, Y: y + bend + 4}, line)
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
