// Package plot draws a small picture of one number against another, as SVG.
package plot

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"

	"rackwright/export"
)

// Point is one point of a plot.
type Point struct {
	X, Y float64
	Firm bool // drawn filled: nothing better is possible; else hollow
}

// Plot is points joined by a line, over a grid with the line of zero drawn strong.
type Plot struct {
	Title, X, Y string // what it shows, and what the axes are
	Note        string // below the picture; may be empty
	Points      []Point
}

// Size of the picture and of the field within it, in pixels.
const (
	width, height           = 640.0, 400.0
	left, right, above, low = 64.0, 616.0, 44.0, 326.0
)

// WriteSVG writes the plot. Points that are no finite numbers are left out.
func (p Plot) WriteSVG(w io.Writer) error {
	b := bufio.NewWriter(w)
	d := drawing{
		b, scaleFor(p.Points, func(q Point) float64 { return q.X }, false, left, right),
		scaleFor(p.Points, func(q Point) float64 { return q.Y }, true, low, above),
	}
	d.write(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" width="%g" height="%g" font-family="sans-serif" font-size="13" role="img">`,
		width, height, width, height)
	d.write("<title>%s</title>", export.Markup(p.Title))
	d.write(`<rect width="100%%" height="100%%" fill="#fff"/>`)
	d.text(left, 24, "start", p.Title)
	d.grid()
	d.text((left+right)/2, low+38, "middle", p.X)
	d.write(`<text transform="translate(16 %g) rotate(-90)" text-anchor="middle" fill="#222">%s</text>`, (above+low)/2, export.Markup(p.Y))
	d.write(`<text x="%g" y="%g" font-size="11" fill="#222">%s</text>`, left, height-10, export.Markup(p.Note))
	d.curve(p.Points)
	d.write("</svg>")
	return b.Flush()
}

// Scale maps numbers to pixels, with ticks at round numbers.
type Scale struct {
	from, to, step float64
	at0, at1       float64
}

// scaleFor spans what the points need, and zero where it is wanted.
func scaleFor(points []Point, of func(Point) float64, zero bool, at0, at1 float64) Scale {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range points {
		if p.finite() {
			lo, hi = min(lo, of(p)), max(hi, of(p))
		}
	}
	if zero || lo > hi {
		lo, hi = min(lo, 0), max(hi, 0)
	}
	return NewScale(lo, hi, at0, at1)
}

// NewScale spans lo to hi and goes on to the next tick on either side; these are at the pixels at0
// and at1.
func NewScale(lo, hi, at0, at1 float64) Scale {
	if hi-lo < 1e-9 {
		lo, hi = lo-1, hi+1
	}
	step := roundStep((hi - lo) / 6)
	return Scale{math.Floor(lo/step+1e-9) * step, math.Ceil(hi/step-1e-9) * step, step, at0, at1}
}

// roundStep is the least of 1, 2 and 5 times a power of ten that is not below v.
func roundStep(v float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 2, 5} {
		if m*power >= v*(1-1e-9) {
			return m * power
		}
	}
	return 10 * power
}

// Px is the pixel of a number.
func (s Scale) Px(v float64) float64 { return s.at0 + (v-s.from)/(s.to-s.from)*(s.at1-s.at0) }

// Ticks are the round numbers that are marked.
func (s Scale) Ticks() []float64 {
	var list []float64
	for i := range int(math.Round((s.to-s.from)/s.step)) + 1 {
		list = append(list, s.from+float64(i)*s.step)
	}
	return list
}

func (p Point) finite() bool { return !math.IsInf(p.X+p.Y, 0) && !math.IsNaN(p.X+p.Y) }

// drawing writes SVG elements, one a line.
type drawing struct {
	*bufio.Writer
	x, y Scale
}

func (d drawing) write(format string, args ...any) { fmt.Fprintf(d, format+"\n", args...) }

func (d drawing) text(x, y float64, anchor, text string) {
	if text != "" {
		d.write(`<text x="%.1f" y="%.1f" text-anchor="%s" fill="#222">%s</text>`, x, y, anchor, export.Markup(text))
	}
}

func (d drawing) line(x0, y0, x1, y1 float64, stroke string, width float64) {
	d.write(`<line x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f" stroke="%s" stroke-width="%g"/>`, x0, y0, x1, y1, stroke, width)
}

func (d drawing) grid() {
	for _, v := range d.x.Ticks() {
		d.line(d.x.Px(v), above, d.x.Px(v), low, "#ddd", 1)
		d.text(d.x.Px(v), low+18, "middle", Label(v))
	}
	for _, v := range d.y.Ticks() {
		d.line(left, d.y.Px(v), right, d.y.Px(v), "#ddd", 1)
		d.text(left-8, d.y.Px(v)+4, "end", Label(v))
	}
	d.line(left, d.y.Px(0), right, d.y.Px(0), "#222", 2)
}

// Label writes a tick without the noise of sums.
func Label(v float64) string { return fmt.Sprintf("%g", math.Round(v*1e6)/1e6+0) }

// curve joins the points and marks each.
func (d drawing) curve(points []Point) {
	var path []string
	for _, p := range points {
		if p.finite() {
			path = append(path, fmt.Sprintf("%.1f,%.1f", d.x.Px(p.X), d.y.Px(p.Y)))
		}
	}
	d.write(`<polyline points="%s" fill="none" stroke="#2a6f97" stroke-width="2"/>`, strings.Join(path, " "))
	for _, p := range points {
		if !p.finite() {
			continue
		}
		fill := "#fff"
		if p.Firm {
			fill = "#2a6f97"
		}
		d.write(`<circle cx="%.1f" cy="%.1f" r="4" fill="%s" stroke="#2a6f97" stroke-width="2"/>`, d.x.Px(p.X), d.y.Px(p.Y), fill)
	}
}
