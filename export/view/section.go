package view

import (
	"cmp"
	"io"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// WriteSection writes what a level cut at height z meets, seen from the top, as SVG. z is
// in the frame's own coordinates. prefix tells it from the other sections of the layout.
func (s *Scene) WriteSection(w io.Writer, z float64, prefix string) error {
	c := s.ready().at(z)
	c.fit(FromTop)
	c.options.Prefix += prefix
	return c.WriteView(w, FromTop)
}

// Heights are where a level cut shows the most: through the middle of every box, each
// height once that is not near another one.
func (s *Scene) Heights() []float64 {
	const same = 40.0 // mm
	var all []float64
	for _, b := range s.ofRole(isBox) {
		r := b.bounds(FromRight)
		all = append(all, math.Round(r.Center().Y))
	}
	slices.Sort(all)
	return slices.CompactFunc(all, func(a, b float64) bool { return math.Abs(a-b) < same })
}

// at is the scene as a level cut at height z shows it.
func (s *Scene) at(z float64) *Scene {
	c := *s
	c.cut, c.bodies, c.sights = &z, nil, nil
	for _, b := range s.bodies {
		whole := b
		whole.faces, whole.solids = nil, nil
		for _, solid := range b.solids {
			if loop := solid.level(b, z); len(loop) > 2 {
				slab := geom.Swept(loop, r3.Vector{Z: 0.1})
				whole.faces = append(whole.faces, slab...)
				whole.solids = append(whole.solids, solidOf(slab))
			}
		}
		if len(whole.faces) > 0 {
			c.bodies = append(c.bodies, whole)
		}
	}
	c.measures = nil
	for _, m := range s.measures {
		if z > min(m.From.Z, m.To.Z)-1 && z < max(m.From.Z, m.To.Z)+1 {
			c.measures = append(c.measures, m)
		}
	}
	return &c
}

// level is the outline of a level cut through a convex solid, counter-clockwise from
// the top: the part of a large square that all its planes leave.
func (c convex) level(b body, z float64) []r3.Vector {
	r := b.bounds(FromTop).ExpandedByMargin(1)
	v := r.Vertices()
	area := v[:]
	for _, p := range c {
		area = clip(area, r2.Point{X: p.n.X, Y: p.n.Y}, p.d-p.n.Z*z)
	}
	var loop []r3.Vector
	for _, q := range (geom.Polygon{Corners: area}).Hull().Corners {
		loop = append(loop, r3.Vector{X: q.X, Y: q.Y, Z: z})
	}
	return loop
}

// plan is the opening seen from the top: its whole extent, or what a level cut leaves.
func (s *Scene) plan() []r2.Rect {
	if s.cut == nil {
		return []r2.Rect{s.opening(FromTop)}
	}
	o, z := s.problem.Frame.Opening, *s.cut
	var crossings []float64
	for i, a := range o.Outline.Corners {
		b := o.Outline.Corners[(i+1)%len(o.Outline.Corners)]
		if (a.Y <= z) != (b.Y <= z) {
			crossings = append(crossings, a.X+(b.X-a.X)*(z-a.Y)/(b.Y-a.Y))
		}
	}
	slices.SortFunc(crossings, cmp.Compare)
	var all []r2.Rect
	for i := 1; i < len(crossings); i += 2 {
		all = append(all, r2.Rect{X: r1.Interval{Lo: crossings[i-1], Hi: crossings[i]}, Y: o.AcrossAt(z)})
	}
	return all
}
