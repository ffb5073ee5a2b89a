// Package drawing holds flat drawings at true size and writes them in several forms.
// What draws (nets, gauges, silhouettes) knows of no form, and a form of no subject.
//
//	drawing.go  Drawing and its elements
//	legend.go   bars to check the size with, and lines of text below a drawing
//	text.go     how wide a line of text is
//	free.go     text where there is room for it
//	join.go     stretches joined into closed lines
//	svg.go      SVG
//	pdf.go      PDF on one page at full size
//	wrap.go     lines broken between words, and the least size of words
//	scissors.go the mark of a line to cut along
//	clip.go     marks cut off at a rectangle
//	sheets.go   PDF on several pages of a printer, pieces packed together
//	tiles.go    what is larger than a page, cut up
//	pages.go    PDF of several drawings, a page each
//	dxf.go      DXF R12 for a knife or a laser
package drawing

import (
	"math"

	"rackwright/export"

	"github.com/golang/geo/r2"
)

// Layer says what is done along a line.
type Layer int

const (
	Cut  Layer = iota // cut through
	Fold              // score, and fold away from the reader
	Mark              // only drawn
)

var layerNames = [...]string{"CUT", "FOLD", "MARK"}

// String returns the name of the layer in files: CUT, FOLD or MARK.
func (l Layer) String() string { return layerNames[l] }

// pen is how lines are drawn, in millimetres: dashes and the gaps after them in turn,
// none for a solid line.
type pen struct {
	width  float64
	dashes []float64
}

// Pens of the layers, and the dashes of dotted lines on any of them.
var (
	pens = [...]pen{Cut: {0.9, nil}, Fold: {0.35, []float64{6, 3}}, Mark: {0.25, nil}}
	dots = []float64{0.8, 1.6}
)

// Path is a line through points, joined to its start where it is closed.
type Path struct {
	Layer  Layer
	Points []r2.Point
	Closed bool
	Dotted bool    // for limits that are no edges
	Width  float64 // of the line on paper, such as a cable's; 0 for that of the layer
}

// Circle is a circle.
type Circle struct {
	Layer  Layer
	Centre r2.Point
	Radius float64
}

// Text is a line of text around a point, or beginning there with Left. Size is that of
// the face, in millimetres; capitals are 0.7 of it high. Turns are quarter turns
// counter-clockwise.
type Text struct {
	At    r2.Point
	Size  float64
	Turns int
	Line  string
	Left  bool
}

// Drawing is a flat drawing in millimetres, x to the right and y up, on a sheet from
// the origin to Size. The zero value is an empty one.
type Drawing struct {
	Title   string
	Size    r2.Point
	Paths   []Path
	Circles []Circle
	Texts   []Text
}

// Line adds a straight line.
func (d *Drawing) Line(layer Layer, a, b r2.Point) {
	d.Paths = append(d.Paths, Path{Layer: layer, Points: []r2.Point{a, b}})
}

// Polygon adds a closed line.
func (d *Drawing) Polygon(layer Layer, corners []r2.Point) {
	d.Paths = append(d.Paths, Path{Layer: layer, Points: corners, Closed: true})
}

// Rect adds a rectangle.
func (d *Drawing) Rect(layer Layer, r r2.Rect) {
	v := r.Vertices()
	d.Polygon(layer, v[:])
}

// Circle adds a circle.
func (d *Drawing) Circle(layer Layer, centre r2.Point, radius float64) {
	d.Circles = append(d.Circles, Circle{layer, centre, radius})
}

// Text adds a line of text around a point, smaller than size where it would be wider
// than room.
func (d *Drawing) Text(at r2.Point, size, room float64, turns int, line string) {
	line = export.Printable(line)
	if w := Width(line, 1); w > 0 {
		size = min(size, room/w)
	}
	if line != "" && size > 0 {
		d.Texts = append(d.Texts, Text{At: at, Size: size, Turns: (turns%4 + 4) % 4, Line: line})
	}
}

// TextFrom is Text for a line that reads to the right and begins at a point.
func (d *Drawing) TextFrom(at r2.Point, size, room float64, line string) {
	before := len(d.Texts)
	d.Text(at, size, room, 0, line)
	for i := before; i < len(d.Texts); i++ {
		d.Texts[i].Left = true
	}
}

// Arrow adds an arrow of MARK lines.
func (d *Drawing) Arrow(from, to r2.Point) {
	along := to.Sub(from)
	head := min(along.Norm()/3, 6)
	back := along.Normalize().Mul(head)
	aside := back.Ortho().Mul(0.5)
	d.Line(Mark, from, to)
	d.Paths = append(d.Paths, Path{Layer: Mark, Points: []r2.Point{to.Sub(back).Add(aside), to, to.Sub(back).Sub(aside)}})
}

// Cross adds two short lines that meet at a point.
func (d *Drawing) Cross(layer Layer, at r2.Point, arm float64) {
	d.Line(layer, at.Sub(r2.Point{X: arm}), at.Add(r2.Point{X: arm}))
	d.Line(layer, at.Sub(r2.Point{Y: arm}), at.Add(r2.Point{Y: arm}))
}

// Add puts another drawing onto this one, turned by quarter turns counter-clockwise
// about its own origin and then moved.
func (d *Drawing) Add(o Drawing, turns int, by r2.Point) {
	to := func(p r2.Point) r2.Point { return Turned(p, turns).Add(by) }
	for _, p := range o.Paths {
		moved := make([]r2.Point, len(p.Points))
		for i, q := range p.Points {
			moved[i] = to(q)
		}
		p.Points = moved
		d.Paths = append(d.Paths, p)
	}
	for _, c := range o.Circles {
		d.Circles = append(d.Circles, Circle{c.Layer, to(c.Centre), c.Radius})
	}
	for _, t := range o.Texts {
		t.At, t.Turns = to(t.At), (t.Turns+turns)%4
		d.Texts = append(d.Texts, t)
	}
}

// Turned turns a point about the origin by quarter turns counter-clockwise, exactly.
func Turned(p r2.Point, turns int) r2.Point {
	for range (turns%4 + 4) % 4 {
		p = r2.Point{X: 0 - p.Y, Y: p.X}
	}
	return p
}

// Bounds is the least rectangle around all that is drawn, text as wide as it is taken
// to be.
func (d Drawing) Bounds() r2.Rect {
	b := r2.EmptyRect()
	for _, p := range d.Paths {
		for _, q := range p.Points {
			b = b.AddPoint(q)
		}
	}
	for _, c := range d.Circles {
		b = b.AddRect(r2.RectFromCenterSize(c.Centre, r2.Point{X: 2 * c.Radius, Y: 2 * c.Radius}))
	}
	for _, t := range d.Texts {
		b = b.AddRect(t.Area())
	}
	return b
}

// Area is the rectangle that a line of text takes, with what hangs below it.
func (t Text) Area() r2.Rect {
	size := r2.Point{X: Width(t.Line, t.Size), Y: t.Size}
	at := t.At
	if t.Left {
		at = at.Add(Turned(r2.Point{X: size.X / 2}, t.Turns))
	}
	if t.Turns%2 == 1 {
		size.X, size.Y = size.Y, size.X
	}
	return r2.RectFromCenterSize(at, size)
}

// baseline is where a line of text as wide as given starts: capitals then have the
// middle of their height at t.At.
func (t Text) baseline(width float64) r2.Point {
	if t.Left {
		width = 0
	}
	return t.At.Add(Turned(r2.Point{X: -width / 2, Y: -capitals / 2 * t.Size}, t.Turns))
}

// capitals is the height of a capital letter over the size of the face.
const capitals = 0.7

// Arc returns points along a circle from one angle to another, in radians, with sides
// that leave it by less than 0.05 mm.
func Arc(centre r2.Point, radius, from, to float64) []r2.Point {
	const off = 0.05
	step := 2 * math.Acos(1-min(1, off/max(radius, off)))
	n := max(2, int(math.Ceil(math.Abs(to-from)/step)))
	list := make([]r2.Point, 0, n+1)
	for i := range n + 1 {
		sin, cos := math.Sincos(from + (to-from)*float64(i)/float64(n))
		list = append(list, r2.Point{X: centre.X + radius*cos, Y: centre.Y + radius*sin})
	}
	return list
}
