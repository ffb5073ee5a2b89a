package whatif

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	lp "rackwright/pack/search/simplex"
)

// Notch is what has to be cut out of a keep-out so that a box, or a post of it, keeps
// its gap.
type Notch struct {
	KeepOut string
	For     pack.Part
	Solid   geom.Prism // in the side view
	Depth   float64    // mm, how far its deepest point is below the surface as it was
}

// Size is how long (x), wide (y) and high (z) the notch is, in mm.
func (n Notch) Size() r3.Vector {
	b := n.Solid.Profile.Bounds().Size()
	return r3.Vector{X: b.X, Y: n.Solid.Depth.Length(), Z: b.Y}
}

// Volume is that of the notch, in mm³.
func (n Notch) Volume() float64 { return n.Solid.Profile.Area() * n.Solid.Depth.Length() }

const (
	// play is by how much in mm a notch is cut wider than its box needs: more than the
	// snapping of its corners to the lattice can take back.
	play = 0.01
	// sliver is the size in mm below which a notch is none.
	sliver = 1e-6
)

// body is a case or a post and the gap that it needs to a keep-out.
type body struct {
	part pack.Part
	bar  geom.Box
	gap  float64
}

// bodies are all cases and posts of a layout with the gap that each needs to a keep-out.
// A post keeps the greater of its own gap and the keep-out's from metal.
func bodies(problem pack.Problem, layout pack.Layout, k frame.KeepOut) ([]body, error) {
	g := problem.Pack.Gaps
	caseGap := g.KeepOut
	if k.Gap != nil {
		caseGap = *k.Gap
	}
	postGap := caseGap
	if k.Metal {
		postGap = g.Post
		if k.Gap != nil {
			postGap = max(g.Post, *k.Gap)
		}
	}
	var list []body
	for _, at := range layout.Placements {
		b, err := problem.Bodies(at)
		if err != nil {
			return nil, err
		}
		kind, _ := problem.Kind(at.Box)
		part := pack.Part{Box: at.Box, Number: at.Number}
		list = append(list, body{part, b.Case, caseGap})
		for i, bar := range b.Posts {
			part.Post = kind.Posts[i].Name
			list = append(list, body{part, bar, postGap})
		}
	}
	return list, nil
}

// cutter cuts notches into one keep-out.
type cutter struct {
	keepOut frame.KeepOut
	whole   geom.Prism   // as it was
	core    geom.Prism   // what no notch may reach
	pieces  []geom.Prism // what is left
	notches []Notch
}

func newCutter(k frame.KeepOut, depth float64) (*cutter, error) {
	whole, err := k.Prism()
	if err != nil {
		return nil, err
	}
	shrunk, err := k.Shrunk(depth)
	if err != nil {
		return nil, err
	}
	core, err := shrunk.Prism()
	return &cutter{keepOut: k, whole: whole, core: core, pieces: []geom.Prism{whole}}, err
}

// cut makes room for a body with more than its gap: what of the keep-out is within that
// of it, but not beyond the sheet that parts it from the core. Everything lies in the
// side view: a tilt is about the axis across.
//
// A groove goes across the whole keep-out, so that the box also comes in from the side.
func (c *cutter) cut(b body, more float64, groove bool) {
	gap := b.gap + more + play
	_, u := geom.SheetGap(b.bar, c.core)
	sheet := b.bar.Extent(u).Hi + gap
	lines, across := around(b.bar, gap)
	if flat := (r2.Point{X: u.X, Y: u.Z}); flat.Norm() > 0.5 {
		lines = append(lines, line{flat, sheet})
		if groove && real(c.within(c.whole, lines, across)) {
			across = c.whole.Depth.Expanded(1)
		}
	}
	notch := c.within(c.whole, lines, across)
	if !real(notch) {
		return
	}
	var left []geom.Prism
	for _, p := range c.pieces {
		left = append(left, without(p, lines, across)...)
	}
	c.pieces = left
	c.notches = append(c.notches, Notch{
		KeepOut: c.keepOut.Name, For: b.part, Solid: notch, Depth: depthOf(notch, c.whole),
	})
}

// line is the half-plane of all points of the side view with n·p ≤ at.
type line struct {
	n  r2.Point
	at float64
}

func (l line) other() line { return line{l.n.Mul(-1), -l.at} }

// around is a box grown by gap along its own axes, as a prism in the side view.
func around(b geom.Box, gap float64) ([]line, r1.Interval) {
	var lines []line
	var across r1.Interval
	for _, axis := range b.Axes {
		e := b.Extent(axis)
		flat := r2.Point{X: axis.X, Y: axis.Z}
		if flat.Norm() < 0.5 {
			e = b.Extent(r3.Vector{Y: 1})
			across = r1.Interval{Lo: e.Lo - gap, Hi: e.Hi + gap}
			continue
		}
		lines = append(lines, line{flat, e.Hi + gap}, line{flat.Mul(-1), gap - e.Lo})
	}
	return lines, across
}

// within is the part of a prism inside some half-planes and an interval across.
func (c *cutter) within(p geom.Prism, lines []line, across r1.Interval) geom.Prism {
	p.Depth = p.Depth.Intersection(across)
	for _, l := range lines {
		p.Profile = clipped(p.Profile, l)
	}
	return p
}

// without is the rest of a prism, in convex pieces.
func without(p geom.Prism, lines []line, across r1.Interval) []geom.Prism {
	inside := p
	inside.Depth = p.Depth.Intersection(across)
	for _, l := range lines {
		inside.Profile = clipped(inside.Profile, l)
	}
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
	for _, l := range lines {
		outside := middle
		outside.Profile = clipped(middle.Profile, l.other())
		add(outside)
		middle.Profile = clipped(middle.Profile, l)
	}
	return rest
}

// real tells whether a prism has a volume worth the name.
func real(p geom.Prism) bool {
	if len(p.Profile.Corners) < 3 || p.Depth.IsEmpty() || p.Depth.Length() < sliver {
		return false
	}
	size := p.Profile.Bounds().Size()
	return p.Profile.Area() > sliver*math.Max(size.X, size.Y)
}

// clipped is the part of a convex polygon in a half-plane (Sutherland & Hodgman,
// Communications of the ACM 17 (1974)).
func clipped(p geom.Polygon, l line) geom.Polygon {
	var kept []r2.Point
	for i, a := range p.Corners {
		b := p.Corners[(i+1)%len(p.Corners)]
		da, db := l.n.Dot(a)-l.at, l.n.Dot(b)-l.at
		if da <= 0 {
			kept = append(kept, a)
		}
		if da < 0 && db > 0 || da > 0 && db < 0 {
			kept = append(kept, a.Add(b.Sub(a).Mul(da/(da-db))))
		}
	}
	return geom.Polygon{Corners: kept}.Hull()
}

// depthOf is how far the deepest point of a notch is below the surface of the whole:
// the greatest, over its points, of the distance to the nearest face. Both are convex,
// so it is the optimum of a linear program.
func depthOf(notch, whole geom.Prism) float64 {
	const far = 1e5
	s := lp.New([]float64{0, 0, 0, 1}, []float64{-far, -far, -far, 0}, []float64{far, far, far, far})
	push := func(n r3.Vector, at, deep float64) {
		s.Push(lp.Row{Index: []int{0, 1, 2, 3}, Coef: []float64{n.X, n.Y, n.Z, deep}, Bound: at})
	}
	for _, n := range notch.Normals() {
		push(n, notch.Extent(n).Hi, 0)
	}
	for _, n := range whole.Normals() {
		push(n, whole.Extent(n).Hi, 1)
	}
	if s.Solve(math.Inf(-1)) != lp.Optimal {
		return 0 // touches the surface only
	}
	return s.Value()
}

// keepOuts are the pieces that are left, as keep-outs of the same name.
func (c *cutter) keepOuts() []frame.KeepOut {
	var list []frame.KeepOut
	for _, p := range c.pieces {
		k := c.keepOut
		k.Box, k.Trim = nil, 0
		k.Profile = &frame.Profile{Outline: p.Profile, Across: p.Depth}
		list = append(list, k)
	}
	return list
}
