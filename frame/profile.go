package frame

import (
	"github.com/golang/geo/r1"

	"rackwright/frame/strict"
	"rackwright/geom"
)

// Profile is a side-view outline, not always convex, swept across.
type Profile struct {
	Outline geom.Polygon
	Across  r1.Interval
}

// profile reads an outline with its width.
func (r *reader) profile(at any, f *shapeFile) (Profile, bool) {
	if !r.Given(&f.Outline) || !r.Given(&f.Across) {
		r.At(at, strict.MissingKey, "outline and across go together")
		return Profile{}, false
	}
	p, ok := r.outline(&f.Outline, f.Outline)
	return Profile{Outline: p, Across: interval(*f.Across)}, ok
}

// Solids implements Shape: the convex pieces of the outline, swept across.
func (p Profile) Solids(nearer float64) []geom.Solid {
	var all []geom.Solid
	depth := p.Across.Expanded(nearer)
	for _, piece := range p.Outline.ConvexPieces() {
		all = append(all, geom.Prism{Profile: grown(piece, nearer), View: geom.SideView, Depth: depth})
	}
	return all
}

// Surface implements Shape.
func (p Profile) Surface() (Profile, bool) { return p, true }

// core implements Shape.
func (p Profile) core(d float64) []Shape {
	if p.Across.Length() <= 2*d {
		return nil
	}
	var list []Shape
	for _, outline := range core(p.Outline, d) {
		list = append(list, Profile{Outline: outline, Across: p.Across.Expanded(-d)})
	}
	return list
}

func (p Profile) in(k KeepOut) KeepOut {
	k.Profile = &p
	return k
}

// Prisms returns the convex solids that a profile swept across is made of, drawn in the
// side view.
func (p Profile) Prisms() []geom.Prism {
	var list []geom.Prism
	for _, piece := range p.Outline.ConvexPieces() {
		list = append(list, geom.Prism{Profile: piece, Depth: p.Across})
	}
	return list
}

// grown is a convex polygon with every side moved out by d. Of a thing that is not
// convex each piece is grown by itself. At a corner where a cut has made a piece sharper
// than the thing, that reaches further than the thing's own sides moved out would: on
// the safe side, and with the same faces at every d, so that a layout never has more to
// spare with everything nearer.
func grown(p geom.Polygon, d float64) geom.Polygon {
	if d == 0 {
		return p
	}
	g, _ := p.Offset(d)
	return g
}
