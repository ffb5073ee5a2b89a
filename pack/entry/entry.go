package entry

import (
	"context"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// Settings steer what counts as going in. The zero value is valid and means the
// defaults. The air around a moving box is the pack's Gaps.Entry.
type Settings struct {
	Tool Tool // zero means DefaultTool
}

// Tool is the room that a spanner or socket takes over a post: a cylinder about the
// post's axis, in millimetres. It begins at the post's tip and ends Length beyond it.
type Tool struct{ Diameter, Length float64 }

// DefaultTool returns the room for a common socket: 30 mm across, 80 mm long.
func DefaultTool() Tool { return Tool{Diameter: 30, Length: 80} }

func (s Settings) tool() Tool {
	if s.Tool == (Tool{}) {
		return DefaultTool()
	}
	return s.Tool
}

// Step is one box going in.
type Step struct {
	Box    string
	Number int
	// Legs are the straight moves that bring the box to its place, as displacements
	// in millimetres. The first begins outside of the opening.
	Legs []r3.Vector
	// Off are the names of the rails and keep-outs that have to be off for this step.
	Off []string
}

// Part returns the box of the step.
func (s Step) Part() pack.Part { return pack.Part{Box: s.Box, Number: s.Number} }

// Order is how the boxes of a layout go in, first to last. Backwards, with each leg
// reversed, it takes them all out.
type Order struct{ Steps []Step }

// Off returns the names of all that has to be off for some step, each once, in the
// order in which they are first needed.
func (o Order) Off() []string {
	var list []string
	seen := map[string]bool{}
	for _, s := range o.Steps {
		for _, name := range s.Off {
			if !seen[name] {
				seen[name] = true
				list = append(list, name)
			}
		}
	}
	return list
}

// Stuck is why no order of straight moves exists, with all off that comes off: none
// of Boxes can leave while the others of them and Obstacles are there, though nothing
// else be, and with any one of all these away the boxes left come out. It is empty
// when there is an order.
type Stuck struct {
	Boxes     []pack.Part
	Obstacles []string // rails, keep-outs and sides of the opening, by name
}

// Moment says when a post can be reached with the tool.
type Moment int

const (
	Always Moment = iota // with everything in place
	Before               // before something goes in or back on
	Never                // an error of the layout
)

// Reach is when one post can be reached with the tool.
type Reach struct {
	Post pack.Part
	When Moment
	// Boxes and Things are in the tool's room, the boxes in the order in which they go
	// in; the post's own box stands for another post of it. When it is Before, connect
	// the post before the first of Boxes goes in, which is its own where it is joined first,
	// and before Things go back on.
	Boxes  []pack.Part
	Things []string
}

// Answer is what Plan says of a layout.
type Answer struct {
	GoesIn bool
	Order  Order // empty when GoesIn is false
	Stuck  Stuck // empty when GoesIn is true
	// Unknown tells that there was no time to find out, and nothing else of it counts.
	Unknown bool
	// Reach tells of every post, in the order of the layout and of the pack file; it
	// is empty when GoesIn is false.
	Reach []Reach
}

// Unreachable returns the posts that can never be reached.
func (a Answer) Unreachable() []Reach {
	var list []Reach
	for _, r := range a.Reach {
		if r.When == Never {
			list = append(list, r)
		}
	}
	return list
}

// Holds tells whether the layout is an answer: all boxes go in, and all posts can be
// reached when it is their time.
func (a Answer) Holds() bool { return a.GoesIn && len(a.Unreachable()) == 0 }

// Plan finds how the boxes of a layout go in, or why they cannot. It returns an error
// for a layout that does not belong to the problem, and that of ctx when it ends
// before the answer is known; an order that is known by then is one, if not the simplest.
func Plan(ctx context.Context, problem pack.Problem, layout pack.Layout, settings Settings) (Answer, error) {
	p, err := newPlanner(ctx, problem, layout)
	if err != nil {
		return Answer{}, err
	}
	p.tools, p.above = p.toolRooms(settings.tool()), p.standings()
	answer := p.plan()
	if err := ctx.Err(); err != nil && !answer.GoesIn {
		return Answer{}, err
	}
	return answer, nil
}

// Holds tells what Answer.Holds would of Plan's answer, without the choice among orders:
// for a search that asks often. Its errors are Plan's.
func Holds(ctx context.Context, problem pack.Problem, layout pack.Layout, settings Settings) (bool, error) {
	p, err := newPlanner(ctx, problem, layout)
	if err != nil {
		return false, err
	}
	p.tools = p.toolRooms(settings.tool())
	if slices.ContainsFunc(p.tools, p.alwaysBlocked) {
		return false, nil
	}
	p.above = p.standings()
	_, left := p.takeApart(p.bare(), 0, p.toolOrder())
	if err := ctx.Err(); err != nil {
		return false, err
	}
	return left.Empty(), nil
}

// GoesIn tells whether all boxes of a layout go in, and why not. It is Plan without
// the choice among orders and without the posts: for a search that asks often.
func GoesIn(ctx context.Context, problem pack.Problem, layout pack.Layout) (bool, Stuck, error) {
	p, err := newPlanner(ctx, problem, layout)
	if err != nil {
		return false, Stuck{}, err
	}
	var stuck Stuck
	present := p.bare()
	_, left := p.takeApart(present, 0, nil)
	if !left.Empty() {
		stuck = p.stuck(present, left)
	}
	if err := ctx.Err(); err != nil {
		return false, Stuck{}, err
	}
	return left.Empty(), stuck, nil
}
