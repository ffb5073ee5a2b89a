package view

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/export"
	"rackwright/geom"
	"rackwright/pack"
)

// gap is the room between two boxes that face each other, told as a plain number.
type gap struct {
	from, to r3.Vector
	mm       float64
}

// mostGap is how wide a gap between neighbours is at most: what is packed, as in the list of packing.
const mostGap = pack.PackingReach

// gapsOf are the gaps between the boxes of a layout, but not those that are measured anyway.
func gapsOf(p pack.Problem, judged export.Judged, measures []Measure) []gap {
	cases := map[pack.Part]geom.Box{}
	for _, at := range judged.Layout.Placements {
		if b, err := p.Bodies(at); err == nil {
			cases[at.Part()] = b.Case
		}
	}
	var all []gap
	for _, r := range judged.Report.Relations {
		a, first := cases[r.A]
		b, second := cases[r.B]
		if !first || !second || r.Gap < 0 || r.Gap > mostGap || r.Distance-r.Gap > shown || measured(measures, r) {
			continue
		}
		from := facing(a, b, r.Normal)
		g := gap{from, from.Add(r.Normal.Mul(r.Gap)), r.Gap}
		if !crossesAny(g, cases) {
			all = append(all, g)
		}
	}
	return all
}

func measured(measures []Measure, r pack.Relation) bool {
	for _, m := range measures {
		if m.Relation.A == r.A && m.Relation.B == r.B {
			return true
		}
	}
	return false
}

// facing is the middle of what of a's face looks at b along a normal.
func facing(a, b geom.Box, normal r3.Vector) r3.Vector {
	at := normal.Mul(a.Extent(normal).Hi)
	for _, axis := range a.Axes {
		if math.Abs(axis.Dot(normal)) > 0.5 {
			continue
		}
		both := a.Extent(axis).Intersection(b.Extent(axis))
		at = at.Add(axis.Mul(both.Center() - at.Dot(axis)))
	}
	return at.Add(normal.Mul(a.Extent(normal).Hi - at.Dot(normal)))
}

// crossesAny tells whether another box is in a gap.
func crossesAny(g gap, cases map[pack.Part]geom.Box) bool {
	middle := g.from.Add(g.to).Mul(0.5)
	for _, c := range cases {
		in := true
		for i, axis := range c.Axes {
			half := [...]float64{c.Half.X, c.Half.Y, c.Half.Z}[i]
			in = in && math.Abs(middle.Sub(c.Centre).Dot(axis)) < half
		}
		if in {
			return true
		}
	}
	return false
}

// trueLength tells whether a gap is seen as long as it is.
func (g gap) trueLength(d Direction) bool {
	n := g.to.Sub(g.from)
	return math.Abs(n.Dot(d.eye())) <= 0.05*n.Norm()
}

// gapsIn are those that are told in a view: which can be seen there; those that are seen in none of
// the views that are always shown in the first of these that shows them at their length.
func (s *Scene) gapsIn(d Direction) []gap {
	var all []gap
	for _, g := range s.gaps {
		if g.trueLength(d) && (s.sees(g, d) || s.only(g) == d) {
			all = append(all, g)
		}
	}
	return all
}

func (s *Scene) sees(g gap, d Direction) bool {
	return s.seen(g.from.Add(g.to).Mul(0.5), d.eye())
}

// only is the view for a gap that is seen in none.
func (s *Scene) only(g gap) Direction {
	first := Direction(-1)
	for _, d := range Directions {
		switch {
		case !g.trueLength(d):
		case s.sees(g, d):
			return -1
		case first < 0:
			first = d
		}
	}
	return first
}

// primary is the first of the views that are always shown which tells of a gap.
func (s *Scene) primary(g gap) Direction {
	for _, d := range Directions {
		if g.trueLength(d) && s.sees(g, d) {
			return d
		}
	}
	return s.only(g)
}

// drawGap draws a line from box to box with a tick at each end.
func (d *drawing) drawGap(g gap) {
	const tick = 4.0
	a, b := d.px(d.dir.flat(g.from)), d.px(d.dir.flat(g.to))
	n := d.dir.flat(g.to.Sub(g.from))
	aside := r2.Point{X: n.X, Y: -n.Y}.Ortho().Normalize().Mul(tick)
	d.line("rw-dim", a, b)
	d.line("rw-dim", a.Sub(aside), a.Add(aside))
	d.line("rw-dim", b.Sub(aside), b.Add(aside))
}
