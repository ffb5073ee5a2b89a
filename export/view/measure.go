package view

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack"
)

// measure is a relation drawn in place: from the face of one part, along the sheet's
// normal, to the other.
type measure struct {
	from, to r3.Vector
	relation pack.Relation
}

// measureOf finds where to draw a relation; nil when a part of it is not there. It is
// drawn where the two are nearest to each other.
func measureOf(p pack.Problem, l pack.Layout, r pack.Relation) *measure {
	a, b := solidsOf(p, l, r.A), solidsOf(p, l, r.B)
	var best *measure
	least := math.Inf(1)
	for _, x := range a {
		for _, y := range b {
			gap := geom.GapAlong(x, y, r.Normal)
			if off := math.Abs(gap - r.Gap); off < least {
				least, best = off, between(x, y, r)
			}
		}
	}
	return best
}

func between(a, b geom.Solid, r pack.Relation) *measure {
	onA, onB, _ := geom.Nearest(a, b)
	middle := onA.Add(onB).Mul(0.5)
	start := a.Extent(r.Normal).Hi
	from := middle.Add(r.Normal.Mul(start - middle.Dot(r.Normal)))
	return &measure{from, from.Add(r.Normal.Mul(r.Gap)), r}
}

// solidsOf are the solids that go by a part's name.
func solidsOf(p pack.Problem, l pack.Layout, part pack.Part) []geom.Solid {
	var all []geom.Solid
	if part.Obstacle != "" {
		for _, o := range p.Obstacles() {
			if o.Name == part.Obstacle {
				all = append(all, o.Solid)
			}
		}
		return all
	}
	for _, at := range l.Placements {
		if !part.OfBox(at.Box, at.Number) {
			continue
		}
		b, err := p.Bodies(at)
		if err != nil {
			continue
		}
		if part.Post == "" {
			all = append(all, b.Case)
			continue
		}
		kind, _ := p.Kind(at.Box)
		for i, t := range kind.Posts {
			if t.Name == part.Post {
				all = append(all, b.Posts[i])
			}
		}
	}
	return all
}
