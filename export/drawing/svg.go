package drawing

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"

	"rackwright/export"
)

// style is how the layers look in SVG.
func style() string {
	var b strings.Builder
	for layer, pen := range pens {
		fmt.Fprintf(&b, ".%v{fill:none;stroke:#000;stroke-width:%g%s}", Layer(layer), pen.width, dashed(pen.dashes))
	}
	fmt.Fprintf(&b, ".MARK .dotted{%s}", strings.TrimPrefix(dashed(dots), ";"))
	b.WriteString("text{font-family:Go,sans-serif;text-anchor:middle;fill:#000;stroke:none}.left{text-anchor:start}")
	return b.String()
}

// dashed is the property of a line with dashes, after a semicolon; nothing for a solid line.
func dashed(dashes []float64) string {
	if len(dashes) == 0 {
		return ""
	}
	return ";stroke-dasharray:" + strings.Trim(fmt.Sprint(dashes), "[]")
}

// WriteSVG writes the drawing at true size, with a group for each layer.
func (d Drawing) WriteSVG(w io.Writer) error {
	b := bufio.NewWriter(w)
	fmt.Fprintf(b, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%smm\" height=\"%smm\" viewBox=\"0 0 %s %s\">\n",
		num(d.Size.X), num(d.Size.Y), num(d.Size.X), num(d.Size.Y))
	fmt.Fprintf(b, "<title>%s</title>\n<style>%s</style>\n", export.Markup(d.Title), style())
	for _, layer := range []Layer{Cut, Fold, Mark} {
		fmt.Fprintf(b, "<g id=\"%v\" class=\"%v\">\n", layer, layer)
		d.svgLayer(b, layer)
		fmt.Fprint(b, "</g>\n")
	}
	fmt.Fprint(b, "</svg>\n")
	return b.Flush()
}

func (d Drawing) svgLayer(w io.Writer, layer Layer) {
	for _, p := range d.Paths {
		if p.Layer == layer {
			fmt.Fprintf(w, "<path%s d=\"%s\"/>\n", dotted(p)+wide(p), d.svgPath(p))
		}
	}
	for _, c := range d.Circles {
		if c.Layer == layer {
			fmt.Fprintf(w, "<circle cx=\"%s\" cy=\"%s\" r=\"%s\"/>\n", num(c.Centre.X), num(d.Size.Y-c.Centre.Y), num(c.Radius))
		}
	}
	if layer != Mark {
		return
	}
	for _, t := range d.Texts {
		at := t.baseline(0)
		x, y := num(at.X), num(d.Size.Y-at.Y)
		more := ""
		if t.Left {
			more = " class=\"left\""
		}
		if t.Turns != 0 {
			more += fmt.Sprintf(" transform=\"rotate(%d %s %s)\"", -90*t.Turns, x, y)
		}
		fmt.Fprintf(w, "<text x=\"%s\" y=\"%s\" font-size=\"%s\"%s>%s</text>\n", x, y, num(t.Size), more, export.Markup(t.Line))
	}
}

func dotted(p Path) string {
	if p.Dotted {
		return " class=\"dotted\""
	}
	return ""
}

// wide is the width of a line that has one of its own.
func wide(p Path) string {
	if p.Width == 0 {
		return ""
	}
	return fmt.Sprintf(" style=\"stroke-width:%s\"", num(p.Width))
}

func (d Drawing) svgPath(p Path) string {
	var b strings.Builder
	for i, q := range p.Points {
		b.WriteByte("ML"[min(i, 1)])
		fmt.Fprintf(&b, "%s %s", num(q.X), num(d.Size.Y-q.Y))
	}
	if p.Closed {
		b.WriteByte('Z')
	}
	return b.String()
}

// num rounds to a thousandth of a millimetre.
func num(v float64) string { return fmt.Sprintf("%g", math.Round(v*1000)/1000+0) }
