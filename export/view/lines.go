package view

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// Lines are what a view shows of the opening, the boxes and their posts, for drawings that set
// it out in their own way. Points are in millimetres of the vehicle: to the right and up.
type Lines struct {
	Opening      [][]r2.Point // closed
	Seen, Hidden [][2]r2.Point
	Boxes        []NamedArea
	Posts        []NamedArea // those with a polarity, by it
}

// NamedArea is a name and where what bears it is in a view.
type NamedArea struct {
	Name string
	Area r2.Rect
	// Seen tells whether its middle can be seen from the eye.
	Seen bool
}

// Lines are those of a view. Rails and keep-outs are left out.
func (s *Scene) Lines(d Direction) Lines {
	out := Lines{Opening: s.rim(d)}
	boxes := s.ofRole(func(b body) bool { return !b.ofFrame() })
	before := newScreen(d, boxes)
	for _, b := range boxes {
		for _, e := range b.edges(d.eye()) {
			seen, hidden := flatStretches(e, before, d)
			out.Seen, out.Hidden = append(out.Seen, seen...), append(out.Hidden, hidden...)
		}
		switch area := (NamedArea{Name: b.name, Area: b.bounds(d)}); {
		case b.role == boxBody:
			out.Boxes = append(out.Boxes, area)
		case b.polarity != "":
			area.Name, area.Seen = b.polarity, s.seen(b.top(d), d.eye())
			out.Posts = append(out.Posts, area)
		}
	}
	return out
}

// top is a point just before the middle of a body in a view.
func (b body) top(d Direction) r3.Vector {
	most := 0.0
	for i, f := range b.faces {
		for k, c := range f.Corners {
			if _, near := d.flatten(c); i == 0 && k == 0 || near > most {
				most = near
			}
		}
	}
	const before = 0.1
	return d.unflatten(b.bounds(d).Center(), most+before)
}

// Split are the parts of a segment that can be seen in a view, and those that boxes hide.
func (s *Scene) Split(from, to r3.Vector, d Direction) (seen, hidden [][2]r2.Point) {
	return flatStretches(edge{a: from, b: to}, newScreen(d, s.ofRole(isBox)), d)
}

func flatStretches(e edge, before *screen, d Direction) (seen, hidden [][2]r2.Point) {
	const least = 1e-3 // mm
	for _, part := range e.stretches(before, d.eye()) {
		line := [2]r2.Point{d.flat(part.a), d.flat(part.b)}
		switch {
		case line[0].Sub(line[1]).Norm() < least:
		case part.hidden:
			hidden = append(hidden, line)
		default:
			seen = append(seen, line)
		}
	}
	return seen, hidden
}

// rim is the opening in a view.
func (s *Scene) rim(d Direction) [][]r2.Point {
	switch d.facing() {
	case FromFront:
		return [][]r2.Point{d.turnedAll(s.section())}
	case FromTop:
		var all [][]r2.Point
		for _, r := range s.plan() {
			v := r.Vertices()
			all = append(all, d.turnedAll(v[:]))
		}
		return all
	}
	return [][]r2.Point{d.turnedAll(s.problem.Frame.Opening.Outline.Corners)}
}

// BoxAt names the box that is seen at a point of a view, empty where there is none.
func (s *Scene) BoxAt(q r2.Point, d Direction) string {
	name := ""
	var nearest float64
	for _, b := range s.ofRole(isBox) {
		if !b.bounds(d).ContainsPoint(q) {
			continue
		}
		depth, ok := b.nearEnd(q, d)
		if ok && (name == "" || depth > nearest) {
			name, nearest = b.name, depth
		}
	}
	return name
}

// nearEnd is how near the eye the line of sight through a point of a view leaves a convex body,
// and whether it meets it.
func (b body) nearEnd(q r2.Point, d Direction) (float64, bool) {
	at, eye := d.unflatten(q, 0), d.eye()
	lo, hi := math.Inf(-1), math.Inf(1)
	for _, c := range b.solids {
		for _, p := range c {
			towards, room := p.n.Dot(eye), p.d-p.n.Dot(at)
			switch {
			case towards > 0:
				hi = min(hi, room/towards)
			case towards < 0:
				lo = max(lo, room/towards)
			case room < 0:
				return 0, false
			}
		}
	}
	return hi, lo < hi
}
