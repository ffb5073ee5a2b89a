package view

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// edge is a straight edge of a body, with the normals of the faces that meet in it.
type edge struct {
	a, b    r3.Vector
	normals []r3.Vector
}

// edges are those that can be seen when nothing else is there: of a face towards the
// eye, and of round bodies only where one of two sides looks away.
func (b body) edges(eye r3.Vector) []edge {
	return slices.DeleteFunc(b.allEdges(), func(e edge) bool { return !e.shows(eye, b.smooth) })
}

// allEdges are those of all faces.
func (b body) allEdges() []edge {
	var all []edge
	for _, f := range b.faces {
		for i, c := range f.Corners {
			all = withFace(all, c, f.Corners[(i+1)%len(f.Corners)], f.Normal)
		}
	}
	return all
}

func withFace(all []edge, a, b, normal r3.Vector) []edge {
	for i := range all {
		if near(all[i].a, b) && near(all[i].b, a) {
			all[i].normals = append(all[i].normals, normal)
			return all
		}
	}
	return append(all, edge{a, b, []r3.Vector{normal}})
}

func near(a, b r3.Vector) bool { return a.Sub(b).Norm2() < 1e-12 }

func (e edge) shows(eye r3.Vector, smooth bool) bool {
	towards := 0
	for _, n := range e.normals {
		if n.Dot(eye) > 1e-9 {
			towards++
		}
	}
	if smooth && towards == 2 && e.smooth() {
		return false
	}
	return towards > 0
}

// smooth tells whether the faces that meet in the edge hardly turn there, as those that
// stand for a round side do.
func (e edge) smooth() bool {
	return len(e.normals) == 2 && e.normals[0].Dot(e.normals[1]) > math.Cos(math.Pi/9)
}

// skin in millimetres is taken off what hides: bodies that touch do not hide each
// other's edges.
const skin = 0.02

// hides tells whether a ray from q to the eye meets the inside.
func (c convex) hides(q, eye r3.Vector) bool {
	from, to := 0.0, math.Inf(1)
	for _, p := range c {
		towards, room := p.n.Dot(eye), p.d-skin-p.n.Dot(q)
		switch {
		case towards > 0:
			to = math.Min(to, room/towards)
		case towards < 0:
			from = math.Max(from, room/towards)
		case room < 0:
			return false
		}
	}
	return from < to
}

// shadow returns the part of the segment from a to b, as an interval of [0, 1], that a
// convex solid hides from the eye: the points from which a ray to the eye meets the
// inside. With q = a + t(b−a) + s·eye each plane of the solid is a line in (t, s), and
// what is left of the strip 0 ≤ t ≤ 1, s ≥ 0 is a convex polygon.
func (c convex) shadow(a, b, eye r3.Vector) r1.Interval {
	if c.misses(a, b, eye) {
		return r1.EmptyInterval()
	}
	const far = 1e6                        // mm, farther than anything that can be drawn
	var room [2][2 * roundCorners]r2.Point // that nothing has to be allocated for most bodies
	area, next := append(room[0][:0], r2.Point{}, r2.Point{X: 1}, r2.Point{X: 1, Y: far}, r2.Point{Y: far}), room[1][:0]
	along := b.Sub(a)
	for _, p := range c {
		if len(area) == 0 {
			break
		}
		n := r2.Point{X: p.n.Dot(along), Y: p.n.Dot(eye)}
		area, next = clipTo(next[:0], area, n, p.d-skin-p.n.Dot(a)), area
	}
	hidden := r1.EmptyInterval()
	for _, q := range area {
		hidden = hidden.AddPoint(q.X)
	}
	return hidden
}

// clip returns the part of a convex polygon where n·q ≤ d.
func clip(area []r2.Point, n r2.Point, d float64) []r2.Point { return clipTo(nil, area, n, d) }

// clipTo appends that part to what is kept.
func clipTo(kept, area []r2.Point, n r2.Point, d float64) []r2.Point {
	for i, q := range area {
		next := area[(i+1)%len(area)]
		here, there := n.Dot(q)-d, n.Dot(next)-d
		if here <= 0 {
			kept = append(kept, q)
		}
		if here < 0 && there > 0 || here > 0 && there < 0 {
			kept = append(kept, q.Add(next.Sub(q).Mul(here/(here-there))))
		}
	}
	return kept
}

// stretch is a part of an edge in a view, seen or hidden.
type stretch struct {
	a, b   r3.Vector
	hidden bool
}

// misses tells whether a segment is before a face that looks to the eye, or beside one: then the
// body hides nothing of it. Most bodies miss most segments, and this asks little.
func (c convex) misses(a, b, eye r3.Vector) bool {
	for _, p := range c {
		if at := p.d - skin; p.n.Dot(eye) >= 0 && p.n.Dot(a) >= at && p.n.Dot(b) >= at {
			return true
		}
	}
	return false
}

// stretches cuts an edge into what is seen and what hides of it from the eye, which looks along the
// view of the screen or against it.
func (e edge) stretches(before *screen, eye r3.Vector) []stretch {
	var shadows []r1.Interval
	for _, c := range before.near(e.a, e.b) {
		if s := c.shadow(e.a, e.b, eye); s.Length() > 0 {
			shadows = append(shadows, s)
		}
	}
	slices.SortFunc(shadows, func(s, t r1.Interval) int { return cmp.Compare(s.Lo, t.Lo) })
	at := func(t float64) r3.Vector { return e.a.Add(e.b.Sub(e.a).Mul(t)) }
	var all []stretch
	done := 0.0
	for _, s := range shadows {
		if s.Hi <= done {
			continue
		}
		if s.Lo > done {
			all = append(all, stretch{at(done), at(s.Lo), false})
			done = s.Lo
		}
		all = append(all, stretch{at(done), at(s.Hi), true})
		done = s.Hi
	}
	if done < 1 {
		all = append(all, stretch{at(done), e.b, false})
	}
	return all
}
