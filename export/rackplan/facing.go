package rackplan

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack/rack"
)

// way is how a bar lies against the drawing of its part: turned end for end, with its legs
// exchanged, or (a flat) its edges.
type way struct{ ends, legs, edges bool }

// ways are those in which a bar of a section can be turned so that it stays the same bar. An
// angle that is turned end for end about the line between its legs has these exchanged too.
func ways(of, drawn rack.Bar) []way {
	if of.Section.Form == rack.Angle {
		swap := leftHanded(of) != leftHanded(drawn)
		return []way{{false, swap, false}, {true, !swap, false}}
	}
	return []way{{}, {ends: true}, {edges: true}, {ends: true, edges: true}}
}

// seen is a hole of a bar as it is in the drawing.
func (w way) seen(h rack.Hole, b rack.Bar) rack.Hole {
	if w.ends {
		h.At = b.Length() - h.At
	}
	if w.edges {
		h.Across = b.Section.Width - h.Across
	}
	if w.legs {
		h.Leg = otherLeg(h.Leg)
	}
	return h
}

func otherLeg(l rack.Leg) rack.Leg {
	return map[rack.Leg]rack.Leg{rack.LegA: rack.LegB, rack.LegB: rack.LegA}[l]
}

// alike tells whether two lists of holes are the same to a tenth.
func alike(a, b []rack.Hole) bool {
	const off = 0.051
	same := func(h, o rack.Hole) bool {
		return h.Leg == o.Leg && math.Abs(h.At-o.At) < off && math.Abs(h.Across-o.Across) < off && h.Diameter == o.Diameter
	}
	return len(a) == len(b) && !slices.ContainsFunc(a, func(h rack.Hole) bool {
		return !slices.ContainsFunc(b, func(o rack.Hole) bool { return same(h, o) })
	})
}

// wayOf is how a bar lies against the drawing of its part.
func (p Part) wayOf(b rack.Bar, r *rack.Rack) (way, bool) {
	for _, w := range ways(b, p.Bar) {
		var turned []rack.Hole
		for _, h := range r.Holes(b) {
			turned = append(turned, w.seen(h, b))
		}
		if alike(turned, p.Holes) && p.weldedAlike(b, w, r) {
			return w, true
		}
	}
	return way{}, false
}

// weldedAlike tells whether a bar that lies some way has its welds where the part's are drawn.
func (p Part) weldedAlike(b rack.Bar, w way, r *rack.Rack) bool {
	mine := spots(r, b)
	return len(mine) == len(p.spots) && !slices.ContainsFunc(mine, func(s spot) bool {
		return !slices.ContainsFunc(p.spots, func(o spot) bool { return w.spot(s, b).key() == o.key() })
	})
}

// facings say which way round each of the part's bars lies in the vehicle: where the left end of
// the drawing is, and where leg 1, or a flat's upper edge, points.
func (p Part) facings(r *rack.Rack) map[string]string {
	words := map[string]string{}
	for _, name := range p.Names {
		b, ok := r.Bar(name)
		if !ok {
			continue
		}
		if w, ok := p.wayOf(b, r); ok {
			words[name] = p.facing(b, w)
		}
	}
	return words
}

func (p Part) facing(b rack.Bar, w way) string {
	left := b.Along().Mul(-1)
	if w.ends {
		left = left.Mul(-1)
	}
	if b.Section.Form != rack.Angle {
		up := b.A
		if w.edges {
			up = up.Mul(-1)
		}
		return fmt.Sprintf("left end %s, upper edge %s", towards(left), towards(up))
	}
	leg := p.lower()
	if w.legs {
		leg = otherLeg(leg)
	}
	points := b.A
	if leg == rack.LegB {
		points = b.B
	}
	return fmt.Sprintf("left end %s, leg 1 %s", towards(left), towards(points))
}

// towards is heading as it follows what points there: "to the front", "up".
func towards(v r3.Vector) string {
	switch side := heading(v); side {
	case "up", "down":
		return side
	default:
		return "to the " + side
	}
}

// heading is the side of the vehicle that a direction points to, or the two of one between.
func heading(v r3.Vector) string {
	list := []struct {
		by   float64
		word string
	}{{v.X, "front"}, {-v.X, "back"}, {v.Y, "left"}, {-v.Y, "right"}, {v.Z, "up"}, {-v.Z, "down"}}
	text := ""
	for _, d := range list {
		if d.by > 0.3 {
			if text != "" {
				text += " and "
			}
			text += d.word
		}
	}
	return text
}
