package entry

import (
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry/ways"
)

// toolRoom is the room for the tool at one post, and what is in it.
type toolRoom struct {
	box  int
	part pack.Part
	in   ways.Set // owners that reach into the room; the box itself for another post of it
	// first tells that the post is joined before its box goes in: then nothing is in the way of the tool.
	first bool
}

// toolRooms returns one for each post, in the order of the layout and the pack file.
func (s *scene) toolRooms(tool Tool) []toolRoom {
	var list []toolRoom
	for i, b := range s.boxes {
		for n, post := range b.kind.Posts {
			room := toolRoom{box: i, part: b.part, first: post.JoinedFirst}
			room.part.Post = post.Name
			if !room.first {
				room.in = s.inTool(i, n, s.cylinder(b, n, tool))
			}
			list = append(list, room)
		}
	}
	return list
}

// cylinder returns the tool's room at post n of a box: from the post's tip outward.
func (s *scene) cylinder(b boxAt, n int, tool Tool) geom.Cylinder {
	axis, post := b.outward(n), b.posts[n]
	tip := post.Centre.Add(axis.Mul(post.Extent(axis).Hi - axis.Dot(post.Centre)))
	return geom.Cylinder{From: tip, To: tip.Add(axis.Mul(tool.Length)), Radius: tool.Diameter / 2}
}

// outward returns the outward normal of the face that a post stands on.
func (b boxAt) outward(post int) r3.Vector {
	n, axes := b.kind.Posts[post].Face.Normal(), b.body.Axes
	return axes[0].Mul(n.X).Add(axes[1].Mul(n.Y)).Add(axes[2].Mul(n.Z))
}

// BarsTools returns the solids of a problem's frame that a tool over a post never may reach into: the
// rails, the keep-outs and what moves, but for what comes off, and the closed sides of the opening.
func BarsTools(problem pack.Problem) []geom.Solid {
	var list []geom.Solid
	for _, t := range append(thingsOf(problem.ObstaclesAtRest()), wallsOf(problem)...) {
		if !t.comesOff {
			list = append(list, t.solids...)
		}
	}
	return list
}

// inTool returns the owners that reach into the tool's room at post n of box i.
func (s *scene) inTool(i, n int, room geom.Cylinder) ways.Set {
	var set ways.Set
	for j, b := range s.boxes {
		solids := b.solids()
		if j == i {
			solids = slices.Delete(solids, n+1, n+2)[1:] // the other posts
		}
		if anyOverlap(room, solids) {
			set = set.With(j)
		}
	}
	for j, t := range s.things {
		if anyOverlap(room, t.solids) {
			set = set.With(len(s.boxes) + j)
		}
	}
	return set
}

func anyOverlap(room geom.Cylinder, solids []geom.Solid) bool {
	return slices.ContainsFunc(solids, func(s geom.Solid) bool {
		return !clearAlongAxes(room, s) && geom.Distance(room, s) < -geom.Tolerance
	})
}

// clearAlongAxes is a quick answer for most solids: they lie apart along an axis.
func clearAlongAxes(a, b geom.Solid) bool {
	return slices.ContainsFunc(ways.Vehicle(), func(u r3.Vector) bool { return geom.GapAlong(a, b, u) >= 0 })
}

// toolOrder returns, for each box, the other boxes that may go in only when it is in
// and its posts are connected.
func (p *planner) toolOrder() []ways.Set {
	after := make([]ways.Set, len(p.boxes))
	for _, t := range p.tools {
		after[t.box] = after[t.box].Union(p.boxesIn(t.in.Without(t.box)))
	}
	return after
}

// Reaches tells of every post of a layout when it can be reached, with the boxes going
// in in a given order; a box that the order leaves out goes in last. Plan gives the
// same for the order that it finds. It returns an error for a layout that does not
// belong to the problem.
func Reaches(problem pack.Problem, layout pack.Layout, order Order, settings Settings) ([]Reach, error) {
	s, err := newScene(problem, layout)
	if err != nil {
		return nil, err
	}
	p := &planner{scene: s, tools: s.toolRooms(settings.tool())}
	turn := make([]int, len(s.boxes))
	for i := range turn {
		turn[i] = len(order.Steps)
	}
	for n, step := range order.Steps {
		if i := s.index(step.Part()); i >= 0 {
			turn[i] = n
		}
	}
	return p.reaches(turn), nil
}

// turns returns the turn at which each box goes in, for boxes that come out in this
// order.
func turns(out []removal) []int {
	turn := make([]int, len(out))
	for n, r := range out {
		turn[r.box] = len(out) - n
	}
	return turn
}

// reaches tells of every post when it can be reached, given the turn at which each box
// goes in.
func (p *planner) reaches(turn []int) []Reach {
	var list []Reach
	for _, t := range p.tools {
		r := Reach{Post: t.part, When: p.moment(t, turn), Things: p.thingNames(t.in)}
		if t.first {
			r.When, r.Boxes = Before, []pack.Part{p.boxes[t.box].part}
		}
		for _, i := range p.byTurn(t.in, turn) {
			r.Boxes = append(r.Boxes, p.boxes[i].part)
		}
		list = append(list, r)
	}
	return list
}

// byTurn returns the boxes of the set in the order in which they go in.
func (p *planner) byTurn(set ways.Set, turn []int) []int {
	list := p.boxesIn(set).Members()
	slices.SortStableFunc(list, func(i, j int) int { return turn[i] - turn[j] })
	return list
}

// alwaysBlocked tells whether the tool fits at no moment: its room has another post of the
// box in it, or what never comes off.
func (p *planner) alwaysBlocked(t toolRoom) bool {
	return slices.ContainsFunc(t.in.Members(), func(owner int) bool {
		return owner == t.box || owner >= len(p.boxes) && !p.things[owner-len(p.boxes)].comesOff
	})
}

// moment tells when the tool fits, given the turn at which each box goes in.
func (p *planner) moment(t toolRoom, turn []int) Moment {
	if t.in.Empty() {
		return Always
	}
	for _, owner := range t.in.Members() {
		if owner < len(p.boxes) && turn[owner] <= turn[t.box] {
			return Never
		}
		if owner >= len(p.boxes) && !p.things[owner-len(p.boxes)].comesOff {
			return Never
		}
	}
	return Before
}
