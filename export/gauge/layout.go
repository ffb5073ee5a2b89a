package gauge

import (
	"fmt"
	"math"
	"strings"

	"github.com/golang/geo/r2"

	"rackwright/export/drawing"
	"rackwright/geom"
	"rackwright/pack"
)

// shade is what a box of a layout covers in a view: its case first, then its posts.
type shade struct {
	part   pack.Part
	shapes [][]r2.Point
}

// OfLayout are the silhouettes of all boxes of a layout in their places, posts included: as one
// drawing, with the opening dotted, and as pieces to cut out. Each piece says which boxes it
// shows, and where it goes in the opening. The errors are those of Problem.Bodies.
func OfLayout(p pack.Problem, l pack.Layout, name string) (whole drawing.Drawing, pieces []drawing.Drawing, err error) {
	var views []drawing.Drawing
	for v := side; v <= top; v++ {
		shades, err := shadesOf(p, l, v)
		if err != nil {
			return drawing.Drawing{}, nil, err
		}
		views = append(views, inOpening(p, v, name, shades))
		for _, g := range islands(shades) {
			flat := drawing.Drawing{Paths: g.paths}
			pieces = append(pieces, piece(name, flat, g.room, append(g.names(p, v), v.seen())))
		}
	}
	return Row("Silhouettes: "+name, views), pieces, nil
}

func shadesOf(p pack.Problem, l pack.Layout, v view) ([]shade, error) {
	var all []shade
	for _, at := range l.Placements {
		solids, err := solidsOf(p, at)
		if err != nil {
			return nil, err
		}
		s := shade{part: at.Part()}
		for _, solid := range solids {
			s.shapes = append(s.shapes, shadow(v, solid))
		}
		all = append(all, s)
	}
	return all, nil
}

// inOpening draws the outlines around all boxes in the opening, with words in each.
func inOpening(p pack.Problem, v view, name string, shades []shade) drawing.Drawing {
	var flat drawing.Drawing
	all := islands(shades)
	for _, g := range all {
		flat.Paths = append(flat.Paths, g.paths...)
	}
	room := opening(p, v)
	flat.Paths = append(flat.Paths, drawing.Path{Layer: drawing.Mark, Points: room, Closed: true, Dotted: true})
	scissors(&flat)
	var notes []string
	for _, g := range all {
		if lines := g.names(p, v); !write(&flat, g.room, lines) {
			notes = append(notes, strings.Join(lines, ": "))
		}
	}
	below(&flat, append(notes, name+", "+v.seen()+"; dotted: the opening"))
	b := flat.Bounds()
	d := drawing.Drawing{Size: b.Size()}
	d.Add(flat, 0, b.Lo().Mul(-1))
	return d
}

// island is what hangs together in a view: the outline around it with its holes, its boxes, and
// the room in it for words.
type island struct {
	paths []drawing.Path
	boxes []shade
	room  r2.Rect
}

// islands are the pieces that all boxes of a view make.
func islands(shades []shade) []island {
	var shapes [][]r2.Point
	for _, s := range shades {
		shapes = append(shapes, s.shapes...)
	}
	flat := outlines(shapes)
	var all []island
	for _, cut := range flat.Paths {
		outline := geom.Polygon{Corners: cut.Points}
		if outline.Area() <= 0 { // a hole in a piece
			continue
		}
		g := island{paths: []drawing.Path{cut}}
		for _, hole := range flat.Paths {
			if (geom.Polygon{Corners: hole.Points}).Area() < 0 && outline.Contains(hole.Points[0]) {
				g.paths = append(g.paths, hole)
			}
		}
		var cases [][]r2.Point
		for _, s := range shades {
			if outline.Contains(r2.RectFromPoints(s.shapes[0]...).Center()) {
				g.boxes, cases = append(g.boxes, s), append(cases, s.shapes[0])
			}
		}
		g.room = roomiest(cases)
		all = append(all, g)
	}
	return all
}

// names say which boxes an island shows, and where it goes: where their cases are, as the
// answer says it, and, where that differs, how far it reaches with their posts.
func (g island) names(p pack.Problem, v view) []string {
	var parts []pack.Part
	var cases, whole [][]r2.Point
	for _, s := range g.boxes {
		parts = append(parts, s.part)
		cases = append(cases, s.shapes[0])
		whole = append(whole, s.shapes...)
	}
	room := r2.RectFromPoints(opening(p, v)...)
	bare := place(v, around(cases), room, p.Pack.Unit)
	lines := append(listed(parts), bare...)
	for i, line := range place(v, around(whole), room, p.Pack.Unit) {
		if line != bare[i] {
			lines = append(lines, "with posts: "+line)
		}
	}
	return lines
}

// opening is the outline of the opening in a view; from above it is as wide as anywhere.
func opening(p pack.Problem, v view) []r2.Point {
	o := p.Frame.Opening
	in := o.Outline.Bounds()
	switch v {
	case front:
		return o.Section(in.Y.Lo, in.Y.Hi)
	case top:
		around := r2.Rect{X: in.X, Y: o.Widest()}.Vertices()
		return around[:]
	}
	return o.Outline.Corners
}

func area(r r2.Rect) float64 { return r.X.Length() * r.Y.Length() }

// write puts lines under each other into the middle of an area, broken where they are wider, and
// tells whether there is room for them in letters that can be read.
func write(d *drawing.Drawing, room r2.Rect, lines []string) bool {
	if room.IsEmpty() {
		return false
	}
	var broken []string
	for _, line := range lines {
		broken = append(broken, drawing.Wrapped(line, drawing.Least, room.X.Length()*0.95)...)
	}
	high := lead * drawing.Least
	if float64(len(broken))*high > room.Y.Length()-2 {
		return false
	}
	for _, line := range broken {
		if drawing.Width(line, drawing.Least) > room.X.Length()*0.95 {
			return false
		}
	}
	for i, line := range broken {
		at := room.Center().Add(r2.Point{Y: high * (float64(len(broken)-1)/2 - float64(i))})
		d.Text(at, drawing.Least, room.X.Length(), 0, line)
	}
	return true
}

// lead is the distance of lines of text over their size.
const lead = 1.3

// within is a level rectangle in a convex shape about its middle, as large as that around
// it for a rectangle, smaller for a turned one.
func within(shape []r2.Point) r2.Rect {
	around := r2.RectFromPoints(shape...)
	c, half := around.Center(), around.Size().Mul(0.5)
	part := 1.0
	for i, a := range shape {
		n := shape[(i+1)%len(shape)].Sub(a).Ortho() // inwards
		if reach := math.Abs(n.X)*half.X + math.Abs(n.Y)*half.Y; reach > 0 {
			part = min(part, n.Dot(c.Sub(a))/reach)
		}
	}
	return r2.RectFromCenterSize(c, around.Size().Mul(part))
}

// listed names boxes, a few on a line: "block 1, block 2,", "charger 1".
func listed(parts []pack.Part) []string {
	const aLine = 3
	var lines []string
	for i := 0; i < len(parts); i += aLine {
		var names []string
		for _, part := range parts[i:min(i+aLine, len(parts))] {
			names = append(names, part.String())
		}
		lines = append(lines, strings.Join(names, ", "))
		if i+aLine < len(parts) {
			lines[len(lines)-1] += ","
		}
	}
	return lines
}

// place says where the rectangle around a piece goes, from the floor, the rear and the
// middle of the opening.
func place(v view, piece, opening r2.Rect, unit geom.Unit) []string {
	length := func(mm float64) string { return geom.FormatLength(mm, unit) }
	rear := fmt.Sprintf("rear end %s from the rear", length(piece.X.Lo-opening.X.Lo))
	floor := fmt.Sprintf("lower edge %s above the floor", length(piece.Y.Lo-opening.Y.Lo))
	switch v {
	case front:
		return []string{"right side: " + fromMiddle(piece.X.Lo, unit), floor}
	case top:
		return []string{rear, "right side: " + fromMiddle(piece.Y.Lo, unit)}
	}
	return []string{rear, floor}
}

// fromMiddle is sideways with the middle named.
func fromMiddle(y float64, unit geom.Unit) string {
	if text := sideways(y, unit); text != "the middle" {
		return text + " of the middle"
	}
	return "at the middle"
}
