package pack

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
)

// body is a case or a post in its place.
type body struct {
	part Part
	post bool
	bar  geom.Box
}

// thing is a thing of the frame: one name, one or more solids.
type thing struct {
	part   Part
	solids []frame.Obstacle
}

// bodiesOf returns the case of a soundly placed box and then its posts.
func bodiesOf(kind Kind, at Placement, problem Problem) []body {
	solids := problem.solids(kind, at)
	list := []body{{part: at.Part(), bar: solids.Case}}
	for i, bar := range solids.Posts {
		part := Part{Box: at.Box, Number: at.Number, Post: kind.Posts[i].Name}
		list = append(list, body{part: part, post: true, bar: bar})
	}
	return list
}

// thingsOf gathers the solids that share a name and a kind, in the order in which the
// names first come. (A side of the opening may be called as the rail along it is.)
func thingsOf(obstacles []frame.Obstacle) []thing {
	type key struct {
		kind frame.ObstacleKind
		name string
	}
	at := map[key]int{}
	var things []thing
	for _, o := range obstacles {
		k := key{o.Kind, o.Name}
		i, ok := at[k]
		if !ok {
			i = len(things)
			at[k] = i
			things = append(things, thing{part: Part{Obstacle: o.Name}})
		}
		things[i].solids = append(things[i].solids, o)
	}
	return things
}

// between returns the relation of two bodies of different boxes.
func (g Gaps) between(a, b body) Relation {
	var r Relation
	if a.post || b.post {
		r = flat(g.BetweenBoxes(a.post, b.post, r3.Vector{}), a.bar, b.bar)
	} else {
		r = g.cases(a.bar, b.bar)
	}
	r.A, r.B = a.part, b.part
	r.Distance = geom.Distance(a.bar, b.bar)
	return r
}

// flat returns the relation of two solids that need the same in all directions, without
// its parts and its shortest distance.
func flat(need Need, a, b geom.Solid) Relation {
	gap, normal := geom.SheetGap(a, b)
	return across(need, gap, normal)
}

// across returns the relation of two solids with a sheet between them, without its parts
// and its shortest distance.
func across(need Need, gap float64, normal r3.Vector) Relation {
	return Relation{Rule: need.Rule, Required: need.Required, Gap: gap, Left: leaves(gap, need.Required), Normal: normal}
}

// cases returns the relation of two cases: of the sheets between them the one that
// leaves the most of the gap required in its direction. Among those that leave the
// same it is the steepest, then the one most across.
func (g Gaps) cases(a, b geom.Box) Relation {
	best := Relation{Left: math.Inf(-1)}
	for _, n := range geom.SheetNormals(a, b) {
		r := across(g.BetweenBoxes(false, false, n), geom.GapAlong(a, b, n), n)
		if r.Left > best.Left || r.Left == best.Left && before(n, best.Normal) {
			best = r
		}
	}
	return best
}

// before tells which of two sheets that leave the same is named.
func before(n, m r3.Vector) bool {
	n, m = n.Abs(), m.Abs()
	return cmp.Or(cmp.Compare(n.Z, m.Z), cmp.Compare(n.X, m.X)) > 0
}

// toThing returns the relation of a body with a thing of the frame.
func (g Gaps) toThing(a body, t thing) Relation {
	var best Relation
	distance := math.Inf(1)
	for i, o := range t.nearestFirst(a) {
		if o.Kind == frame.Moves && atLeast(a.bar, o.Solid) >= max(best.Gap, distance) {
			break // none of the others, all of which require the same, is nearer
		}
		r := flat(g.ToObstacle(o, a.post), a.bar, o.Solid)
		if i == 0 || r.Left < best.Left {
			best = r
		}
		distance = nearer(distance, r.Gap, a.bar, o.Solid)
	}
	best.A, best.B, best.Distance = a.part, t.part, distance
	return best
}

// nearestFirst are the solids of a thing, in their order; of the many pieces that a part is swept
// through those first that may be nearest to a body.
func (t thing) nearestFirst(a body) []frame.Obstacle {
	if t.solids[0].Kind != frame.Moves {
		return t.solids
	}
	near := make([]float64, len(t.solids))
	order := make([]int, len(t.solids))
	for i, o := range t.solids {
		near[i], order[i] = atLeast(a.bar, o.Solid), i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(near[i], near[j]) })
	sorted := make([]frame.Obstacle, len(order))
	for i, k := range order {
		sorted[i] = t.solids[k]
	}
	return sorted
}

// atLeast is no more than the sheet gap from a box to a solid: that along the box's own axes.
func atLeast(a geom.Box, b geom.Solid) float64 {
	most := math.Inf(-1)
	for _, u := range a.Axes {
		on, of := a.Extent(u), b.Extent(u)
		most = max(most, of.Lo-on.Hi, on.Lo-of.Hi)
	}
	return most
}

// nearer returns the lesser of distance and the shortest distance from a to b, whose
// sheet gap is given: it is never more than the shortest distance, and the same where
// b is round or a half-space.
func nearer(distance, gap float64, a, b geom.Solid) float64 {
	if gap >= distance {
		return distance
	}
	if _, half := b.(geom.HalfSpace); half || b.Round() {
		return gap
	}
	return math.Min(distance, geom.Distance(a, b))
}
