package stand

import (
	"math"

	"rackwright/pack/search/model"

	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// ties are what a box asks of one that carries it, on its place less that of the other: not
// too far above it, its middle over it with the margin, and no post of it below. They ask for
// no spare.
//
// The numbers are the judge's (pack.CarryMargin, CarryReach), for they say what standing means;
// what is made of them here is this package's own.
func (g *staging) ties(i int, b place, j int, c place) []model.Clause {
	w, o := g.way(i, b), g.way(j, c)
	p := g.planes[w.plane]
	single := func(n r3.Vector, d float64) model.Clause { return model.Clause{Planes: []model.Plane{{N: n, D: d}}} }
	// How far the middle may be off that of the carrier.
	alongRoom, acrossRoom := o.half.X-2*pack.CarryMargin*w.half.X, o.half.Y-2*pack.CarryMargin*w.half.Y
	list := []model.Clause{
		single(p.up.Mul(-1), -(w.low + o.half.Z + pack.CarryReach - 1e-6)),
		single(p.up, w.low+o.half.Z),
		single(p.along, -alongRoom), single(p.along.Mul(-1), -alongRoom),
		single(sideways, -acrossRoom), single(sideways.Mul(-1), -acrossRoom),
	}
	pose := g.pose(j, c)
	boot := g.m.Problem.Pack.Gaps.Boot
	for _, post := range o.posts {
		list = append(list, offPost(p, w, pose, post, boot))
	}
	return list
}

// offPost is the clause that a box keeps off a post on top of another, in plan. In plan alone: a
// box that stands on another is above its post anyway.
func offPost(p levelPlane, w *footing, other *model.Pose, post int, boot float64) model.Clause {
	var c model.Clause
	for _, u := range []r3.Vector{p.along, p.along.Mul(-1), sideways, sideways.Mul(-1)} {
		half := math.Abs(u.Dot(p.along))*w.half.X + math.Abs(u.Y)*w.half.Y
		c.Planes = append(c.Planes, model.Plane{N: u, D: other.Reach(post, u) + half + boot})
	}
	return c
}

// mayCarry tells whether box j may carry box i beside all that it carries in a stance, for
// what it weighs, and without going round in a ring. Everything down to the tray has to bear what
// is added.
func (g *staging) mayCarry(s *stance, i, j int) bool {
	mass := g.mass(i)
	if i == j || mass == 0 || s.planes[s.boxes[j].level] != g.way(i, s.boxes[i]).plane {
		return false
	}
	total := mass + g.load(s, i, i)
	// From the carrier down to the tray.
	for k := j; k >= 0; k = s.boxes[k].on {
		if k == i || g.load(s, k, i)+total > g.m.Kinds[g.m.Boxes[k].Kind].Carries {
			return false
		}
	}
	return true
}

// mass is that of a box in kg, 0 where it is not given: such a box is never carried.
func (g *staging) mass(i int) float64 { return g.m.Kinds[g.m.Boxes[i].Kind].Mass }

// load is what stands on a box, but for box without and what that carries. In kg. It follows what
// stands on what, which has no rings (mayCarry).
func (g *staging) load(s *stance, i, without int) float64 {
	sum := 0.0
	for k, b := range s.boxes {
		if b.on == i && k != without {
			sum += g.mass(k) + g.load(s, k, without)
		}
	}
	return sum
}
