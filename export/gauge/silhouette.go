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
	"math"
	"strings"

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
		return "left of the vehicle →"
	}
	return "front →"
}

// seen says from where a view is seen, and what is to its right.
func (v view) seen() string { return fmt.Sprintf("seen %v, %s", v, v.right()) }

// Silhouettes draws the outlines of a thing seen from the right, the front and above, a piece
// each, with sizes in words in the unit. The solids are bounded; first come those of its case,
// then the rest, which are posts that stand out of it.
func Silhouettes(name string, solids []geom.Solid, cases int, unit geom.Unit) []drawing.Drawing {
	var all []drawing.Drawing
	for v := side; v <= top; v++ {
		shapes := shadows(v, solids)
		bare, whole := around(shapes[:cases]).Size(), around(shapes).Size()
		lines := []string{name, v.seen(), sizeWords(bare, unit)}
		if whole != bare {
			lines[2] += " without posts"
			lines = append(lines, sizeWords(whole, unit)+" with posts")
		}
		all = append(all, piece(name, outlines(shapes), roomiest(shapes), lines))
	}
	return all
}

func sizeWords(size r2.Point, unit geom.Unit) string {
	return geom.FormatLength(size.X, unit) + " × " + geom.FormatLength(size.Y, unit)
}

// around is the rectangle around shapes.
func around(shapes [][]r2.Point) r2.Rect {
	b := r2.EmptyRect()
	for _, s := range shapes {
		b = b.AddRect(r2.RectFromPoints(s...))
	}
	return b
}

// roomiest is the largest level rectangle in the middle of one of some shapes.
func roomiest(shapes [][]r2.Point) r2.Rect {
	best := r2.EmptyRect()
	for _, s := range shapes {
		if in := within(s); best.IsEmpty() || area(in) > area(best) {
			best = in
		}
	}
	return best
}

// border is left around a gauge.
const border = 6.0

// piece is an outline to cut out, from the origin, with scissors at its edge and words in the
// room that it has for them, or below it.
func piece(title string, flat drawing.Drawing, room r2.Rect, lines []string) drawing.Drawing {
	if !write(&flat, room, lines) {
		below(&flat, lines)
	}
	scissors(&flat)
	b := flat.Bounds()
	d := drawing.Drawing{Title: title, Size: b.Size()}
	d.Add(flat, 0, b.Lo().Mul(-1))
	return d
}

// InWords are a piece's words alone, where it is a plain rectangle that no sheet of a paper takes whole:
// that is marked out with a square sooner than it is put together of tiles with a line each.
func InWords(d drawing.Drawing, paper drawing.Paper) (words drawing.Drawing, ok bool) {
	if paper.Takes(d) || !rectangle(d) {
		return drawing.Drawing{}, false
	}
	const wide = 70.0
	var lines []string
	for _, t := range d.Texts {
		lines = append(lines, t.Line)
	}
	return drawing.Notes(wide, strings.Join(lines, " ")+": a plain rectangle, larger than a sheet. Mark it out with a square."), true
}

// rectangle tells whether all that is to be cut out of a piece is one level rectangle.
func rectangle(d drawing.Drawing) bool {
	var cut []r2.Point
	for _, p := range d.Paths {
		switch {
		case p.Dotted, p.Layer == drawing.Cut && cut != nil:
			return false
		case p.Layer == drawing.Cut:
			cut = p.Points
		}
	}
	const same = 1e-9 // of the area
	whole := area(r2.RectFromPoints(cut...))
	return len(cut) > 0 && len(d.Circles) == 0 && whole-math.Abs(geom.Polygon{Corners: cut}.Area()) <= same*whole
}

// below writes lines under what is drawn.
func below(d *drawing.Drawing, lines []string) {
	const narrowest = 70.0
	b := d.Bounds()
	words := drawing.Notes(max(b.X.Length(), narrowest), lines...)
	d.Add(words, 0, r2.Point{X: b.X.Lo, Y: b.Y.Lo - 2 - words.Size.Y})
}

// scissors marks the outlines to cut.
func scissors(d *drawing.Drawing) {
	for _, p := range d.Paths {
		if p.Layer == drawing.Cut && p.Closed {
			d.ScissorsOn(p.Points)
		}
	}
}

// Row puts pieces beside each other.
func Row(title string, pieces []drawing.Drawing) drawing.Drawing {
	d := drawing.Drawing{Title: title}
	for _, one := range pieces {
		d.Add(one, 0, r2.Point{X: d.Size.X + border, Y: border})
		d.Size = r2.Point{X: d.Size.X + one.Size.X + border, Y: max(d.Size.Y, one.Size.Y+2*border)}
	}
	d.Size.X += border
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
func OfKeepOut(f *frame.Frame, i int) []drawing.Drawing {
	solids := keptOut(f, i)
	return Silhouettes(f.KeepOuts[i].Name, solids, len(solids), f.Unit)
}

// OfMoving are the silhouettes of what a part that moves is swept through, dotted in them the
// part at both ends of its movement.
func OfMoving(f *frame.Frame, i int) []drawing.Drawing {
	m := f.Moving[i]
	var all []drawing.Drawing
	for v := side; v <= top; v++ {
		shapes := sweptShadows(v, f, i)
		flat := outlines(shapes)
		size := flat.Bounds().Size()
		for _, at := range m.Ends() {
			dotted(&flat, shadows(v, m.At(at)))
		}
		all = append(all, piece(m.Name, flat, r2.EmptyRect(), []string{m.Name, v.seen(), sizeWords(size, f.Unit) + "; dotted: at both ends"}))
	}
	return all
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
func OfKind(p pack.Problem, k pack.Kind) ([]drawing.Drawing, error) {
	solids, err := solidsOf(p, pack.Placement{Box: k.Name, Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}})
	if err != nil {
		return nil, err
	}
	return Silhouettes(k.Name, solids, 1, p.Pack.Unit), nil
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
