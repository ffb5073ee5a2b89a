package search

import (
	"math"
	"math/rand/v2"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// A post that looks at a wall leaves no room for a spanner, whatever is done about the
// other boxes; one that looks at another box leaves room only until that box is in.
// Boxes can often be turned in their places: the case stays where it is and the posts
// look elsewhere. That finds answers near layouts that are none.

// obstructions are what counts as being in the way of a tool.
type obstructions func(i int, room geom.Solid, spots []spot) bool

// faceAway turns boxes in their places, each the way in which most of its posts have
// room for the tool and then its posts the most clearance. It tells whether any box was
// turned.
func (r *run) faceAway(spots []spot, inTheWay obstructions) ([]spot, bool) {
	next, turned := slices.Clone(spots), false
	for i, s := range spots {
		best, blocked, left := s.pose, r.blocked(i, s, next, inTheWay), math.Inf(-1)
		for _, p := range r.useful[r.boxes[i].kind] {
			to := spot{p, s.at}
			if p == s.pose || !r.poseOf(i, to).sameCase(r.poseOf(i, s)) {
				continue
			}
			n := r.blocked(i, to, next, inTheWay)
			if n > blocked {
				continue
			}
			l := r.leftOf(i, to, next)
			if n < blocked || best != s.pose && l > left {
				best, blocked, left = p, n, l
			}
		}
		turned = turned || best != s.pose
		next[i].pose = best
	}
	return next, turned
}

// leftOf is the spare between box i at a spot and all else.
func (r *run) leftOf(i int, at spot, spots []spot) float64 {
	left := r.loneLeft(i, at)
	for j := range spots {
		if j != i {
			left = min(left, r.pairLeft(j, spots[j], i, at))
		}
	}
	return left
}

// blocked counts the posts of box i at a spot with something in the tool's way.
func (r *run) blocked(i int, s spot, spots []spot, inTheWay obstructions) int {
	p := r.poseOf(i, s)
	n := 0
	for k, q := range p.parts {
		if q.post != caseOnly && inTheWay(i, r.toolRoom(p, k, s.at), spots) {
			n++
		}
	}
	return n
}

// byFrame counts the parts of the frame that never come off.
func (r *run) byFrame(_ int, room geom.Solid, _ []spot) bool {
	return slices.ContainsFunc(r.fixed, func(o geom.Solid) bool { return overlaps(room, o) })
}

// byAnything counts the other boxes as well.
func (r *run) byAnything(i int, room geom.Solid, spots []spot) bool {
	if r.byFrame(i, room, spots) {
		return true
	}
	for j, s := range spots {
		if j != i && overlaps(room, r.poseOf(j, s).caseAt(s.at)) {
			return true
		}
	}
	return false
}

func overlaps(a, b geom.Solid) bool { return !apart(a, b) && geom.Distance(a, b) < 0 }

// apart tells whether a sheet is between two solids: cheaper than their distance, and
// most often enough.
func apart(a, b geom.Solid) bool {
	for _, u := range axesOfVehicle {
		if x, y := a.Extent(u), b.Extent(u); x.Lo >= y.Hi || y.Lo >= x.Hi {
			return true
		}
	}
	return slices.ContainsFunc(geom.SheetNormals(a, b), func(u r3.Vector) bool { return geom.GapAlong(a, b, u) >= 0 })
}

// reachClauses makes, by kind and pose, the clauses that keep the frame out of the tools'
// way.
func (r *run) reachClauses() [][][]clause {
	table := make([][][]clause, len(r.poses))
	for kind, poses := range r.poses {
		for _, p := range poses {
			var clauses []clause
			for _, bar := range r.bars[p.id] {
				for _, o := range r.fixed {
					clauses = append(clauses, bar.againstSolid(0, o, 0))
				}
			}
			table[kind] = append(table[kind], clauses)
		}
	}
	return table
}

// toolBars makes, by the id of a pose, the tools over its posts as poses of one part.
func (r *run) toolBars() [][]*pose {
	table := make([][]*pose, r.poseCount)
	for _, poses := range r.poses {
		for _, p := range poses {
			for k, q := range p.parts {
				if q.post == caseOnly {
					continue
				}
				room := r.toolRoom(p, k, r3.Vector{})
				bar := &pose{axes: p.axes, parts: []part{{post: q.post, offset: room.Centre, half: room.Half}}}
				table[p.id] = append(table[p.id], bar)
			}
		}
	}
	return table
}

// toolRoom is the bar around the tool over part k of a pose, a post: quicker to hold
// against other solids than the cylinder that entry uses, and near enough to choose by.
func (r *run) toolRoom(p *pose, k int, at r3.Vector) geom.Box {
	tool, q := r.settings.Tool.Tool, p.parts[k]
	axis, positive := axisOf(r.kinds[p.kind].Posts[q.post].Face)
	out := p.direction(axis, sign(positive))
	half := math.Abs(out.Dot(p.axes[0]))*q.half.X + math.Abs(out.Dot(p.axes[1]))*q.half.Y + math.Abs(out.Dot(p.axes[2]))*q.half.Z
	middle := at.Add(q.offset)
	side := r3.Vector{X: tool.Diameter / 2, Y: tool.Diameter / 2, Z: tool.Diameter / 2}
	length := half + tool.Length/2
	for i, u := range p.axes {
		if math.Abs(u.Dot(out)) > 0.5 {
			side = setComponent(side, i, length)
		}
	}
	return geom.Box{Centre: middle.Add(out.Mul(tool.Length / 2)), Axes: p.axes, Half: side}
}

// caseAt is the case of a pose with its centre at a place.
func (p *pose) caseAt(at r3.Vector) geom.Box {
	return geom.Box{Centre: at, Axes: p.axes, Half: p.parts[0].half}
}

// direction is where an own axis of the box points, in the vehicle's axes.
func (p *pose) direction(axis int, way float64) r3.Vector {
	t := turnerFor(p.up, p.front, p.tilt)
	e := [3]r3.Vector{{X: way}, {Y: way}, {Z: way}}
	return t.pitch(t.level(e[axis]))
}

// perStart is how many candidates a start can make.
const perStart = 4

// nearby makes candidates near one that is no answer: what it was made from, improved
// without any box changing sides, and itself with its boxes turned.
func (r *run) nearby(c candidate, work *effort) []candidate {
	rng := rand.New(rand.NewPCG(r.settings.Seed, uint64(c.start)))
	list := []candidate{r.climbed(c, work)}
	for k, inTheWay := range []obstructions{r.byFrame, r.byAnything} {
		spots, turned := r.faceAway(c.spots, inTheWay)
		if !turned || r.ended() {
			continue
		}
		if r.left(spots) < 0 {
			r.newSeparator(spots, 0, rng).run(patience, work)
		}
		spots, spare := r.improve(spots, work)
		near := candidate{spots: spots, spare: spare, start: c.start + 2 + k}
		r.askIfBest(&near, work)
		list = append(list, near)
	}
	return list
}

// climbed is what a candidate was made from, improved without any box changing sides.
func (r *run) climbed(c candidate, work *effort) candidate {
	v := &improver{model: r.model, spots: slices.Clone(c.from), spare: r.sharpLeft(c.from)}
	v.climb()
	*work += v.work
	near := candidate{spots: v.spots, spare: v.spare, start: c.start + 1}
	r.askIfBest(&near, work)
	return near
}

// askIfBest asks a candidate for its entry if it would be the best answer.
func (r *run) askIfBest(c *candidate, work *effort) {
	if c.spare > r.pool.spare()+enough && !r.wasRefused(*c) {
		r.isAnswer(c, work)
	}
}
