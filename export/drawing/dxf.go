package drawing

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"rackwright/export"

	"github.com/golang/geo/r2"
)

// WriteDXF writes the drawing as DXF of release 12 (AC1009), in millimetres, for knives
// and lasers: layers CUT, FOLD and MARK, lines, polylines, circles and texts. Letters
// beyond ASCII are written as \U+XXXX, as the format has it.
func (d Drawing) WriteDXF(w io.Writer) error {
	b := bufio.NewWriter(w)
	x := dxf{b}
	x.header(d.Size)
	x.tables()
	x.section("ENTITIES")
	for _, p := range d.Paths {
		x.path(p)
	}
	for _, c := range d.Circles {
		x.entity("CIRCLE", c.Layer)
		x.point(10, c.Centre)
		x.real(40, c.Radius)
	}
	for _, t := range d.Texts {
		x.text(t)
	}
	x.pair(0, "ENDSEC")
	x.pair(0, "EOF")
	return b.Flush()
}

// dxf writes group codes and values.
type dxf struct{ w io.Writer }

func (x dxf) pair(code int, value string) { fmt.Fprintf(x.w, "%3d\r\n%s\r\n", code, value) }
func (x dxf) real(code int, v float64)    { x.pair(code, fmt.Sprintf("%.6f", v+0)) }
func (x dxf) number(code, v int)          { x.pair(code, fmt.Sprintf("%6d", v)) }

// point writes a point of the drawing, whose third coordinate is 0.
func (x dxf) point(code int, p r2.Point) {
	x.real(code, p.X)
	x.real(code+10, p.Y)
	x.real(code+20, 0)
}

func (x dxf) section(name string) {
	x.pair(0, "SECTION")
	x.pair(2, name)
}

// header says that the units are millimetres: $INSUNITS 4, and metric $MEASUREMENT.
func (x dxf) header(size r2.Point) {
	x.section("HEADER")
	x.pair(9, "$ACADVER")
	x.pair(1, "AC1009")
	x.pair(9, "$INSUNITS")
	x.number(70, 4)
	x.pair(9, "$MEASUREMENT")
	x.number(70, 1)
	x.pair(9, "$EXTMIN")
	x.point(10, r2.Point{})
	x.pair(9, "$EXTMAX")
	x.point(10, size)
	x.pair(0, "ENDSEC")
}

// Line types: a name, a description, and dashes with the gaps after them.
var lineTypes = []struct {
	name, text string
	dashes     []float64
}{
	{"CONTINUOUS", "Solid line", nil},
	{"DASHED", "__ __ __", pens[Fold].dashes},
	{"DOTTED", ". . . .", dots},
}

func (x dxf) tables() {
	x.section("TABLES")
	x.table("LTYPE", len(lineTypes))
	for _, t := range lineTypes {
		x.pair(0, "LTYPE")
		x.pair(2, t.name)
		x.number(70, 0)
		x.pair(3, t.text)
		x.number(72, 65)
		x.number(73, len(t.dashes))
		length := 0.0
		for _, v := range t.dashes {
			length += v
		}
		x.real(40, length)
		for i, v := range t.dashes {
			x.real(49, v*float64(1-2*(i%2))) // gaps are negative
		}
	}
	x.pair(0, "ENDTAB")
	x.layers()
	x.styles()
	x.pair(0, "ENDSEC")
}

func (x dxf) table(name string, size int) {
	x.pair(0, "TABLE")
	x.pair(2, name)
	x.number(70, size)
}

// layers have a colour each, so that a machine can tell them apart: red to cut, blue to
// fold, black or white to mark.
func (x dxf) layers() {
	x.table("LAYER", 4)
	for _, l := range []struct {
		name, line string
		colour     int
	}{{"0", "CONTINUOUS", 7}, {Cut.String(), "CONTINUOUS", 1}, {Fold.String(), "DASHED", 5}, {Mark.String(), "CONTINUOUS", 7}} {
		x.pair(0, "LAYER")
		x.pair(2, l.name)
		x.number(70, 0)
		x.number(62, l.colour)
		x.pair(6, l.line)
	}
	x.pair(0, "ENDTAB")
}

func (x dxf) styles() {
	x.table("STYLE", 1)
	x.pair(0, "STYLE")
	x.pair(2, "STANDARD")
	x.number(70, 0)
	x.real(40, 0)
	x.real(41, 1)
	x.real(50, 0)
	x.number(71, 0)
	x.real(42, 2.5)
	x.pair(3, "txt")
	x.pair(4, "")
	x.pair(0, "ENDTAB")
}

func (x dxf) entity(kind string, layer Layer) {
	x.pair(0, kind)
	x.pair(8, layer.String())
}

// path is a LINE or a POLYLINE.
func (x dxf) path(p Path) {
	line := func() {
		if p.Dotted {
			x.pair(6, "DOTTED")
		}
	}
	if len(p.Points) == 2 && !p.Closed {
		x.entity("LINE", p.Layer)
		line()
		x.point(10, p.Points[0])
		x.point(11, p.Points[1])
		return
	}
	x.entity("POLYLINE", p.Layer)
	line()
	x.number(66, 1)
	x.point(10, r2.Point{})
	closed := 0
	if p.Closed {
		closed = 1
	}
	x.number(70, closed)
	for _, q := range p.Points {
		x.entity("VERTEX", p.Layer)
		x.point(10, q)
	}
	x.entity("SEQEND", p.Layer)
}

// text is centred at its middle, or starts at the left of it.
func (x dxf) text(t Text) {
	x.entity("TEXT", Mark)
	at, across := t.baseline(0), 1
	if t.Left {
		across = 0
	}
	x.point(10, at)
	x.real(40, capitals*t.Size)
	x.pair(1, ascii(t.Line))
	x.real(50, 90*float64(t.Turns))
	x.pair(7, "STANDARD")
	x.number(72, across)
	if across != 0 {
		x.point(11, at)
	}
}

// plain puts ASCII in the place of signs that our own words use: programs for knives and
// lasers often show codes as they are.
var plain = strings.NewReplacer("%%", "% %", "–", "-", "×", "x", "→", "->", "³", "3", "²", "2")

// ascii writes what is not plain ASCII in codes, and keeps apart what would begin one.
func ascii(line string) string {
	var b strings.Builder
	for _, r := range plain.Replace(export.Printable(line)) {
		switch {
		case r < 0x7f && r != '\\':
			b.WriteRune(r)
		case r <= 0xffff:
			fmt.Fprintf(&b, `\U+%04X`, r)
		default:
			b.WriteByte('?')
		}
	}
	return b.String()
}
