package stand

import (
	"math/rand/v2"

	"github.com/golang/geo/r3"
)

// Stances drawn at random, from which the annealer starts.

// anywhere is a place in a plane drawn at random. u and v in the plane's own coordinates, of a
// place in the opening's room.
func (g *staging) anywhere(plane int, rng *rand.Rand) (u, v float64) {
	at := r3.Vector{X: g.drawn(0, rng), Z: g.drawn(2, rng)}
	return at.Dot(g.planes[plane].along), g.drawn(1, rng)
}

// drawn is a coordinate in the room, each as likely.
func (g *staging) drawn(axis int, rng *rand.Rand) float64 {
	r := g.m.Room[axis]
	return r.Lo + rng.Float64()*r.Length()
}

// anyHeight is a height of a level drawn at random: more often low than high. Trays stand low in
// good racks; the product of two draws is below a quarter more often than not.
func (g *staging) anyHeight(plane int, rng *rand.Rand) float64 {
	p := g.planes[plane]
	x := g.drawn(0, rng)
	r := g.m.Room[2]
	z := r.Lo + rng.Float64()*rng.Float64()*r.Length()
	return p.up.Dot(r3.Vector{X: x, Z: z})
}

// newStance draws a stance of so many levels, all of one tilt or, with mixed, of any. A pinned box
// sets the height of its level. It is not ok where a box has no way to stand in the plane.
func (g *staging) newStance(levels int, plane int, rng *rand.Rand) (stance, bool) {
	n := len(g.m.Boxes)
	s := stance{levels: levels, boxes: make([]place, n), heights: make([]float64, levels), planes: make([]int, levels)}
	for l := range levels {
		s.planes[l] = plane
		s.heights[l] = g.anyHeight(plane, rng)
	}
	if g.carries {
		s.heights = append(s.heights, make([]float64, n)...)
		s.planes = append(s.planes, make([]int, n)...)
	}
	for i := range n {
		all := g.ways[g.m.Boxes[i].Kind]
		b := &s.boxes[i]
		b.on, b.level = -1, rng.IntN(levels)
		// The first way of the plane from a random place on.
		from := rng.IntN(len(all))
		found := false
		for k := range all {
			if w := (from + k) % len(all); all[w].plane == s.planes[b.level] {
				b.way, found = w, true
				break
			}
		}
		if !found {
			return stance{}, false
		}
		b.u, b.v = g.anywhere(s.planes[b.level], rng)
		if at, pinned := g.m.Pinned(i); pinned {
			g.put(&s, i, at)
			s.heights[b.level] = at.Dot(g.planes[plane].up) - g.way(i, *b).low
		}
	}
	return s, true
}
