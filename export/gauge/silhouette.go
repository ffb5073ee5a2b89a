// Package gauge draws flat templates to hold into the frame and against things: the
// opening, its width at the stations, silhouettes of boxes, keep-outs and layouts, and
// what to take off a keep-out that may be trimmed.
//
//	silhouette.go  outlines seen from the side, the front and above
//	layout.go      those of a whole layout, with names and places
//	union.go       the outline around several convex shapes
//	opening.go     the gauge of the opening, and those across it
//	notch.go       what a layout takes off a keep-out
//	wrap.go        the same of a slanted drum, to wrap around it
package gauge

import (
	"fmt"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/export/drawing"
	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// view is a direction to look in: from the right-hand side with the front to the right,
// from the front, or from above with the front to the right.
type view int

const (
	side view = iota
	front
	top
)

var viewNames = [...]string{"from the right", "from the front", "from above"}

func (v view) String() string { return viewNames[v] }

// flat is where a point of space lies in the picture.
func (v view) flat(p r3.Vector) r2.Point {
	switch v {
	case front:
		return r2.Point{X: p.Y, Y: p.Z}
	case top:
		return r2.Point{X: p.X, Y: p.Y}
	}
	return r2.Point{X: p.X, Y: p.Z}
}

// right is what lies to the right in the picture.
func (v view) right() string {
	if v == front {
		return "to the left of the bike"
	}
	return "to the front"
}

// Silhouettes draws the outlines of a thing seen from the right, the front and above,
// one beside the other, with sizes in words in the unit; the solids are bounded.
func Silhouettes(name string, solids []geom.Solid, unit geom.Unit) drawing.Drawing {
	d := drawing.Drawing{Title: "Silhouettes: " + name}
	x := 0.0
	for v := side; v <= top; v++ {
		one := silhouette(name, v, solids, unit)
		d.Add(one, 0, r2.Point{X: x})
		x += one.Size.X
		d.Size = r2.Point{X: x, Y: max(d.Size.Y, one.Size.Y)}
	}
	return d
}

// Room around an outline, and below it for two lines of text and an arrow.
const (
	border = 8.0
	below  = 16.0
)

func silhouette(name string, v view, solids []geom.Solid, unit geom.Unit) drawing.Drawing {
	flat := outlines(shadows(v, solids))
	size := flat.Bounds().Size()
	return captioned(flat, v, name, geom.FormatLength(size.X, unit)+" × "+geom.FormatLength(size.Y, unit))
}

// captioned puts a name, a line of words and an arrow below an outline in a view.
func captioned(flat drawing.Drawing, v view, name, words string) drawing.Drawing {
	b := flat.Bounds()
	wide := max(b.Size().X, 60)
	d := drawing.Drawing{Size: r2.Point{X: wide + 2*border, Y: b.Size().Y + 2*border + below}}
	d.Add(flat, 0, r2.Point{X: border, Y: border + below}.Sub(b.Lo()))
	d.TextFrom(r2.Point{X: border, Y: below + 1}, 4.5, wide, fmt.Sprintf("%s, seen %v", name, v))
	d.TextFrom(r2.Point{X: border, Y: below - 5}, 3.5, wide, words)
	d.Arrow(r2.Point{X: border, Y: below - 11}, r2.Point{X: border + 14, Y: below - 11})
	d.TextFrom(r2.Point{X: border + 16, Y: below - 11}, 3.5, wide-16, v.right())
	return d
}

// roundCorners is how many corners the outline of a round thing has, outside it by less
// than 0.05 % of its radius.
const roundCorners = 96

// shadow is the convex outline of a bounded solid in a view, counter-clockwise. Round
// solids are given by corners that lie on them.
func shadow(v view, s geom.Solid) []r2.Point {
	var points []r2.Point
	for _, p := range geom.Corners(s, roundCorners) {
		points = append(points, v.flat(p))
	}
	return geom.Polygon{Corners: points}.Hull().Corners
}

// OfKeepOut are the silhouettes of a keep-out as measured.
func OfKeepOut(f *frame.Frame, i int) drawing.Drawing {
	return Silhouettes(f.KeepOuts[i].Name, keptOut(f, i), f.Unit)
}

// OfMoving are the silhouettes of what a part that moves is swept through, dotted in them the
// part at both ends of its movement.
func OfMoving(f *frame.Frame, i int) drawing.Drawing {
	m := f.Moving[i]
	d := drawing.Drawing{Title: "Silhouettes: " + m.Name}
	for v := side; v <= top; v++ {
		flat := outlines(sweptShadows(v, f, i))
		size := flat.Bounds().Size()
		for _, at := range m.Ends() {
			dotted(&flat, shadows(v, m.At(at)))
		}
		one := captioned(flat, v, m.Name, geom.FormatLength(size.X, f.Unit)+" × "+geom.FormatLength(size.Y, f.Unit)+"; dotted: at both ends")
		d.Add(one, 0, r2.Point{X: d.Size.X})
		d.Size = r2.Point{X: d.Size.X + one.Size.X, Y: max(d.Size.Y, one.Size.Y)}
	}
	return d
}

// sweptShadows are shapes that together are what a part is swept through in a view. Of one that
// leaves the side view they are the hulls of what each of its solids is swept through: around
// it, and over its hollows.
func sweptShadows(v view, f *frame.Frame, i int) [][]r2.Point {
	m := f.Moving[i]
	if m.Motion.Flat() {
		var swept []geom.Solid
		for _, o := range f.Obstacles(0) {
			if o.Kind == frame.Moves && o.Source == i {
				swept = append(swept, o.Solid)
			}
		}
		return shadows(v, swept)
	}
	const steps = 48
	shapes := shadows(v, m.At(m.Motion.Range.Lo))
	for k := 1.0; k <= steps; k++ {
		for n, s := range shadows(v, m.At(m.Motion.Range.Lo+m.Motion.Range.Length()*k/steps)) {
			shapes[n] = geom.Polygon{Corners: append(shapes[n], s...)}.Hull().Corners
		}
	}
	return shapes
}

func shadows(v view, solids []geom.Solid) [][]r2.Point {
	var shapes [][]r2.Point
	for _, s := range solids {
		shapes = append(shapes, shadow(v, s))
	}
	return shapes
}

// dotted draws dotted lines around shapes.
func dotted(flat *drawing.Drawing, shapes [][]r2.Point) {
	for _, loop := range union(shapes) {
		flat.Paths = append(flat.Paths, drawing.Path{Layer: drawing.Mark, Points: loop, Closed: true, Dotted: true})
	}
}

// OfKind are the silhouettes of a kind of box standing upright, posts included.
func OfKind(p pack.Problem, k pack.Kind) (drawing.Drawing, error) {
	solids, err := solidsOf(p, pack.Placement{Box: k.Name, Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}})
	return Silhouettes(k.Name, solids, p.Pack.Unit), err
}

// solidsOf are the case of a placed box and the posts that stand out of it. Its errors are
// those of Problem.Bodies.
func solidsOf(p pack.Problem, at pack.Placement) ([]geom.Solid, error) {
	b, err := p.Bodies(at)
	if err != nil {
		return nil, err
	}
	solids := []geom.Solid{b.Case}
	for _, post := range b.Posts {
		if min(post.Half.X, post.Half.Y, post.Half.Z) > 0 { // not flush
			solids = append(solids, post)
		}
	}
	return solids, nil
}
