package entry

import (
	"context"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry/ways"
)

// Barred tells whether it is certain that no layout near one goes in: none that has each box
// off its place by at most slack along the axes, stands as that does, and keeps every gap of
// the pack with at least spare, which is not negative, to spare; or none of those whose posts a
// tool reaches. It returns the numbers, in the layout, of boxes that alone bar it, wherever the
// others are; none where nothing is certain. Its errors are those of Plan.
//
// Method: every box is taken apart from what of the others is in its way wherever they are
// (ways.Near), and after those that are in the room of its tools wherever they are. What is left
// stays stuck: the first of it that left, in any such layout, would have had a way past the rest.
func Barred(ctx context.Context, problem pack.Problem, layout pack.Layout, slack []r3.Vector, spare float64, settings Settings) ([]int, error) {
	s, err := newScene(problem, layout)
	if err != nil {
		return nil, err
	}
	p := &planner{scene: s, ctx: ctx, movers: s.newMovers(func(box int) *ways.Near { return s.near(box, slack, spare) })}
	p.tools = s.surelyIn(settings.tool(), slack)
	return p.keptBack()
}

// Held returns the numbers of the fewest boxes found, by taking away one after the other, that keep a
// layout from being an answer: none of them can leave past the others with its posts in reach of the
// tool. There are none where it is one. Its errors are those of Plan.
func Held(ctx context.Context, problem pack.Problem, layout pack.Layout, settings Settings) ([]int, error) {
	p, err := newPlanner(ctx, problem, layout)
	if err != nil {
		return nil, err
	}
	p.tools = p.toolRooms(settings.tool())
	return p.keptBack()
}

// keptBack returns the box of a tool that never has room, else those that are held.
func (p *planner) keptBack() ([]int, error) {
	if n := slices.IndexFunc(p.tools, p.alwaysBlocked); n >= 0 {
		return []int{p.tools[n].box}, nil
	}
	left := p.held(p.toolOrder())
	if err := p.ctx.Err(); err != nil {
		return nil, err
	}
	return left.Members(), nil
}

// held returns boxes of which none comes out past the others, with what does not come off in place
// and none before those in after; few of them: without any one all others come out.
func (p *planner) held(after []ways.Set) ways.Set {
	_, left := p.takeApart(p.bare(), 0, after)
	things := p.thingsIn(p.bare())
	for _, box := range left.Members() {
		if p.ctx.Err() != nil {
			break
		}
		if _, still := p.takeApart(things.Union(left.Without(box)), 0, after); !still.Empty() {
			left = still
		}
	}
	return left
}

// surelyIn returns the rooms for the tool at each post with what is in them wherever the boxes are, off
// their places by slack.
func (s *scene) surelyIn(tool Tool, slack []r3.Vector) []toolRoom {
	var list []toolRoom
	for i, b := range s.boxes {
		for n, post := range b.kind.Posts {
			if post.JoinedFirst {
				continue
			}
			room := toolRoom{box: i, part: b.part}
			room.part.Post = post.Name
			around := s.cylinder(b, n, tool)
			inside := geom.FacesOf(around, toolSides)
			for j, o := range s.boxes {
				if j != i && slices.ContainsFunc(o.solids(), func(q geom.Solid) bool { return surelyOverlap(inside, q, slack[i].Add(slack[j])) }) {
					room.in = room.in.With(j)
				}
			}
			for j, t := range s.things {
				if slices.ContainsFunc(t.solids, func(q geom.Solid) bool { return surelyOverlap(inside, q, slack[i]) }) {
					room.in = room.in.With(len(s.boxes) + j)
				}
			}
			if s.inTool(i, n, around).Has(i) { // they move together
				room.in = room.in.With(i)
			}
			list = append(list, room)
		}
	}
	return list
}

// toolSides is how many sides the prism has that stands for a tool: its corners are on the cylinder.
const toolSides = 16

// surelyOverlap tells whether a body overlaps a solid however it is displaced by slack: whatever
// direction would part them, slack does not take it so far.
func surelyOverlap(body []geom.Face, solid geom.Solid, slack r3.Vector) bool {
	other := geom.FacesOf(solid, toolSides)
	if len(other) == 0 {
		return false
	}
	return !slices.ContainsFunc(geom.PartingNormals(body, other), func(n r3.Vector) bool {
		gap := geom.ExtentOf(other, n).Lo - geom.ExtentOf(body, n).Hi
		return gap+n.Abs().Dot(slack) >= -2*geom.Tolerance
	})
}

// near is how far a box may be off its place as seen from each owner, and the air that it
// keeps to it: on the way as much as in its place, where it has its gap and the spare, and no more
// than is asked for.
func (s *scene) near(box int, slack []r3.Vector, spare float64) *ways.Near {
	n := &ways.Near{}
	for other := range s.boxes {
		n.Slack, n.Air = append(n.Slack, slack[box].Add(slack[other])), append(n.Air, min(s.air, s.beside+spare))
	}
	for _, t := range s.things {
		n.Slack, n.Air = append(n.Slack, slack[box]), append(n.Air, s.leastAir(t, spare))
	}
	return n
}

// leastAir is the air that a box surely keeps to a thing where all gaps have spare over.
func (s *scene) leastAir(t thing, spare float64) float64 {
	air := min(s.air, t.gap+spare)
	switch {
	case t.side:
		return s.sideAir(air)
	case t.of.Kind == frame.Moves:
		return 0 // see leastGap
	}
	return air
}

// Bar is a solid that is in the way of boxes going in, and the air in millimetres that a box keeps to it
// at least, in its place and on the way.
type Bar struct {
	Solid geom.Solid
	Air   float64
}

// Bars returns the solids of a problem's frame that are in the way whatever comes off, for layouts that
// keep every gap of the pack with at least spare, which is not negative, to spare; and the air that two
// boxes keep to each other on the way.
func Bars(problem pack.Problem, spare float64) (bars []Bar, beside float64, err error) {
	s, err := newScene(problem, pack.Layout{})
	if err != nil {
		return nil, 0, err
	}
	for _, t := range s.things {
		if t.comesOff {
			continue
		}
		for _, solid := range t.solids {
			bars = append(bars, Bar{solid, s.leastAir(t, spare)})
		}
	}
	return bars, min(s.air, s.beside+spare), nil
}

// sideAir is the air that a box keeps to the plate that stands for a side of the opening. The
// pack's gap is to all that is beyond the side, from which the plate differs by rounding.
// Where the outline is not convex it is to pieces, by other sheets: then it may be none.
func (s *scene) sideAir(air float64) float64 {
	const rounding = 1e-6 // mm
	if !s.convex {
		return 0
	}
	return max(0, air-rounding)
}
