package design

import (
	"fmt"
	"math"
	"slices"

	"rackwright/geom"
	"rackwright/pack/rack"
)

// pairing is how two bolts go through an upright and a cross bar's leg that cross: corner to corner from
// the corner of both roots or the other way, heads on the cross bar or on the upright.
type pairing struct{ other, turned bool }

// pairings in the order in which they are tried: heads are mostly on the cross bar, where boxes are, for
// nuts take more room.
var pairings = []pairing{{}, {other: true}, {turned: true}, {other: true, turned: true}}

// pair puts two bolts through an upright and a cross bar's upright leg that begins at root, in the
// first way that has room beside what is around, the mount's bolt and the bar's other bolts, or the one
// that lacks least.
func (t *tray) pair(b, bar rack.Bar, p plane, root, way float64, others []geom.Solid) {
	var best []rack.Fastener
	least := math.Inf(1)
	for _, f := range t.whole.Fasteners {
		if slices.Contains(f.Joins, bar.Name) {
			others = append(others, f.Solids()...)
		}
	}
	for _, how := range pairings {
		bolts := t.pairOf(b, bar, p, root, way, how)
		if short := t.pairLacks(bolts, others); short < least {
			best, least = bolts, short
		}
		if least == 0 {
			break
		}
	}
	t.whole.Fasteners = append(t.whole.Fasteners, best...)
}

// pairLacks is how much room two bolts lack, mm.
func (t *tray) pairLacks(bolts []rack.Fastener, others []geom.Solid) float64 {
	sum := 0.0
	for _, f := range bolts {
		for _, s := range f.Solids() {
			sum += max(0, t.room.meets(s, true).short)
			low, high := geom.Bounds(s)
			for _, o := range others {
				l, h := geom.Bounds(o)
				sum += max(0, -between(low, high, l, h))
			}
		}
		sum += max(0, t.room.blocked(f.WayIn()).short)
	}
	return sum
}

func (t *tray) pairOf(b, bar rack.Bar, p plane, root, way float64, how pairing) []rack.Fastener {
	size := pairBolt(b.Section, bar.Section)
	a1, a2 := legs(b.Section, size)
	h1, h2 := legs(bar.Section, size)
	if how.other {
		h1, h2 = h2, h1
	}
	across := b.B
	if b.Section.Form != rack.Angle {
		across = b.A
	}
	face, sign := b.From.Dot(t.axes.v), across.Dot(t.axes.v)
	out, from, joins := p.out, p.heel-p.out*bar.Section.Thick, []string{bar.Name, b.Name}
	if how.turned {
		out, from, joins = -p.out, p.heel+p.out*b.Section.Thick, []string{b.Name, bar.Name}
	}
	var bolts []rack.Fastener
	for i, at := range [][2]float64{{a1, h1}, {a2, h2}} {
		seat := t.at(from, face+sign*at[0], root+way*at[1])
		name := fmt.Sprintf("bolt %d %s to %s", i+1, b.Name, bar.Name)
		bolts = append(bolts, boltOf(size, name, seat, t.axes.u.Mul(out), b.Section.Thick+bar.Section.Thick, joins))
	}
	return bolts
}
