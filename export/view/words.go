package view

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/export"
	"rackwright/export/label"
	"rackwright/geom"
	"rackwright/pack"
)

// row is a line of words with its class.
type row struct{ class, text string }

// saying is something to be told in a drawing, in one of several wordings.
type saying struct {
	label.Label
	wordings [][]row
	leader   string // the class of its leader
	dot      bool   // at the end of the leader
}

// say makes a saying; the last wording is that which stands away from what it is of.
func (d *drawing) say(owner int, anchors []r2.Point, wordings ...func(geom.Unit) []row) saying {
	s := saying{Label: label.Label{Owner: owner, Anchors: anchors}, leader: "rw-lead"}
	for _, w := range wordings {
		rows := w(d.unit)
		size := r2.Point{Y: lineHeight * float64(len(rows))}
		for _, r := range rows {
			size.X = max(size.X, r.width()+4)
		}
		s.Sizes, s.wordings = append(s.Sizes, size), append(s.wordings, rows)
	}
	return s
}

// rows are the words as they stand at a place.
func (s saying) rows(p label.Place) []row { return s.wordings[p.Wording] }

func (r row) width() float64 {
	if strings.Contains(r.class, "rw-b") || strings.Contains(r.class, "rw-gapt") {
		return boldWidth(r.text)
	}
	return textWidth(r.text)
}

// longestName is how many letters of a name stand in a drawing, longestRow how many stand in a row
// of it away from what it names.
const longestName, longestRow = 28, 15

// called is the name of a box, a long one cut short before the number.
func called(p pack.Part) string { return fmt.Sprintf("%s %d", brief(p.Box, longestName), p.Number) }

// broken is a text in lines of about so many letters at most, broken between words.
func broken(text string, most int) []string {
	var lines []string
	for _, w := range strings.Fields(text) {
		if n := len(lines) - 1; n >= 0 && len([]rune(lines[n]))+1+len([]rune(w)) <= most {
			lines[n] += " " + w
			continue
		}
		lines = append(lines, w)
	}
	return lines
}

// mostAside is how many pixels wide words on one line beside a view are in a wide column, which is
// less high than a narrow one.
const mostAside = 215.0

// onOneLine tells whether words of a width stand on one line beside the view.
func (d *drawing) onOneLine(width float64) bool { return d.scene.wide && width <= mostAside }

// nameWordings are a name on one line, on fewer and fewer letters in more of them, and last as it
// stands away, each with what follows below it in one of several forms.
func (d *drawing) nameWordings(name, class string, below ...func(geom.Unit) []row) []func(geom.Unit) []row {
	var all []func(geom.Unit) []row
	add := func(most int, forms ...func(geom.Unit) []row) int {
		lines := broken(name, most)
		for _, form := range forms {
			all = append(all, func(u geom.Unit) []row {
				var out []row
				for _, line := range lines {
					out = append(out, row{class, line})
				}
				return append(out, form(u)...)
			})
		}
		return len(lines)
	}
	lines := 0
	for most := len([]rune(name)); most > 2; most-- {
		if n := len(broken(name, most)); n > lines {
			lines = add(most, below...)
		}
	}
	add(max(longestRow, len([]rune(name))/2), below[0])
	if rows := all[len(all)-1](d.unit); len(rows) == 2 && len(below[0](d.unit)) == 1 {
		joined := []row{{"", rows[0].text + " · " + rows[1].text}}
		if strings.HasPrefix(name, "(") {
			joined[0].class = class
		}
		if d.onOneLine(joined[0].width()) {
			all = append(all, func(geom.Unit) []row { return joined })
		}
	}
	return all
}

// inked is a line that words had better not lie on.
type inked struct {
	a, b   r2.Point
	weight int
}

const light, heavy = 1, 5

// words writes all there is to be told within the view: relations, gaps, notches, and what
// everything is called. Each unit has places of its own, for its figures are longer or shorter; what is
// the same in all is written once.
func (d *drawing) words(rulers rulers) {
	d.owners = d.ownerOf()
	whole := label.NewMap(d.pxRect(d.window), d.seenAt)
	for _, l := range d.ink {
		whole.Ink(l.a, l.b, l.weight)
	}
	for _, area := range d.taken {
		whole.Block(area)
	}
	for _, u := range d.scene.options.Units {
		d.unit = u
		m := whole.Clone()
		w := worded{said: slices.Concat(d.measureSayings(), d.gapSayings(), d.notchSayings(), d.boxSayings(m), d.obstacleSayings(m))}
		labels := make([]label.Label, len(w.said))
		for i, s := range w.said {
			labels[i] = s.Label
		}
		var column float64
		w.places, column = m.Placed(labels, d.columnX(), d.at.Y-d.lift-lineHeight/2)
		high := d.size.Y
		for _, p := range w.places {
			if !p.Out {
				high = max(high, p.Area.Y.Hi+4)
			}
		}
		d.highs = append(d.highs, high)
		if column > 0 {
			d.size.X = max(d.size.X, d.columnX()+column+4)
		}
		d.worded = append(d.worded, w)
	}
	d.over = max(0, slices.Max(d.highs)-d.size.Y)
	d.size.Y += d.over
	d.each(d.lead)
	rulers.draw(d) // above the leaders: figures are read whole
	d.each(d.write)
}

// each puts all that is told, in each unit.
func (d *drawing) each(put func(s saying, p label.Place, class string)) {
	for n, w := range d.worded {
		for i, p := range w.places {
			switch {
			case p.Out, n > 0 && d.sameInAll(i):
			case d.sameInAll(i):
				put(w.said[i], p, "")
			default:
				put(w.said[i], p, d.scene.class(d.scene.options.Units[n]))
			}
		}
	}
}

// worded is all that is told in one unit, and where.
type worded struct {
	said   []saying
	places []label.Place
}

// sameInAll tells whether a saying has the same words at the same place in all units.
func (d *drawing) sameInAll(i int) bool {
	first := d.worded[0]
	for _, w := range d.worded[1:] {
		a, b := first.places[i], w.places[i]
		if a.Out != b.Out || !a.Area.ApproxEqual(b.Area) || !slices.Equal(a.Leader, b.Leader) || !slices.Equal(first.said[i].rows(a), w.said[i].rows(b)) {
			return false
		}
	}
	return true
}

// columnX is where the column of words beside the view begins: beyond what stands below it.
func (d *drawing) columnX() float64 {
	places := d.rulers().bottom.places(d)
	return max(d.px(d.window.Hi()).X, places[len(places)-1].label+lineHeight/2) + 16
}

// lead draws the leader of a saying.
func (d *drawing) lead(s saying, p label.Place, class string) {
	if len(p.Leader) == 0 {
		return
	}
	d.line(s.leader+class, p.Leader...)
	if end := p.Leader[len(p.Leader)-1]; s.dot {
		if class != "" {
			class = fmt.Sprintf(" class=%q", strings.TrimSpace(class))
		}
		fmt.Fprintf(d, "<circle%s cx=\"%s\" cy=\"%s\" r=\"2.4\"/>\n", class, num(end.X), num(end.Y))
	}
}

// write writes words into their place.
func (d *drawing) write(s saying, p label.Place, class string) {
	rows := s.rows(p)
	x, anchor := p.Area.Center().X, "rw-m "
	if p.Aside {
		x, anchor = p.Area.X.Lo+2, ""
	}
	top := p.Area.Center().Y - lineHeight*float64(len(rows))/2
	for i, r := range rows {
		d.text(strings.TrimSpace(anchor+"rw-halo "+r.class)+class, r2.Point{X: x, Y: top + lineHeight*float64(i) + baseline}, r.text)
	}
}

// boxSayings are the names of boxes with their sizes; those that are behind others have theirs in
// brackets.
func (d *drawing) boxSayings(m *label.Map) []saying {
	var all []saying
	for _, b := range d.scene.ofRole(isBox) {
		name, class, owner := called(b.part), "rw-b", d.owners[b.key()]
		size := d.sizeWords(b)
		anchors := m.Cells(owner, mostAnchors)
		if len(anchors) == 0 {
			anchors, owner = d.onEdges(b), label.Nothing
			name, class = "("+name, "rw-i"
			if size == nil {
				name += ")"
			}
		}
		if len(anchors) == 0 {
			continue // nothing of it is within the window
		}
		below := func(u geom.Unit) []row {
			switch {
			case size == nil:
				return nil
			case owner == label.Nothing:
				return []row{{class, size(u) + ")"}}
			}
			return []row{{"", size(u)}}
		}
		twice := func(u geom.Unit) []row { // on two lines, where a box is narrow
			var rows []row
			for _, r := range below(u) {
				first, second, _ := strings.Cut(r.text, "×")
				rows = append(rows, row{r.class, first + "×"}, row{r.class, second})
			}
			return rows
		}
		s := d.say(owner, anchors, d.nameWordings(name, class, below, twice)...)
		s.dot = owner != label.Nothing
		s.Over = !s.dot // in brackets, what is before it may lie under its name
		all = append(all, s)
	}
	return all
}

// mostAnchors is how many points of a thing a leader may choose from.
const mostAnchors = 24

// onEdges are points on what is drawn of a body.
func (d *drawing) onEdges(b body) []r2.Point {
	var all []r2.Point
	within := d.pxRect(d.window).ExpandedByMargin(-label.Cell)
	for _, l := range d.drawnOf[b.key()] {
		for _, t := range [...]float64{0.5, 0.25, 0.75} {
			q := l[0].Add(l[1].Sub(l[0]).Mul(t))
			if within.ContainsPoint(q) && !slices.ContainsFunc(d.taken, func(r r2.Rect) bool { return r.ContainsPoint(q) }) {
				all = append(all, q)
			}
		}
	}
	return all
}

// sizeWords tell how long a box is to the right and up in the view, by its own axes; nil where it
// is not told: in cuts, and beside racks.
func (d *drawing) sizeWords(b body) words {
	if d.scene.cut != nil || d.scene.options.Rack != nil {
		return nil
	}
	wide, high := b.along(looks[d.dir].right), b.along(looks[d.dir].up)
	return func(u geom.Unit) string {
		return bare(export.AtLeast(wide, u)) + "×" + bare(export.AtLeast(high, u))
	}
}

// along is the size of a box by that of its axes which is nearest to a direction.
func (b body) along(v r3.Vector) float64 {
	best, most := 0.0, -1.0
	for i, axis := range b.box.Axes {
		if a := math.Abs(axis.Dot(v)); a > most {
			best, most = 2*[...]float64{b.box.Half.X, b.box.Half.Y, b.box.Half.Z}[i], a
		}
	}
	return best
}

// obstacleSayings are the names of rails and keep-outs, those that cover each other in the view
// together.
func (d *drawing) obstacleSayings(m *label.Map) []saying {
	var names [][]string
	var bounds []r2.Rect
	var owners []body
	for _, b := range d.largest() {
		r := b.bounds(d.dir).Intersection(d.window)
		if r.IsEmpty() {
			continue
		}
		if k := slices.IndexFunc(bounds, r.ApproxEqual); k >= 0 {
			if d.owners[owners[k].key()] < d.owners[b.key()] && len(m.Cells(d.owners[b.key()], 1)) > 0 {
				owners[k] = b
			}
			names[k] = append(names[k], b.name)
			continue
		}
		names, bounds, owners = append(names, []string{b.name}), append(bounds, r), append(owners, b)
	}
	var all []saying
	for k, list := range names {
		slices.Sort(list)
		list = slices.Compact(list)
		for i, name := range list {
			list[i] = brief(name, longestName)
		}
		owner := d.owners[owners[k].key()]
		name, class := strings.Join(list, ", "), ""
		anchors := m.Cells(owner, mostAnchors)
		if len(anchors) == 0 {
			if anchors, owner = d.onEdges(owners[k]), label.Nothing; len(anchors) == 0 {
				continue // all of it is behind other rails or keep-outs
			}
			name, class = "("+name+")", "rw-i"
		}
		s := d.say(owner, anchors, d.nameWordings(name, class, func(geom.Unit) []row { return nil })...)
		s.dot = owner != label.Nothing
		all = append(all, s)
	}
	return all
}

// measureSayings are the words of relations, with a leader to what is around each.
func (d *drawing) measureSayings() []saying {
	var all []saying
	for _, one := range d.scene.measures {
		middle, ring := d.ring(one)
		var anchors []r2.Point
		for k := range 8 {
			sin, cos := math.Sincos(float64(k) * math.Pi / 4)
			anchors = append(anchors, middle.Add(r2.Point{X: cos, Y: sin}.Mul(ring)))
		}
		s := d.say(label.Nothing, anchors, func(u geom.Unit) []row {
			whole := row{"rw-gapt", one.Words(u)}
			if d.onOneLine(whole.width()) {
				return []row{whole}
			}
			var rows []row
			for _, line := range strings.SplitAfterN(whole.text, ", ", 2) {
				rows = append(rows, row{"rw-gapt", strings.TrimSpace(line)})
			}
			return rows
		})
		s.leader = "rw-gap"
		all = append(all, s)
	}
	return all
}

// gapSayings are the numbers of gaps, each beside its own.
func (d *drawing) gapSayings() []saying {
	var all []saying
	for _, g := range d.told {
		middle := d.px(d.dir.flat(g.from.Add(g.to).Mul(0.5)))
		s := d.say(label.Nothing, []r2.Point{middle}, func(u geom.Unit) []row { return []row{{"", bare(export.Clearance(g.mm, u))}} })
		s.Over, s.Optional = true, d.scene.primary(g) != d.dir
		all = append(all, s)
	}
	return all
}
