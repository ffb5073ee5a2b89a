package gauge

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"rackwright/export/drawing"
	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// Notch is what has to come off a keep-out so that every box has its gap.
type Notch struct {
	KeepOut string
	Pieces  []NotchPiece
	Depth   float64 // the deepest place below the surface, in millimetres
	Volume  float64 // lost, in mm³
	outline []r2.Point
}

// NotchPiece is a convex outline in the side view, swept across.
type NotchPiece struct {
	Outline []r2.Point
	Across  r1.Interval
}

// ErrNotch is wrapped by the errors for keep-outs that no template can be made for.
var ErrNotch = errors.New("no notch template")

// NotchOf returns the notch that a layout needs in a keep-out, with the keep-out's gap
// around the boxes; nothing where every box has that gap already. It is exact: a box that
// stands in a layout, and a keep-out with an outline, are both swept straight across.
// Round keep-outs are an error.
func NotchOf(p pack.Problem, l pack.Layout, keepOut int) (Notch, error) {
	k := p.Frame.KeepOuts[keepOut]
	n := Notch{KeepOut: k.Name}
	if k.Round != nil {
		return n, fmt.Errorf("%w: %s is round; give it an outline to have a notch drawn", ErrNotch, k.Name)
	}
	gap := p.Pack.Gaps.KeepOut
	if k.Gap != nil {
		gap = *k.Gap
	}
	solids := keptOut(p.Frame, keepOut)
	for _, at := range l.Placements {
		b, err := p.Bodies(at)
		if err != nil {
			return n, err
		}
		room := NotchPiece{grownShadow(b.Case, gap), b.Case.Extent(geom.SideView.Axis()).Expanded(gap)}
		for _, s := range solids {
			n.take(room, NotchPiece{shadow(side, s), s.Extent(geom.SideView.Axis())})
		}
	}
	n.outline = outlineOf(solids)
	n.measure(solids)
	return n, nil
}

func keptOut(f *frame.Frame, i int) []geom.Solid {
	var solids []geom.Solid
	for _, o := range f.Obstacles(0) {
		if o.Kind == frame.KeptOut && o.Source == i {
			solids = append(solids, o.Solid)
		}
	}
	return solids
}

func outlineOf(solids []geom.Solid) []r2.Point {
	var shapes [][]r2.Point
	for _, s := range solids {
		shapes = append(shapes, shadow(side, s))
	}
	if loops := union(shapes); len(loops) > 0 {
		return loops[0]
	}
	return nil
}

// grownShadow is a box seen from the side with each face moved out by a gap.
func grownShadow(b geom.Box, gap float64) []r2.Point {
	g, _ := geom.Polygon{Corners: shadow(side, b)}.Offset(gap)
	return g.Corners
}

// take adds what a room and a piece of the keep-out have in common.
func (n *Notch) take(room, solid NotchPiece) {
	across := room.Across.Intersection(solid.Across)
	outline := clip(solid.Outline, room.Outline)
	if across.Length() <= 0 || len(outline) < 3 || loopArea(outline) < 1e-6 {
		return
	}
	n.Pieces = append(n.Pieces, NotchPiece{outline, across})
}

// clip is what two convex shapes have in common, counter-clockwise (Sutherland and
// Hodgman, Communications of the ACM 17 (1974) 32–42).
func clip(shape, window []r2.Point) []r2.Point {
	for i, a := range window {
		edge := window[(i+1)%len(window)].Sub(a)
		var kept []r2.Point
		for j, p := range shape {
			q := shape[(j+1)%len(shape)]
			in, next := edge.Cross(p.Sub(a)), edge.Cross(q.Sub(a))
			if in >= 0 {
				kept = append(kept, p)
			}
			if in*next < 0 {
				kept = append(kept, p.Add(q.Sub(p).Mul(in/(in-next))))
			}
		}
		shape = kept
	}
	return shape
}

func loopArea(l []r2.Point) float64 {
	sum := 0.0
	for i, p := range l {
		sum += p.Cross(l[(i+1)%len(l)]) / 2
	}
	return sum
}

// measure finds volume and depth: between two heights across at which a piece ends the
// notch is one outline, whose area counts once however many boxes ask for it.
func (n *Notch) measure(solids []geom.Solid) {
	var ends []float64
	for _, p := range n.Pieces {
		ends = append(ends, p.Across.Lo, p.Across.Hi)
	}
	slices.Sort(ends)
	for i := 1; i < len(ends); i++ {
		middle := (ends[i-1] + ends[i]) / 2
		var here [][]r2.Point
		for _, p := range n.Pieces {
			if p.Across.Contains(middle) {
				here = append(here, p.Outline)
			}
		}
		for _, loop := range union(here) {
			n.Volume += loopArea(loop) * (ends[i] - ends[i-1])
		}
	}
	across := r1.EmptyInterval()
	for _, s := range solids {
		across = across.Union(s.Extent(geom.SideView.Axis()))
	}
	for _, p := range n.Pieces {
		// From an end across, a piece that does not reach it is as deep as it lies in.
		sideways := min(p.Across.Hi-across.Lo, across.Hi-p.Across.Lo)
		for _, q := range p.Outline {
			n.Depth = max(n.Depth, min(sideways, toEdge(n.outline, q)))
		}
	}
}

// toEdge is how far a point is from the nearest side of an outline.
func toEdge(outline []r2.Point, p r2.Point) float64 {
	best := math.Inf(1)
	for i, a := range outline {
		d := outline[(i+1)%len(outline)].Sub(a)
		t := min(1, max(0, p.Sub(a).Dot(d)/d.Dot(d)))
		best = min(best, p.Sub(a.Add(d.Mul(t))).Norm())
	}
	return best
}

// Drawing is the template: the keep-out's outline from the side with the shape to cut,
// and beside it the same from the front.
func (n Notch) Drawing(unit geom.Unit) drawing.Drawing {
	d := drawing.Drawing{Title: "Notch in " + n.KeepOut}
	var sideShapes, frontShapes [][]r2.Point
	for _, p := range n.Pieces {
		sideShapes = append(sideShapes, p.Outline)
		b := r2.RectFromPoints(p.Outline...)
		v := r2.Rect{X: p.Across, Y: b.Y}.Vertices()
		frontShapes = append(frontShapes, v[:])
	}
	x := 0.0
	for i, shapes := range [][][]r2.Point{sideShapes, frontShapes} {
		var flat drawing.Drawing
		for _, loop := range union(shapes) {
			flat.Polygon(drawing.Cut, loop)
		}
		if i == 0 {
			flat.Polygon(drawing.Mark, n.outline)
		}
		one := captioned(flat, view(i), "notch in "+n.KeepOut, n.words(unit))
		d.Add(one, 0, r2.Point{X: x})
		x += one.Size.X
		d.Size = r2.Point{X: x, Y: max(d.Size.Y, one.Size.Y)}
	}
	return d
}

// words are how deep the notch is and what it takes.
func (n Notch) words(unit geom.Unit) string {
	return fmt.Sprintf("at most %s deep, %.0f cm³ lost", geom.FormatLengthRounded(n.Depth, unit, geom.ToMore), n.Volume/1000)
}
