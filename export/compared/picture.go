package compared

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"rackwright/export"
	"rackwright/export/plot"
	"rackwright/pack/compare"
)

// Colours that people tell apart whichever colours they see (Okabe & Ito, Color Universal Design,
// 2008): shapes tell the same.
const (
	blue, orange, grey = "#0072B2", "#E69F00", "#6B6B6B"
	ink                = "#222"
)

// Sizes of the picture in pixels.
const (
	panelWidth         = 520.0
	panelLeft, between = 64.0, 64.0
	panelTop, below    = 64.0, 76.0
	leastHeight        = 380.0
)

// mostUnknown is how many rows that are not known are drawn: more would hide those that go in.
const mostUnknown = 12

// naming says which rows have their names in the picture, and whether lines to names may go over marks.
// What does not find places in a picture up to so many pixels high is tried with less.
type naming struct {
	crossing, unbeaten bool
	highest            float64
}

var namings = []naming{{false, false, 600}, {true, false, 1000}, {true, true, 1500}}

// panel is one of the two diagrams: energy against something.
type panel struct {
	title  string
	lines  []line
	of     func(line) float64 // along
	x, y   plot.Scale
	names  []label
	height float64
}

// WritePicture draws energy against mass, and against what is to spare, as SVG. What does not go in for
// certain is left out.
func (c Comparison) WritePicture(w io.Writer) error {
	lines, err := c.lines()
	if err != nil {
		return err
	}
	lines = drawn(lines)
	spare := panel{title: "to spare in mm (less than 0: short)", of: func(l line) float64 { return l.Spare }}
	mass := panel{title: "mass of the batteries in kg", of: func(l line) float64 {
		if kg, ok := l.Mass(); ok {
			return kg
		}
		return math.NaN()
	}}
	panels := []*panel{&mass, &spare}
	for _, p := range panels {
		p.take(lines)
	}
	layOut(panels)
	return c.draw(w, panels)
}

// drawn are the rows of the picture: those that go in, and what is not known where there is not too
// much of it.
func drawn(lines []line) []line {
	unknown := 0
	for _, l := range lines {
		if l.Verdict == compare.NotKnown {
			unknown++
		}
	}
	return slices.DeleteFunc(slices.Clone(lines), func(l line) bool {
		return l.rank() > 2 || l.Verdict == compare.NotKnown && unknown > mostUnknown
	})
}

// layOut finds the least height at which all names have places.
func layOut(panels []*panel) {
	for _, n := range namings {
		for height := leastHeight; height <= n.highest; height *= 1.2 {
			all := true
			for i, p := range panels {
				p.lay(float64(i), height)
				all = p.place(n) && all
			}
			if all {
				return
			}
		}
	}
	for _, p := range panels { // what has no place has no name
		p.names = slices.DeleteFunc(p.names, func(l label) bool { return l.box == r2.Rect{} })
	}
}

// take takes what has a place in the panel.
func (p *panel) take(lines []line) {
	for _, l := range lines {
		if v := p.of(l); !math.IsNaN(v) && !math.IsInf(v, 0) {
			p.lines = append(p.lines, l)
		}
	}
}

// lay makes the scales for a height, the panel being the first, second …
func (p *panel) lay(number, height float64) {
	p.height = height
	left := panelLeft + number*(panelWidth+between)
	along, up := r1.Interval{Lo: 0, Hi: 0}, r1.Interval{Lo: 0, Hi: 0}
	for _, l := range p.lines {
		along, up = along.AddPoint(p.of(l)), up.AddPoint(l.KWh())
	}
	p.x = plot.NewScale(along.Lo, along.Hi, left, left+panelWidth)
	p.y = plot.NewScale(up.Lo, up.Hi, panelTop+height, panelTop)
}

func (p *panel) at(l line) r2.Point { return r2.Point{X: p.x.Px(p.of(l)), Y: p.y.Px(l.KWh())} }

// field is where marks and names may be.
func (p *panel) field() r2.Rect {
	left := p.x.Px(p.x.Ticks()[0])
	return r2.Rect{X: r1.Interval{Lo: left, Hi: left + panelWidth + between - 30}, Y: r1.Interval{Lo: panelTop - 8, Hi: panelTop + p.height}}
}

// place puts names beside the marks, and tells whether there was room for all.
func (p *panel) place(n naming) bool {
	var marks []r2.Point
	p.names = nil
	for _, l := range p.lines {
		marks = append(marks, p.at(l))
		if !n.unbeaten || l.rank() == 0 {
			p.names = append(p.names, label{text: export.Printable(l.Name()), of: p.at(l)})
		}
	}
	return place(p.names, marks, p.field(), n.crossing)
}

// picture writes SVG elements, one a line.
type picture struct{ *bufio.Writer }

func (d picture) write(format string, args ...any) { fmt.Fprintf(d, format+"\n", args...) }

func (d picture) text(x, y float64, anchor string, size float64, text string) {
	d.write(`<text x="%.1f" y="%.1f" text-anchor="%s" font-size="%g" fill="%s">%s</text>`, x, y, anchor, size, ink, export.Markup(text))
}

func (d picture) line(a, b r2.Point, stroke string, width float64) {
	d.write(`<line x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f" stroke="%s" stroke-width="%g"/>`, a.X, a.Y, b.X, b.Y, stroke, width)
}

func (c Comparison) draw(w io.Writer, panels []*panel) error {
	d := picture{bufio.NewWriter(w)}
	width := panelLeft + 2*panelWidth + 2*between
	height := panelTop + panels[0].height + below
	d.write(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" width="%g" height="%g" font-family="sans-serif" role="img">`, width, height, width, height)
	d.write("<title>%s</title>", export.Markup("Energy against mass and against what is to spare: "+c.Frame.Name))
	d.write(`<rect width="100%%" height="100%%" fill="#fff"/>`)
	d.legend()
	for _, p := range panels {
		d.panel(p, c)
	}
	d.write("</svg>")
	return d.Flush()
}

// legend says what the marks mean.
func (d picture) legend() {
	x := panelLeft
	for _, m := range []struct {
		of   mark
		text string
	}{
		{mark{compare.Sure, false}, "sure"},
		{mark{compare.Tight, false}, "tight"},
		{mark{compare.NotKnown, false}, "not known"},
		{mark{compare.Sure, true}, "empty: beaten by another in everything"},
	} {
		d.mark(r2.Point{X: x, Y: 22}, m.of, "")
		d.text(x+12, 26, "start", 12, m.text)
		x += 36 + textWidth(m.text, 12)
	}
}

func (d picture) panel(p *panel, c Comparison) {
	left, right := p.x.Px(p.x.Ticks()[0]), p.x.Px(p.x.Ticks()[len(p.x.Ticks())-1])
	bottom := panelTop + p.height
	for _, v := range p.x.Ticks() {
		d.line(r2.Point{X: p.x.Px(v), Y: panelTop}, r2.Point{X: p.x.Px(v), Y: bottom}, "#e4e4e4", 1)
		d.text(p.x.Px(v), bottom+18, "middle", 12, plot.Label(v))
	}
	for _, v := range p.y.Ticks() {
		d.line(r2.Point{X: left, Y: p.y.Px(v)}, r2.Point{X: right, Y: p.y.Px(v)}, "#e4e4e4", 1)
		d.text(left-8, p.y.Px(v)+4, "end", 12, plot.Label(v))
	}
	d.line(r2.Point{X: p.x.Px(0), Y: panelTop}, r2.Point{X: p.x.Px(0), Y: bottom}, ink, 1.5)
	d.line(r2.Point{X: left, Y: p.y.Px(0)}, r2.Point{X: right, Y: p.y.Px(0)}, ink, 1.5)
	d.text((left+right)/2, bottom+42, "middle", 13, p.title)
	d.text(left-8, panelTop-14, "start", 13, "energy in kWh")
	for _, n := range p.names {
		if n.leads() {
			d.line(n.of, n.end(), "#9a9a9a", 0.8)
		}
	}
	for _, l := range p.lines {
		d.mark(p.at(l), mark{l.Verdict, l.by != nil}, c.words(l))
	}
	for _, n := range p.names {
		d.write(`<text class="name" x="%.1f" y="%.1f" text-anchor="middle" font-size="%g" fill="%s">%s</text>`, n.box.Center().X, n.box.Y.Hi-4, fontSize, ink, export.Markup(n.text))
	}
}

// mark is how a row is drawn.
type mark struct {
	verdict compare.Verdict
	beaten  bool
}

// mark draws a circle for sure, a diamond for tight, a square for not known; those that are beaten are
// empty. what is told where one points at it.
func (d picture) mark(at r2.Point, m mark, what string) {
	colour, shape := blue, fmt.Sprintf(`<circle cx="%.1f" cy="%.1f" r="5"`, at.X, at.Y)
	switch m.verdict {
	case compare.Tight:
		colour, shape = orange, fmt.Sprintf(`<path d="M%.1f %.1fl5.5 5.5l-5.5 5.5l-5.5 -5.5z"`, at.X, at.Y-5.5)
	case compare.NotKnown:
		colour, shape = grey, fmt.Sprintf(`<rect x="%.1f" y="%.1f" width="8" height="8"`, at.X-4, at.Y-4)
	}
	fill := colour
	if m.beaten || m.verdict == compare.NotKnown {
		fill = "#fff"
	}
	d.write(`%s fill="%s" stroke="%s" stroke-width="1.8"><title>%s</title></%s>`, shape, fill, colour, export.Markup(what), element(shape))
}

// element is the name of the element that a shape begins.
func element(shape string) string {
	for i, r := range shape {
		if r == ' ' {
			return shape[1:i]
		}
	}
	return shape
}
