package card

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r2"

	"rackwright/export"
	"rackwright/export/drawing"
	"rackwright/geom"
	"rackwright/pack"
)

// post draws a post at its true place, with its polarity.
func (l labels) post(d *drawing.Drawing, p Panel, t pack.Post) {
	c, r := l.net.At(t.Face, t.At), t.Diameter/2
	if whole := r2.RectFromCenterSize(c, r2.Point{X: 2 * r, Y: 2 * r}); p.Rect.Contains(whole) {
		d.Circle(drawing.Mark, c, r)
	} else { // it stands over the edge
		for _, run := range within(drawing.Arc(c, r, 0, 2*math.Pi), p.Rect.ContainsPoint) {
			d.Paths = append(d.Paths, drawing.Path{Layer: drawing.Mark, Points: run})
		}
	}
	d.Line(drawing.Mark, c.Sub(r2.Point{X: r / 2}), c.Add(r2.Point{X: r / 2}))
	if t.Polarity == "+" {
		d.Line(drawing.Mark, c.Sub(r2.Point{Y: r / 2}), c.Add(r2.Point{Y: r / 2}))
	}
	note := l.postNote(t)
	if note.line == "" {
		*l.aside = append(*l.aside, newAside(c, l.postLines(t)[0]))
		return
	}
	d.Text(note.area.Center(), drawing.Least, note.area.X.Length(), 0, note.line)
}

// ringAir is how far a ring ends before text, in millimetres: more than its sides are long.
const ringAir = 3.0

// ring draws what has to stay clear of metal around a post, as far as the face reaches
// and where it does not run through text.
func (l labels) ring(d *drawing.Drawing, p Panel, t pack.Post, texts []drawing.Text) {
	circle := drawing.Arc(l.net.At(t.Face, t.At), t.Diameter/2+l.Clear, 0, 2*math.Pi)
	var taken []r2.Rect
	for _, text := range texts {
		taken = append(taken, text.Area().ExpandedByMargin(ringAir))
	}
	free := func(q r2.Point) bool {
		in := func(area r2.Rect) bool { return area.ContainsPoint(q) }
		return p.Rect.ContainsPoint(q) && !slices.ContainsFunc(taken, in)
	}
	for _, run := range within(circle, free) {
		d.Paths = append(d.Paths, drawing.Path{Layer: drawing.Mark, Points: run, Dotted: true})
	}
}

// within keeps the stretches of a line that are free.
func within(line []r2.Point, free func(r2.Point) bool) [][]r2.Point {
	var runs [][]r2.Point
	var run []r2.Point
	for _, p := range line {
		if free(p) {
			run = append(run, p)
			continue
		}
		if len(run) > 1 {
			runs = append(runs, run)
		}
		run = nil
	}
	if len(run) > 1 {
		runs = append(runs, run)
	}
	return runs
}

// note is a line of text and the room it takes; none where there is no room.
type note struct {
	line string
	area r2.Rect
}

// postNote is what is written at a post.
func (l labels) postNote(t pack.Post) note {
	all, done := l.notes[t.Face]
	if !done {
		all = map[string]note{}
		for _, o := range l.net.Kind.Posts {
			if o.Face == t.Face {
				all[o.Name] = l.noteClearOf(o, all)
			}
		}
		if l.notes != nil {
			l.notes[t.Face] = all
		}
	}
	return all[t.Name]
}

// noteClearOf is what is written at a post: below it, above or beside, where it meets no post,
// no other note and not the edge of the panel, or of the piece of it.
func (l labels) noteClearOf(t pack.Post, others map[string]note) note {
	c, r := l.net.At(t.Face, t.At), t.Diameter/2
	p := l.net.roomOn(l.net.panelOf(t.Face), &c)
	for _, line := range l.postLines(t) {
		area := r2.Point{X: drawing.Width(line, drawing.Least), Y: lead * drawing.Least}
		x := min(max(c.X, p.Rect.X.Lo+2+area.X/2), p.Rect.X.Hi-2-area.X/2)
		up, aside := r+drawing.Least, r+1+area.X/2
		for _, at := range []r2.Point{{X: x, Y: c.Y - up}, {X: x, Y: c.Y + up}, {X: c.X + aside, Y: c.Y}, {X: c.X - aside, Y: c.Y}} {
			n := note{line, r2.RectFromCenterSize(at, area)}
			if p.Rect.Contains(n.area) && !l.onPost(t.Face, n.area) && !onNote(others, n.area) {
				return n
			}
		}
	}
	return note{}
}

// postLines is what may be written at a post, the fullest first: the box, the post, its
// polarity and how high it is. Words that have no room on a face go beside the net, but for a face
// that is cut along seams: there the box may be left out.
func (l labels) postLines(t pack.Post) []string {
	line := export.Printable(t.Name)
	if t.Polarity != "" {
		line += " " + sign(t.Polarity)
	}
	lines := []string{l.Name + " " + line}
	if t.Height > 0 {
		lines = append([]string{lines[0] + ", " + geom.FormatLength(t.Height, l.Unit) + " high"}, lines...)
	}
	if l.net.isSeamed(l.net.panelOf(t.Face).Part) {
		lines = append(lines, line)
	}
	return lines
}

// sign is a polarity as it is printed, with a minus as wide as the plus.
func sign(polarity string) string { return strings.ReplaceAll(polarity, "-", "−") }

func onNote(others map[string]note, area r2.Rect) bool {
	for _, o := range others {
		if o.line != "" && o.area.Intersects(area) {
			return true
		}
	}
	return false
}

// onPost tells whether an area of a face meets a post.
func (l labels) onPost(f pack.Face, area r2.Rect) bool {
	for _, t := range l.net.Kind.Posts {
		if t.Face == f && area.Intersects(r2.RectFromCenterSize(l.net.At(f, t.At), r2.Point{X: t.Diameter, Y: t.Diameter})) {
			return true
		}
	}
	return false
}

// Rolled posts: a strip of thin card as wide as the post is high, rolled to the post's
// diameter with its end glued over. Around a thick post it takes several, glued end over end.
const (
	rollOver = 12.0
	rollMost = 250.0 // of the way around that one strip goes
)

// rolls draws the strips for each post that stands out of its face, one above the other,
// and returns a drawing of no size where there is none.
func (l labels) rolls() drawing.Drawing {
	d := drawing.Drawing{Title: "Posts of " + l.Name}
	for _, t := range l.net.Kind.Posts {
		if t.Height < 1 || t.Diameter < 1 {
			continue
		}
		around := math.Pi * t.Diameter
		count := math.Ceil(around / rollMost)
		name := t.Name + " " + sign(t.Polarity)
		words := fmt.Sprintf("%s: thin card, roll to %s, tape on", name, geom.FormatLength(t.Diameter, l.Unit))
		if count > 1 {
			words = fmt.Sprintf("%s: %g of these end over end, roll to %s", name, count, geom.FormatLength(t.Diameter, l.Unit))
		}
		for range int(count) {
			l.roll(&d, around/count+rollOver, t.Height, words)
		}
	}
	return d
}

// roll adds a strip above what there is, with words beside it.
func (l labels) roll(d *drawing.Drawing, length, high float64, words string) {
	y := d.Size.Y
	d.Rect(drawing.Cut, r2.RectFromPoints(r2.Point{Y: y}, r2.Point{X: length, Y: y + high}))
	d.Line(drawing.Mark, r2.Point{X: length - rollOver, Y: y}, r2.Point{X: length - rollOver, Y: y + high})
	d.TextFrom(r2.Point{X: length + 2, Y: y + high/2}, drawing.Least, 110, words)
	d.Size.X, d.Size.Y = max(d.Size.X, length+2+min(110, drawing.Width(words, drawing.Least))), y+max(high, 5)+3
}
