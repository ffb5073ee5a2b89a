package whatif

import (
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
)

// cutter cuts notches into one keep-out.
type cutter struct {
	keepOut frame.KeepOut
	surface frame.Profile // as it was
	whole   []geom.Prism  // the same in convex pieces
	core    []geom.Prism  // what no notch may reach
	pieces  []geom.Prism  // what is left
	notches []Notch
}

func newCutter(k frame.KeepOut, depth float64) (*cutter, error) {
	surface, err := k.Surface()
	if err != nil {
		return nil, err
	}
	whole, err := k.Prisms()
	if err != nil {
		return nil, err
	}
	core, err := k.Core(depth)
	if err != nil {
		return nil, err
	}
	c := &cutter{keepOut: k, surface: surface, whole: whole, pieces: whole}
	for _, in := range core {
		convex, err := in.Prisms()
		if err != nil {
			return nil, err
		}
		c.core = append(c.core, convex...)
	}
	return c, nil
}

// region is a convex region of the side view swept across.
type region struct {
	lines  []geom.HalfPlane
	across r1.Interval
}

// cut makes room for a body with more than its gap: what of the keep-out is within that
// of it, but not beyond the sheets that part it from the core. Everything lies in the
// side view: a tilt is about the axis across.
//
// A groove goes across the whole keep-out, so that the box also comes in from the side.
func (c *cutter) cut(b body, more float64, groove bool) {
	r := c.room(b, b.gap+more+play, groove)
	var solids, left []geom.Prism
	for _, p := range c.whole {
		if in := r.within(p); real(in) {
			solids = append(solids, in)
		}
	}
	if len(solids) == 0 {
		return
	}
	for _, p := range c.pieces {
		left = append(left, r.without(p)...)
	}
	c.pieces = left
	c.notches = append(c.notches, Notch{
		KeepOut: c.keepOut.Name, For: b.part, Solids: solids, Depth: depthOf(solids, c.surface),
	})
}

// room is the region that is cut for a body with a gap.
func (c *cutter) room(b body, gap float64, groove bool) region {
	r := around(b.bar, gap)
	for _, core := range c.core {
		if !real(r.within(core)) && !groove {
			continue // apart already
		}
		_, u := geom.SheetGap(b.bar, core)
		flat := r2.Point{X: u.X, Y: u.Z}
		if flat.Norm() < 0.5 {
			groove = false // only because it is beside it
			continue
		}
		// Never beyond the core, even for a body that is too near to it.
		at := min(b.bar.Extent(u).Hi+gap, core.Extent(u).Lo)
		// First of all, so that what is left is mostly in one piece.
		r.lines = append([]geom.HalfPlane{{N: flat, At: at}}, r.lines...)
	}
	if groove && slices.ContainsFunc(c.whole, func(p geom.Prism) bool { return real(r.within(p)) }) {
		r.across = c.surface.Across.Expanded(1)
	}
	return r
}

// around is a box grown by gap along its own axes.
func around(b geom.Box, gap float64) region {
	var r region
	for _, axis := range b.Axes {
		e := b.Extent(axis)
		flat := r2.Point{X: axis.X, Y: axis.Z}
		if flat.Norm() < 0.5 {
			e = b.Extent(r3.Vector{Y: 1})
			r.across = r1.Interval{Lo: e.Lo - gap, Hi: e.Hi + gap}
			continue
		}
		r.lines = append(r.lines, geom.HalfPlane{N: flat, At: e.Hi + gap}, geom.HalfPlane{N: flat.Mul(-1), At: gap - e.Lo})
	}
	return r
}

// within is the part of a prism in the region.
func (r region) within(p geom.Prism) geom.Prism {
	p.Depth = p.Depth.Intersection(r.across)
	p.Profile = p.Profile.Clipped(r.lines...)
	return p
}

// without is the rest of a prism, in convex pieces.
func (r region) without(p geom.Prism) []geom.Prism {
	inside := r.within(p)
	if !real(inside) {
		return []geom.Prism{p}
	}
	var rest []geom.Prism
	add := func(q geom.Prism) {
		if real(q) {
			rest = append(rest, q)
		}
	}
	right, middle, left := p, p, p
	right.Depth.Hi, left.Depth.Lo, middle.Depth = inside.Depth.Lo, inside.Depth.Hi, inside.Depth
	add(right)
	add(left)
	for _, profile := range p.Profile.Without(r.lines) {
		middle.Profile = profile
		add(middle)
	}
	return rest
}

// real tells whether a prism has a volume worth the name.
func real(p geom.Prism) bool {
	return !p.Depth.IsEmpty() && p.Depth.Length() > sliver && !p.Profile.IsSliver()
}

// keepOuts are the pieces that are left, as keep-outs of the same name; the keep-out
// itself while nothing is cut.
func (c *cutter) keepOuts() []frame.KeepOut {
	if len(c.notches) == 0 {
		return []frame.KeepOut{c.keepOut}
	}
	var list []frame.KeepOut
	for _, p := range c.pieces {
		k := c.keepOut
		k.Box, k.Round, k.Trim = nil, nil, 0
		k.Profile = &frame.Profile{Outline: p.Profile, Across: p.Depth}
		list = append(list, k)
	}
	return list
}
