package gauge

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/export/drawing"
	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack/whatif"
)

// Notch is all that is cut out of one keep-out.
type Notch struct {
	KeepOut string
	Depth   float64 // the deepest place below the surface, in millimetres
	Volume  float64 // lost, in mm³
	cuts    []geom.Solid
	single  []whatif.Notch // each for a box or a post
	outline []r2.Point
	drum    *frame.Round // that it is cut out of, where that is slanted
}

// NotchOf puts together what is cut out of a keep-out of the frame as it was.
func NotchOf(f *frame.Frame, keepOut int, notches []whatif.Notch) Notch {
	k := f.KeepOuts[keepOut]
	n := Notch{KeepOut: k.Name, single: notches}
	if k.Slanted() {
		n.drum = k.Round
	}
	var shapes [][]r2.Point
	for _, s := range keptOut(f, keepOut) {
		shapes = append(shapes, shadow(side, s))
	}
	if loops := union(shapes); len(loops) > 0 {
		n.outline = loops[0]
	}
	for _, c := range notches {
		n.cuts = append(n.cuts, c.Solids...)
		n.Depth = max(n.Depth, c.Depth)
	}
	n.Volume = volume(n.cuts)
	return n
}

// Solids are the parts that are cut out together.
func (n Notch) Solids() []geom.Solid { return n.cuts }

// keptOut are the solids of a keep-out as measured.
func keptOut(f *frame.Frame, i int) []geom.Solid {
	var solids []geom.Solid
	for _, o := range f.Obstacles(0) {
		if o.Kind == frame.KeptOut && o.Source == i {
			solids = append(solids, o.Solid)
		}
	}
	return solids
}

// volume is that of parts together, what several share counted once: of each what is not
// in one before it.
func volume(cuts []geom.Solid) float64 {
	var before []geom.Polyhedron
	sum := 0.0
	for _, c := range cuts {
		part := polyhedron(c)
		rest := []geom.Polyhedron{part}
		for _, other := range before {
			var next []geom.Polyhedron
			for _, p := range rest {
				next = append(next, p.Without(other.Planes())...)
			}
			rest = next
		}
		for _, p := range rest {
			sum += p.Volume()
		}
		before = append(before, part)
	}
	return sum
}

// polyhedron is a part of a notch, which has flat faces, as one.
func polyhedron(part geom.Solid) geom.Polyhedron { return geom.PolyhedronOf(part, 0) }

// Drawing is the template: its pieces beside each other.
func (n Notch) Drawing(unit geom.Unit) drawing.Drawing {
	return Row("Notch in "+n.KeepOut, n.Pieces(unit))
}

// Pieces are the shape to cut with the keep-out's outline from the side, and the same from the
// front with the middle of the vehicle. Of a slanted drum there is one to wrap around it before
// these.
func (n Notch) Pieces(unit geom.Unit) []drawing.Drawing {
	var shapes [2][][]r2.Point
	for _, p := range n.cuts {
		shapes[side], shapes[front] = append(shapes[side], shadow(side, p)), append(shapes[front], shadow(front, p))
	}
	seen := [...]drawing.Drawing{outlines(shapes[side]), outlines(shapes[front])}
	seen[0].Polygon(drawing.Mark, n.outline)
	for i, c := range n.single {
		for v := range seen {
			seen[v].TextNear(view(v).flat(middleOf(c)), 5, 0, strconv.Itoa(i+1))
		}
	}
	b := seen[1].Bounds()
	middle := drawing.Path{Layer: drawing.Mark, Dotted: true, Points: []r2.Point{{Y: b.Y.Lo - 5}, {Y: b.Y.Hi + 5}}}
	seen[1].Paths = append(seen[1].Paths, middle)
	words := []string{
		fmt.Sprintf("at most %s deep, %.0f cm³ lost", geom.FormatLengthRounded(n.Depth, unit, geom.ToMore), n.Volume/1000),
		"dotted: the middle of the vehicle",
	}
	var all []drawing.Drawing
	if n.drum != nil {
		all = append(all, n.wrap())
	}
	for i, flat := range seen {
		all = append(all, piece("Notch in "+n.KeepOut, flat, r2.EmptyRect(), []string{"notch in " + n.KeepOut, view(i).seen(), words[i]}))
	}
	return all
}

func middleOf(c whatif.Notch) r3.Vector {
	low, high := c.Corners()
	return low.Add(high).Mul(0.5)
}

// mostCorners is how many corners of a notch are worth writing down: rounder ones are
// taken off the template.
const mostCorners = 8

// Where says in numbers where each cut is on the keep-out, how deep and how much is lost.
// The numbers are those in the drawing.
func (n Notch) Where(unit geom.Unit) []string {
	datum := r2.RectFromPoints(n.outline...).Lo()
	length := func(mm float64) string { return geom.FormatLength(mm, unit) }
	lines := []string{fmt.Sprintf("Along is measured from the rear end of %s, up from its lowest place, across from the middle of the vehicle.", n.KeepOut)}
	for i, c := range n.single {
		low, high := c.Corners()
		lines = append(lines, fmt.Sprintf("%d, for %v: along from %s to %s, up from %s to %s, across from %s to %s; at most %s deep, %.1f cm³ lost.",
			i+1, c.For, length(low.X-datum.X), length(high.X-datum.X), length(low.Z-datum.Y), length(high.Z-datum.Y),
			sideways(low.Y, unit), sideways(high.Y, unit), geom.FormatLengthRounded(c.Depth, unit, geom.ToMore), c.Volume()/1000))
		var shapes [][]r2.Point
		for _, p := range c.Solids {
			if p, ok := p.(geom.Prism); ok { // of a slanted drum the template to wrap tells the shape
				shapes = append(shapes, p.Profile.Corners)
			}
		}
		for _, loop := range union(shapes) {
			var corners []string
			for _, q := range loop {
				corners = append(corners, length(q.X-datum.X)+" and "+length(q.Y-datum.Y))
			}
			if len(corners) <= mostCorners {
				lines = append(lines, fmt.Sprintf("%d has its corners along and up at %s.", i+1, strings.Join(corners, "; ")))
			}
		}
	}
	return lines
}

// sideways is how far to which side of the middle of the vehicle something is.
func sideways(y float64, unit geom.Unit) string {
	switch text := geom.FormatLength(math.Abs(y), unit); {
	case geom.FormatLength(y, unit) == geom.FormatLength(0, unit):
		return "the middle"
	case y < 0:
		return text + " right"
	default:
		return text + " left"
	}
}

// outlines are lines to cut along around shapes.
func outlines(shapes [][]r2.Point) drawing.Drawing {
	var flat drawing.Drawing
	for _, loop := range union(shapes) {
		flat.Polygon(drawing.Cut, loop)
	}
	return flat
}
