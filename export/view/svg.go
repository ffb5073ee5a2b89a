package view

import (
	"fmt"
	"io"
	"math"
	"strings"

	"rackwright/export"

	"github.com/golang/geo/r2"
)

// picture is drawn in pixels, y running down.
type picture struct {
	strings.Builder
	size  r2.Point
	highs []float64 // how much of its height each unit takes
}

// Style is the style sheet of all drawings, in CSS: black lines of three weights, light
// fills, and the lines of the patterns of boxes.
const Style = `.rw-paper{fill:#fff}
.rw-t{font:16px sans-serif;fill:#111}
.rw-b{font-weight:bold}
.rw-i{font-style:italic}
.rw-m{text-anchor:middle}
.rw-e{text-anchor:end}
.rw-halo,.rw-fig{paint-order:stroke;stroke:#fff;stroke-width:3;stroke-linejoin:round}
.rw-line{fill:none;stroke:#111;stroke-width:1.3;stroke-linecap:round}
.rw-hid{fill:none;stroke:#111;stroke-width:0.9;stroke-dasharray:5 4}
.rw-over{fill:none;stroke:#111;stroke-width:1.5;stroke-dasharray:0.1 4;stroke-linecap:round}
.rw-thin{fill:none;stroke:#555;stroke-width:0.6}
.rw-side{fill:none;stroke:#111;stroke-width:3;stroke-linecap:round}
.rw-open{fill:none;stroke:#111;stroke-width:1.6;stroke-dasharray:12 4 2 4}
.rw-lead{fill:none;stroke:#111;stroke-width:0.8}
.rw-dim{fill:none;stroke:#111;stroke-width:1.6}
.rw-notch{fill:none;stroke:#111;stroke-width:2.2;stroke-dasharray:7 3}
.rw-gap{fill:none;stroke:#a3123f;stroke-width:2.4}
.rw-gapt{fill:#a3123f;font-weight:bold}
.rw-p1,.rw-p2,.rw-p3,.rw-p4,.rw-p5{fill:none;stroke:#7d8794;stroke-width:0.7;stroke-linecap:round}
.rw-p2{stroke-width:2.4}
`

// tints lie under the patterns of kinds of boxes, of frame tubes and of keep-outs.
var kindTints = [...]string{"#eef3f8", "#f6efdd", "#e3efe6", "#f3e6ee", "#e9e7f4", "#efefef"}

// hatches are the patterns of kinds of boxes, the first one plain.
var hatches = [...]string{
	"", "M-2 14L14 -2M10 26L26 10M-2 26L26 -2",
	"M6 6h0.01M18 18h0.01", "M-2 10L14 26M10 -2L26 14M-2 -2L26 26",
	"M0 6H24M0 18H24", "M6 0V24M18 0V24",
}

// defs are the patterns of the pack's kinds and of keep-outs, with names that begin with
// prefix.
func (s *Scene) defs(prefix string) string {
	var b strings.Builder
	b.WriteString("<defs>")
	for i := range min(len(hatches), len(s.problem.Pack.Kinds)) {
		fmt.Fprintf(&b, `<pattern id="%sk%d" width="24" height="24" patternUnits="userSpaceOnUse"><path fill="%s" d="M0 0H24V24H0z"/>`, prefix, i, kindTints[i])
		if hatches[i] != "" {
			fmt.Fprintf(&b, `<path class="rw-p%d" d="%s"/>`, i, hatches[i])
		}
		b.WriteString("</pattern>")
	}
	fmt.Fprintf(&b, `<pattern id="%sko" width="6" height="6" patternUnits="userSpaceOnUse"><path fill="#e2e2e2" d="M0 0H6V6H0z"/><path stroke="#888" stroke-width="0.6" d="M0 0L6 6M6 0L0 6"/></pattern>`, prefix)
	if s.options.Rack != nil {
		fmt.Fprintf(&b, `<pattern id="%srk" width="4" height="4" patternUnits="userSpaceOnUse"><path fill="#fff" d="M0 0H4V4H0z"/><path stroke="#444" stroke-width="0.9" d="M-1 1L1 -1M0 4L4 0M3 5L5 3"/></pattern>`, prefix)
	}
	b.WriteString("</defs>\n")
	return b.String()
}

// alternative is an element that tells in words what the picture shows, in the first of
// the units. With more of them it holds the words in each as data-mm and data-in, for a
// script to choose from: of what is read aloud a style sheet cannot choose.
func (s *Scene) alternative(tag, id string, text words) string {
	var data strings.Builder
	for _, u := range s.options.Units {
		if len(s.options.Units) > 1 {
			fmt.Fprintf(&data, ` data-%v="%s"`, u, export.Markup(text(u)))
		}
	}
	return fmt.Sprintf(`<%s id="%s"%s>%s</%s>`, tag, id, data.String(), export.Markup(text(s.options.Units[0])), tag)
}

// writeSVG writes a picture with its alternatives in text.
func (s *Scene) writeSVG(w io.Writer, p *picture, prefix string, title, description words) error {
	style := "<style>" + Style + "</style>\n"
	if s.options.Inline {
		style = ""
	}
	_, err := fmt.Fprintf(w, `<svg xmlns="http://www.w3.org/2000/svg" width="%s" height="%s" viewBox="0 0 %s %s"%s role="img" aria-labelledby="%stitle %sdesc">
%s
%s
%s%s<rect class="rw-paper" width="%s" height="%s"/>
%s</svg>
`, num(p.size.X), num(p.size.Y), num(p.size.X), num(p.size.Y), s.heights(p), prefix, prefix, s.alternative("title", prefix+"title", title), s.alternative("desc", prefix+"desc", description), style, s.defs(prefix), num(p.size.X), num(p.size.Y), p.String())
	return err
}

// heights tell a script how high a picture is in each unit, where there is more than one.
func (s *Scene) heights(p *picture) string {
	var data strings.Builder
	if len(p.highs) > 1 {
		for i, u := range s.options.Units {
			fmt.Fprintf(&data, ` data-high-%v="%s"`, u, num(p.highs[i]))
		}
	}
	return data.String()
}

// strokes are lines of one body, by class, in the order in which they were drawn.
type strokes struct {
	classes []string
	paths   map[string][][]r2.Point
}

// add appends a line, to the last one of its class where that ends at from.
func (s *strokes) add(class string, from, to r2.Point) {
	if s.paths == nil {
		s.paths = map[string][][]r2.Point{}
	}
	paths := s.paths[class]
	if len(paths) == 0 {
		s.classes = append(s.classes, class)
	}
	if n := len(paths) - 1; n >= 0 && paths[n][len(paths[n])-1].Sub(from).Norm() < 0.05 {
		paths[n] = append(paths[n], to)
	} else {
		paths = append(paths, []r2.Point{from, to})
	}
	s.paths[class] = paths
}

// stroke draws them, one path for each class.
func (p *picture) stroke(s strokes) {
	for _, class := range s.classes {
		var d strings.Builder
		for _, path := range s.paths[class] {
			d.WriteString(pathOf(path))
		}
		fmt.Fprintf(p, "<path class=%q d=%q/>\n", class, d.String())
	}
}

// line draws a path through points.
func (p *picture) line(class string, points ...r2.Point) {
	fmt.Fprintf(p, "<path class=%q d=%q/>\n", class, pathOf(points))
}

// manyPoints is from how many points on a path is written in steps, which are shorter.
const manyPoints = 8

func pathOf(points []r2.Point) string {
	if len(points) >= manyPoints {
		return stepsOf(points)
	}
	var b strings.Builder
	for i, q := range points {
		b.WriteString(map[bool]string{true: "M", false: " "}[i == 0]) // what follows a move is a line
		b.WriteString(num(q.X) + " " + num(q.Y))
	}
	return b.String()
}

// stepsOf is a path in steps from point to point, with nothing that can be left out: no points on the
// way of a straight line, no zero before a decimal point, and no space before a minus.
func stepsOf(points []r2.Point) string {
	path := fmt.Sprintf("M%s %sl", num(points[0].X), num(points[0].Y))
	last := tenths(points[0])
	var steps []byte
	for i, q := range points[1:] {
		now := tenths(q)
		step := now.Sub(last)
		if i+2 < len(points) {
			if next := tenths(points[i+2]).Sub(now); step.Cross(next) == 0 && step.Dot(next) >= 0 {
				continue
			}
		}
		steps, last = withStep(withStep(steps, step.X), step.Y), now
	}
	return path + string(steps)
}

// withStep adds a step in tenths.
func withStep(steps []byte, tenths float64) []byte {
	text := num(tenths / 10)
	if math.Abs(tenths) < 10 && tenths != 0 {
		text = strings.Replace(text, "0.", ".", 1)
	}
	if len(steps) > 0 && text[0] != '-' {
		steps = append(steps, ' ')
	}
	return append(steps, text...)
}

func (p *picture) text(class string, at r2.Point, line string) {
	fmt.Fprintf(p, "<text class=%q x=%q y=%q>%s</text>\n", strings.TrimSpace("rw-t "+class), num(at.X), num(at.Y), export.Markup(line))
}

// upward writes a line that runs from below upward and ends at a point.
func (p *picture) upward(class string, at r2.Point, line string) {
	fmt.Fprintf(p, "<text class=%q transform=\"translate(%s %s) rotate(-90)\">%s</text>\n", strings.TrimSpace("rw-t "+class), num(at.X), num(at.Y), export.Markup(line))
}

// put draws another picture at a point of this one.
func (p *picture) put(q *picture, at r2.Point) {
	fmt.Fprintf(p, "<g transform=\"translate(%s %s)\">\n%s</g>\n", num(at.X), num(at.Y), q.String())
}

// brief is a text of at most n letters.
func brief(text string, n int) string {
	if r := []rune(text); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return text
}

// tenths is a point in tenths of a pixel.
func tenths(q r2.Point) r2.Point {
	return r2.Point{X: math.Round(q.X * 10), Y: math.Round(q.Y * 10)}
}

// num rounds to a tenth of a pixel.
func num(v float64) string { return fmt.Sprintf("%g", math.Round(v*10)/10+0) }
