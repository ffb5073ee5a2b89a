package rackplan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/export/drawing"
	"rackwright/pack/rack"
)

// spot is where another bar is welded to a leg.
type spot struct {
	leg        rack.Leg
	at, across float64 // middle, mm from the bar's From end and from its heel
	long, wide float64 // along and across the bar
	inside     bool    // of an angle: on the face between its legs
	weld       rack.Weld
	with       string // the other bar
}

// spots are the places of a bar where others are welded to it, by place.
func spots(r *rack.Rack, b rack.Bar) []spot {
	var list []spot
	for _, w := range r.Welds {
		if i := slices.Index(w.Joins[:], b.Name); i >= 0 && len(w.Runs) > 0 {
			list = append(list, spotOf(b, w, w.Joins[1-i]))
		}
	}
	slices.SortStableFunc(list, func(a, b spot) int { return cmp.Or(cmp.Compare(a.leg, b.leg), cmp.Compare(a.at, b.at)) })
	return list
}

// spotOf is the block around the runs of a weld, on the leg that they are on.
func spotOf(b rack.Bar, w rack.Weld, with string) spot {
	best := spot{weld: w, with: with}
	flattest := math.Inf(1)
	for i, leg := range b.Legs() {
		along, across, off := r1.EmptyInterval(), r1.EmptyInterval(), r1.EmptyInterval()
		for _, r := range w.Runs {
			for _, q := range []r3.Vector{r.From.Sub(b.From), r.To.Sub(b.From)} {
				along, across, off = along.AddPoint(q.Dot(b.Along())), across.AddPoint(q.Dot(leg.Axes[1])), off.AddPoint(q.Dot(leg.Axes[2]))
			}
		}
		if off.Length() < flattest {
			flattest = off.Length()
			best.leg, best.at, best.across = []rack.Leg{rack.LegA, rack.LegB}[i], along.Center(), across.Center()
			best.long, best.wide, best.inside = along.Length(), across.Length(), off.Center() > b.Section.Thick/2
		}
	}
	return best
}

// spot is a spot of a bar as it is in the drawing of its part.
func (w way) spot(s spot, b rack.Bar) spot {
	h := w.seen(rack.Hole{Leg: s.leg, At: s.at, Across: s.across}, b)
	s.leg, s.at, s.across = h.Leg, h.At, h.Across
	return s
}

// key is the same for spots that are alike.
func (s spot) key() string {
	return fmt.Sprintf("weld %s %.1f %.1f %.1f %.1f %v %.1f", s.leg, s.at, s.across, s.long, s.wide, s.inside, s.weld.Throat)
}

// on is what is welded on, and to which face of an angle.
func (s spot) on(form rack.Form) string {
	if form != rack.Angle {
		return s.with
	}
	return s.with + map[bool]string{true: " inside", false: " outside"}[s.inside]
}

// words say where on its bar a spot is, and how it is welded.
func (s spot) words(form rack.Form) string {
	return fmt.Sprintf("%6.1f to %.1f  weld on %s, %s", s.at-s.long/2, s.at+s.long/2, s.on(form), Fillets(s.weld))
}

// spots draws where other bars are welded to a leg: their outline dotted, ticks along the edges
// that are welded, and the symbol of a fillet with its throat (ISO 2553).
func (s strip) spots(leg rack.Leg, low, out float64) {
	for _, x := range s.part.spots {
		if x.leg != leg || x.at < s.from || x.at >= s.to {
			continue
		}
		y := s.across(low, rack.Hole{Across: x.across}, out)
		area := r2.RectFromCenterSize(r2.Point{X: s.x(x.at), Y: y}, r2.Point{X: x.long, Y: x.wide})
		v := area.Vertices()
		s.Paths = append(s.Paths, drawing.Path{Layer: drawing.Mark, Points: v[:], Closed: true, Dotted: true})
		s.fillet(area, fmt.Sprintf("a%.1f", x.weld.Throat))
		for i, line := range []string{x.on(s.part.Bar.Section.Form), fmt.Sprintf("%.1f–%.1f", x.at-x.long/2, x.at+x.long/2)} {
			s.Text(area.Center().Add(r2.Point{Y: 5 - rowHigh*float64(i)}), small, area.Size().X-2, 0, line)
		}
	}
}

// fillet draws the symbol of a fillet weld, a triangle on its line, and its throat before it.
func (s strip) fillet(area r2.Rect, throat string) {
	foot := r2.Point{X: area.Center().X, Y: area.Lo().Y + 2}
	s.Line(drawing.Mark, foot.Sub(r2.Point{X: 6}), foot.Add(r2.Point{X: 6}))
	s.Polygon(drawing.Mark, []r2.Point{foot.Add(r2.Point{X: 2}), foot.Add(r2.Point{X: 2, Y: 3}), foot.Add(r2.Point{X: 5})})
	s.Text(foot.Add(r2.Point{X: -2, Y: 2}), small, 8, 0, throat)
}

// lettersOfSpots names the bars that are welded on by the letters of their parts.
func lettersOfSpots(parts []Part, r *rack.Rack) {
	letters := map[string]string{}
	for _, p := range parts {
		for _, n := range p.Names {
			letters[n] = p.Letter
		}
	}
	for i := range parts {
		for k := range parts[i].spots {
			one := &parts[i].spots[k]
			var with []string
			for _, name := range parts[i].Names {
				with = append(with, letters[one.counterpart(parts[i], r, name)])
			}
			slices.Sort(with)
			one.with = strings.Join(slices.DeleteFunc(slices.Compact(with), func(l string) bool { return l == "" }), "/")
		}
	}
}

// counterpart is the bar that is welded to another bar of the part at the same spot.
func (s spot) counterpart(p Part, r *rack.Rack, name string) string {
	b, _ := r.Bar(name)
	w, _ := p.wayOf(b, r)
	for _, x := range spots(r, b) {
		if w.spot(x, b).key() == s.key() {
			return x.with
		}
	}
	return ""
}
