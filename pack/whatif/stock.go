package whatif

import (
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"

	"rackwright/frame"
	"rackwright/geom"
)

// sideStock is a keep-out drawn in the side view. Everything that is cut lies in the side
// view too: a tilt is about the axis across.
type sideStock struct {
	surface frame.Profile // as it was
	whole   []geom.Prism  // the same in convex pieces
	left    []geom.Prism
}

// region is a convex region of the side view swept across.
type region struct {
	lines  []geom.HalfPlane
	across r1.Interval
}

// regionOf is a room as a region. A sheet that lies beside the keep-out bounds nothing
// that the ends of the room do not.
func (s *sideStock) regionOf(room []geom.HalfSpace) region {
	r := region{across: s.surface.Across.Expanded(1)}
	for _, h := range room {
		flat := r2.Point{X: h.Normal.X, Y: h.Normal.Z}
		switch {
		case flat.Norm() > 0.5:
			r.lines = append(r.lines, geom.HalfPlane{N: flat, At: h.Offset})
		case h.Normal.Y > 0:
			r.across.Hi = min(r.across.Hi, h.Offset)
		default:
			r.across.Lo = max(r.across.Lo, -h.Offset)
		}
	}
	return r
}

func (s *sideStock) near(b geom.Box, gap float64) bool {
	return slices.ContainsFunc(s.whole, func(p geom.Prism) bool {
		g, _ := geom.SheetGap(b, p)
		return g < gap
	})
}

func (s *sideStock) meets(room []geom.HalfSpace, core geom.Solid) bool {
	p, ok := core.(geom.Prism)
	return !ok || !s.regionOf(room).within(p).IsSliver()
}

func (s *sideStock) in(room []geom.HalfSpace) []geom.Solid {
	r := s.regionOf(room)
	var parts []geom.Solid
	for _, p := range s.whole {
		if in := r.within(p); !in.IsSliver() {
			parts = append(parts, in)
		}
	}
	return parts
}

func (s *sideStock) take(room []geom.HalfSpace) {
	r := s.regionOf(room)
	var left []geom.Prism
	for _, p := range s.left {
		left = append(left, r.without(p)...)
	}
	s.left = left
}

func (s *sideStock) depth(parts []geom.Solid) float64 { return depthOf(parts, s.surface) }

func (s *sideStock) pieces() []frame.KeepOut {
	var list []frame.KeepOut
	for _, p := range s.left {
		list = append(list, frame.KeepOut{Profile: &frame.Profile{Outline: p.Profile, Across: p.Depth}})
	}
	return list
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
	if inside.IsSliver() {
		return []geom.Prism{p}
	}
	var rest []geom.Prism
	add := func(q geom.Prism) {
		if !q.IsSliver() {
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

// drumStock is a slanted drum, with flat sides around it. What is left of it still counts
// as round: the shortest distance is what a box keeps from it.
type drumStock struct {
	round frame.Round
	whole geom.Polyhedron
	left  []geom.Polyhedron
}

func (s *drumStock) near(b geom.Box, gap float64) bool {
	return geom.Distance(b, s.round.Cylinder()) < gap
}

func (s *drumStock) meets(room []geom.HalfSpace, core geom.Solid) bool {
	c, ok := core.(geom.Cylinder)
	return !ok || !geom.PolyhedronAround(c, coreSides).Clipped(room...).IsSliver()
}

func (s *drumStock) in(room []geom.HalfSpace) []geom.Solid {
	if part := s.whole.Clipped(room...); !part.IsSliver() {
		return []geom.Solid{part}
	}
	return nil
}

func (s *drumStock) take(room []geom.HalfSpace) {
	var left []geom.Polyhedron
	for _, p := range s.left {
		left = append(left, p.Without(room)...)
	}
	s.left = left
}

func (s *drumStock) depth(parts []geom.Solid) float64 {
	deepest := 0.0
	for _, p := range parts {
		deepest = max(deepest, depthInConvex(p, s.whole))
	}
	return deepest
}

func (s *drumStock) pieces() []frame.KeepOut {
	var list []frame.KeepOut
	for _, p := range s.left {
		list = append(list, frame.KeepOut{Piece: &p})
	}
	return list
}
