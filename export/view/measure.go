package view

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/export"
	"rackwright/geom"
	"rackwright/pack"
)

// Measure is a relation drawn in place: from the face of one part, along the sheet's
// normal, to the other. Where the parts overlap, To lies behind From.
type Measure struct {
	From, To r3.Vector
	Relation pack.Relation
}

// Words tells the clearance beside its required gap, or how far the parts overlap, in
// lengths of a unit, rounded against the builder.
func (m Measure) Words(u geom.Unit) string {
	clearance := export.Clearance(m.Relation.Gap, u)
	if m.Relation.Gap < 0 {
		return clearance
	}
	return clearance + ", needs " + bare(export.AtLeast(m.Relation.Required, u))
}

// mostMeasures is how many relations a picture shows at most.
const mostMeasures = 6

// Measures are the relations to be drawn: the tightest, or, where a layout is short,
// all that are short, the worst first, each pair of boxes once.
func Measures(problem pack.Problem, judged export.Judged) []Measure {
	return measures(problem, judged, func(drawn int, r pack.Relation) bool {
		return drawn == 0 || r.Left < 0 && drawn < mostMeasures
	})
}

// Tightest are the n tightest relations, short or not, each pair of boxes once.
func Tightest(problem pack.Problem, judged export.Judged, n int) []Measure {
	return measures(problem, judged, func(drawn int, _ pack.Relation) bool { return drawn < n })
}

// measures are the relations from the tightest on, for as long as another is wanted after so
// many that are drawn.
func measures(problem pack.Problem, judged export.Judged, wanted func(drawn int, r pack.Relation) bool) []Measure {
	var all []Measure
	seen := map[[2]pack.Part]bool{}
	for _, r := range judged.Report.Relations {
		if !wanted(len(all), r) {
			break
		}
		pair := [2]pack.Part{r.A, r.B}
		pair[0].Post, pair[1].Post = "", ""
		if seen[pair] {
			continue
		}
		if m := measureOf(problem, judged.Layout, r); m != nil {
			seen[pair] = true
			all = append(all, *m)
		}
	}
	return all
}

// measureOf finds where to draw a relation; nil when a part of it is not there. It is
// drawn where the two are nearest to each other.
func measureOf(p pack.Problem, l pack.Layout, r pack.Relation) *Measure {
	a, b := solidsOf(p, l, r.A), solidsOf(p, l, r.B)
	var best *Measure
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

func between(a, b geom.Solid, r pack.Relation) *Measure {
	onA, onB, _ := geom.Nearest(a, b)
	middle := onA.Add(onB).Mul(0.5)
	start := a.Extent(r.Normal).Hi
	from := middle.Add(r.Normal.Mul(start - middle.Dot(r.Normal)))
	return &Measure{from, from.Add(r.Normal.Mul(r.Gap)), r}
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
