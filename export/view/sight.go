package view

import (
	"cmp"
	"slices"

	"github.com/golang/geo/r3"
)

// sight is what is seen of a scene in a view, in millimetres. It is the same at every scale, and is
// kept, for a scale is found by drawing again and again.
type sight struct {
	// painted are the bodies in the order in which they are painted: what is of the frame first, even
	// where it is before the boxes, for these are what is looked for; then the farthest body first.
	painted  []body
	outlines []outline
}

// outline is the edges of a body, as they are drawn.
type outline struct {
	body  body
	edges []drawnEdge
}

// drawnEdge is a part of an edge with the class of its line.
type drawnEdge struct {
	class string
	a, b  r3.Vector
}

// sightFrom is what is seen in a view.
func (s *Scene) sightFrom(dir Direction) *sight {
	if kept, ok := s.sights[dir]; ok {
		return kept
	}
	if s.sights == nil {
		s.sights = map[Direction]*sight{}
	}
	made := &sight{painted: s.paintedFrom(dir), outlines: s.outlinesFrom(dir)}
	s.sights[dir] = made
	return made
}

func (s *Scene) paintedFrom(dir Direction) []body {
	type placed struct {
		body
		far float64
	}
	var all []placed
	for _, b := range s.bodies {
		all = append(all, placed{b, b.farEnd(dir)})
	}
	slices.SortStableFunc(all, func(a, b placed) int {
		if a.ofFrame() != b.ofFrame() {
			return map[bool]int{true: -1, false: 1}[a.ofFrame()]
		}
		return cmp.Compare(a.far, b.far)
	})
	var bodies []body
	for _, p := range all {
		bodies = append(bodies, p.body)
	}
	return bodies
}

// outlinesFrom finds what is seen, what is hidden, and what is before the boxes. Rails and keep-outs
// hide each other, but no box.
func (s *Scene) outlinesFrom(dir Direction) []outline {
	frame := newScreen(dir, s.ofRole(body.ofFrame))
	rest := newScreen(dir, s.ofRole(func(o body) bool { return !o.ofFrame() }))
	boxes := newScreen(dir, s.ofRole(isBox))
	var all []outline
	for _, b := range s.bodies {
		before := rest
		if b.ofFrame() {
			before = frame
		}
		all = append(all, outline{b, s.edgesOf(b, dir.eye(), before, boxes)})
	}
	return all
}

func (s *Scene) edgesOf(b body, eye r3.Vector, before, boxes *screen) []drawnEdge {
	var shown []edge
	pieces := s.pieces(b)
	for _, e := range b.edges(eye) {
		shown = append(shown, withoutSeams(e, pieces)...)
	}
	var all []drawnEdge
	for _, e := range shown {
		for _, part := range e.stretches(before, eye) {
			switch {
			case !part.hidden && b.ofFrame():
				all = append(all, frameEdges(part, eye, boxes)...)
			case !part.hidden:
				all = append(all, drawnEdge{"rw-line", part.a, part.b})
			case b.role == rackBody: // there are too many for dashes to tell anything
			case b.ofFrame(): // lines behind rails and keep-outs would only confuse
			default:
				all = append(all, drawnEdge{"rw-hid", part.a, part.b})
			}
		}
	}
	return all
}

// frameEdges are the parts of an edge of the frame: behind boxes dashed, before them dotted.
func frameEdges(s stretch, eye r3.Vector, boxes *screen) []drawnEdge {
	var all []drawnEdge
	for _, behind := range (edge{a: s.a, b: s.b}).stretches(boxes, eye) {
		if behind.hidden {
			all = append(all, drawnEdge{"rw-hid", behind.a, behind.b})
			continue
		}
		for _, over := range (edge{a: behind.a, b: behind.b}).stretches(boxes, eye.Mul(-1)) {
			all = append(all, drawnEdge{map[bool]string{true: "rw-over", false: "rw-line"}[over.hidden], over.a, over.b})
		}
	}
	return all
}
