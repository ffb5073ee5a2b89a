package block

import (
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack"
)

// Thickness of the opening's sides and of ledges as printed, in millimetres, and the air
// between them and the boxes: printers make parts larger by a tenth or two (common practice).
const (
	sideDeep = 1.6
	sideAir  = 0.2
	ledgeAir = 0.05
)

// rests puts into the cage what boxes are set against and on: the sides of the opening that
// are not open, and with a layout a ledge under each box that stands on a level. Both reach
// from the plate across; neither is put in the way of boxes or of what is apart.
func (b *builder) rests() {
	b.sides()
	if b.layout == nil {
		return
	}
	standing := pack.StandingOf(b.problem, *b.layout)
	for _, f := range standing.Boxes {
		if f.Level >= 0 && !b.put("ledge", b.ledge(standing, f)) {
			b.cage.Unset = append(b.cage.Unset, f.Part)
		}
	}
}

// put adds a flat-faced solid where nothing is in its way, and tells whether any of it could be.
func (b *builder) put(name string, p geom.Polyhedron) bool {
	any := false
	for _, piece := range b.besideApart(p) {
		if slices.ContainsFunc(b.barred, func(s barred) bool { return s.hits(piece) }) || b.faults(piece) > b.hampered {
			continue
		}
		b.widen(piece)
		b.struts = append(b.struts, held{name: name, solid: piece})
		any = true
	}
	return any
}

// besideApart is what a body leaves free around all that is apart, in convex pieces.
func (b *builder) besideApart(p geom.Polyhedron) []geom.Polyhedron {
	const air = 0.3 // as printed
	pieces := []geom.Polyhedron{p}
	for _, h := range b.bodies {
		if !h.off {
			continue
		}
		room := geom.PolyhedronOf(h.solid, 24).Grown(air / b.scale).Planes()
		var left []geom.Polyhedron
		for _, piece := range pieces {
			left = append(left, piece.Without(room)...)
		}
		pieces = left
	}
	return pieces
}

// sides puts in the sides of the opening that are not open, each as wide as the opening is
// along it, just outside of the outline.
func (b *builder) sides() {
	o := b.problem.Frame.Opening
	corners := o.Outline.Corners
	inner, outer := b.mitred(sideAir), b.mitred(sideAir+sideDeep)
	for i, c := range corners {
		if o.SideOpen(i) {
			continue
		}
		j := (i + 1) % len(corners)
		quad := geom.Polygon{Corners: []r2.Point{inner[i], outer[i], outer[j], inner[j]}}
		if !quad.IsConvex() || quad.IsSliver() {
			continue
		}
		across := b.fromPlate(b.widest(c.Y, corners[j].Y))
		b.put(o.SideName(i), geom.PolyhedronFromPrism(geom.Prism{Profile: quad, View: geom.SideView, Depth: across}))
	}
}

// mitred are the corners of the opening moved out by so much as printed, so that its sides
// meet there.
func (b *builder) mitred(by float64) []r2.Point {
	corners := b.problem.Frame.Opening.Outline.Corners
	n := len(corners)
	out := make([]r2.Point, n)
	for i, c := range corners {
		before := c.Sub(corners[(i+n-1)%n]).Normalize().Ortho().Mul(-1) // out, for the outline is counter-clockwise
		after := corners[(i+1)%n].Sub(c).Normalize().Ortho().Mul(-1)
		long := min(1/(1+before.Dot(after)), 4) // of a sharp corner the tip is left out
		out[i] = c.Add(before.Add(after).Mul(long * by / b.scale))
	}
	return out
}

// widest is the greatest width of the opening between two heights.
func (b *builder) widest(z1, z2 float64) r1.Interval {
	o := b.problem.Frame.Opening
	wide := o.AcrossAt(z1).Union(o.AcrossAt(z2))
	for _, s := range o.Stations {
		if (s.Z-z1)*(s.Z-z2) < 0 {
			wide = wide.Union(s.Across)
		}
	}
	return wide
}

// fromPlate is a stretch across, on to the middle of the plate.
func (b *builder) fromPlate(across r1.Interval) r1.Interval {
	if b.right {
		return r1.Interval{Lo: b.plate.Centre.Y, Hi: math.Max(across.Hi, b.plate.Centre.Y)}
	}
	return r1.Interval{Lo: math.Min(across.Lo, b.plate.Centre.Y), Hi: b.plate.Centre.Y}
}

// ledge is a slab from the plate to the far side of a box, below the level that it stands on.
func (b *builder) ledge(s pack.Standing, f pack.Footing) geom.Polyhedron {
	level := s.Levels[f.Level]
	i := slices.IndexFunc(b.layout.Placements, func(at pack.Placement) bool { return at.Part() == f.Part })
	bodies, err := b.problem.Bodies(b.layout.Placements[i])
	if err != nil {
		return geom.Polyhedron{}
	}
	low, high := geom.Bounds(bodies.Case)
	across := b.fromPlate(r1.Interval{Lo: low.Y, Hi: high.Y})
	slab := geom.BoxFromCorners(r3.Vector{X: low.X, Y: across.Lo, Z: low.Z - 2*sideDeep/b.scale}, r3.Vector{X: high.X, Y: across.Hi, Z: high.Z})
	under := level.Height - ledgeAir/b.scale
	return geom.PolyhedronFromBox(slab).Clipped(
		geom.HalfSpace{Normal: level.Normal, Offset: under},
		geom.HalfSpace{Normal: level.Normal.Mul(-1), Offset: sideDeep/b.scale - under},
	)
}
