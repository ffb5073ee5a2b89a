package design

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/rack"
)

// welded puts welds where bolts join bars of one tray, and takes those bolts away. Where no
// fillet that carries can be laid the bolts stay.
func welded(r *rack.Rack) *rack.Rack {
	out := *r
	out.Fasteners, out.Welds = nil, nil
	for _, f := range r.Fasteners {
		pairs := weldable(r, f)
		for _, pair := range pairs {
			if _, there := out.Weld(pair[0].Name, pair[1].Name); !there {
				out.Welds = append(out.Welds, weldOf(r, pair[0], pair[1]))
			}
		}
		if len(pairs) == 0 {
			out.Fasteners = append(out.Fasteners, f)
		}
	}
	return &out
}

// weldable are the pairs of bars that a bolt joins, if all of them are of one tray and can be
// welded.
func weldable(r *rack.Rack, f rack.Fastener) [][2]rack.Bar {
	var pairs [][2]rack.Bar
	for i := 1; i < len(f.Joins) && !f.Rod; i++ {
		a, isBar := r.Bar(f.Joins[i-1])
		b, also := r.Bar(f.Joins[i])
		if !isBar || !also || a.Late || b.Late || a.Tray == "" || a.Tray != b.Tray || len(weldOf(r, a, b).Carrying()) == 0 {
			return nil
		}
		pairs = append(pairs, [2]rack.Bar{a, b})
	}
	return pairs
}

// weldOf is the weld of two bars: fillets along all edges of each that end on the other's face, but
// where a washer or nut sits.
func weldOf(whole *rack.Rack, a, b rack.Bar) rack.Weld {
	throat := math.Floor(10*rack.MostThroat(math.Min(a.Section.Thick, b.Section.Thick))) / 10
	w := rack.Weld{Name: fmt.Sprintf("weld %s to %s", a.Name, b.Name), Joins: [2]string{a.Name, b.Name}, Throat: throat}
	for _, la := range a.Legs() {
		for _, lb := range b.Legs() {
			w.Runs = slices.Concat(w.Runs, edges(la, lb, a.Name, w.Leg()), edges(lb, la, b.Name, w.Leg()))
		}
	}
	w.Runs = slices.DeleteFunc(w.Runs, func(r rack.Run) bool { return underWasher(whole, w, r) })
	return w
}

// underWasher tells whether a head, nut or washer that stays would be on a fillet.
func underWasher(whole *rack.Rack, w rack.Weld, r rack.Run) bool {
	bead := geom.BoxFromCorners(r.From, r.To)
	for _, f := range whole.Fasteners {
		stays := f.Rod || !slices.Contains(f.Joins, w.Joins[0]) || !slices.Contains(f.Joins, w.Joins[1])
		if !stays || !slices.Contains(f.Joins, w.Joins[0]) && !slices.Contains(f.Joins, w.Joins[1]) {
			continue
		}
		for _, s := range f.Hardware() {
			if geom.Distance(bead, s) < w.Leg() {
				return true
			}
		}
	}
	return false
}

// edges are the edges of a slab that lie on the face of another with room for a fillet beside
// them; none where the two do not lie on one another.
func edges(a, on geom.Box, name string, leg float64) []rack.Run {
	n := a.Axes[2]
	d := on.Centre.Sub(a.Centre).Dot(n)
	if math.Abs(n.Dot(on.Axes[2])) < 0.999 || math.Abs(math.Abs(d)-a.Half.Z-on.Half.Z) > 0.05 {
		return nil
	}
	face := a.Centre.Add(n.Mul(math.Copysign(a.Half.Z, d)))
	u, v := a.Axes[0], a.Axes[1]
	mine := r2.Rect{X: r1.Interval{Lo: -a.Half.X, Hi: a.Half.X}, Y: r1.Interval{Lo: -a.Half.Y, Hi: a.Half.Y}}
	theirs := r2.Rect{X: spanOf(on, face, u), Y: spanOf(on, face, v)}
	both := mine.Intersection(theirs)
	if both.IsEmpty() || both.Size().X < leg || both.Size().Y < leg {
		return nil
	}
	at := func(x, y float64) r3.Vector { return face.Add(u.Mul(x)).Add(v.Mul(y)) }
	c := [4]r3.Vector{at(both.X.Lo, both.Y.Lo), at(both.X.Hi, both.Y.Lo), at(both.X.Hi, both.Y.Hi), at(both.X.Lo, both.Y.Hi)}
	ends := [4]bool{ // of the slab, with the other going on beyond: below, right, above, left
		mine.Y.Lo-theirs.Y.Lo >= leg, theirs.X.Hi-mine.X.Hi >= leg, theirs.Y.Hi-mine.Y.Hi >= leg, mine.X.Lo-theirs.X.Lo >= leg,
	}
	var runs []rack.Run
	for i, ok := range ends {
		if ok {
			runs = append(runs, rack.Run{Of: name, From: c[i], To: c[(i+1)%4]})
		}
	}
	return runs
}

// spanOf is the extent of a slab along a direction in its plane, from a point.
func spanOf(b geom.Box, from, along r3.Vector) r1.Interval {
	e := b.Extent(along)
	o := from.Dot(along)
	return r1.Interval{Lo: e.Lo - o, Hi: e.Hi - o}
}
