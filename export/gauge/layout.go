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

// OfLayout are the silhouettes of all boxes of a layout in their places, posts included.
// They may come in several pieces: each says which boxes it shows, and where it goes in the
// opening. Its errors are those of Problem.Bodies.
func OfLayout(p pack.Problem, l pack.Layout, name string) (drawing.Drawing, error) {
	d := drawing.Drawing{Title: "Silhouettes: " + name}
	for v := side; v <= top; v++ {
		shades, err := shadesOf(p, l, v)
		if err != nil {
			return drawing.Drawing{}, err
		}
		one := captioned(pieces(p, v, shades), v, name, "dotted: the opening")
		d.Add(one, 0, r2.Point{X: d.Size.X})
		d.Size = r2.Point{X: d.Size.X + one.Size.X, Y: max(d.Size.Y, one.Size.Y)}
	}
	return d, nil
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

// pieces draws the outlines around all boxes in the opening, with words in each.
func pieces(p pack.Problem, v view, shades []shade) drawing.Drawing {
	var shapes [][]r2.Point
	for _, s := range shades {
		shapes = append(shapes, s.shapes...)
	}
	flat := outlines(shapes)
	for _, cut := range flat.Paths {
		if (geom.Polygon{Corners: cut.Points}).Area() > 0 { // no hole in a piece
			tell(&flat, p, v, cut.Points, shades)
		}
	}
	room := opening(p, v)
	flat.Paths = append(flat.Paths, drawing.Path{Layer: drawing.Mark, Points: room, Closed: true, Dotted: true})
	return flat
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

// tell writes into a piece which boxes it shows and where it goes, into the box that has
// the most room for words, and into its other boxes, where no two lie over each other, their
// names.
func tell(d *drawing.Drawing, p pack.Problem, v view, piece []r2.Point, shades []shade) {
	var shown []pack.Part
	var rooms []r2.Rect
	most := 0
	for _, s := range shades {
		if !(geom.Polygon{Corners: piece}).Contains(r2.RectFromPoints(s.shapes[0]...).Center()) {
			continue
		}
		shown, rooms = append(shown, s.part), append(rooms, within(s.shapes[0]))
		if last := len(rooms) - 1; area(rooms[last]) > area(rooms[most]) {
			most = last
		}
	}
	if len(rooms) == 0 {
		return
	}
	lines := append(listed(shown), place(v, r2.RectFromPoints(piece...), r2.RectFromPoints(opening(p, v)...), p.Pack.Unit)...)
	write(d, rooms[most], lines)
	for i, r := range rooms {
		alone := i != most
		for j, o := range rooms {
			alone = alone && (i == j || !r.InteriorIntersects(o))
		}
		if alone {
			write(d, r, []string{shown[i].String()})
		}
	}
}

func area(r r2.Rect) float64 { return r.X.Length() * r.Y.Length() }

// write puts lines under each other into the middle of an area.
func write(d *drawing.Drawing, room r2.Rect, lines []string) {
	size := min(5, room.Y.Length()/lead/float64(len(lines)+1))
	for i, line := range lines {
		at := room.Center().Add(r2.Point{Y: lead * size * (float64(len(lines)-1)/2 - float64(i))})
		d.Text(at, size, room.X.Length()*0.95, 0, line)
	}
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
