package entry

import (
	"cmp"
	"context"
	"slices"

	"rackwright/pack"
	"rackwright/pack/entry/ways"
)

// planner is one run over one layout.
type planner struct {
	*scene
	ctx    context.Context // when it ends, what the planner says counts for nothing
	movers []*ways.Mover
	tools  []toolRoom // of each post; none when nobody asks for them
	above  []ways.Set // for each box those that stand on it; nil when nobody asks
}

func newPlanner(ctx context.Context, problem pack.Problem, layout pack.Layout) (*planner, error) {
	s, err := newScene(problem, layout)
	if err != nil {
		return nil, err
	}
	return &planner{scene: s, ctx: ctx, movers: s.newMovers(nil)}, nil
}

// bare returns the owners of all but what comes off.
func (p *planner) bare() ways.Set {
	set := p.all()
	for _, owner := range p.looseOwners() {
		set = set.Without(owner)
	}
	return set
}

// removal is one box coming out.
type removal struct {
	box int
	way ways.Way
}

// takeApart takes out boxes as long as one can go, of those present, and returns what
// is left. A box that can go can still go when others have gone, so it does not
// matter for what is left which goes first. With after, box i goes only when none of
// the boxes in after[i] is there.
//
// Of the boxes that can go, one goes on which no other stands; of these one with the
// fewest legs; of these one that leaves on side (a direction of ways.Vehicle); then
// the one standing highest; then the lightest; then the last of the layout. So the
// low and heavy go in first.
func (p *planner) takeApart(present ways.Set, side int, after []ways.Set) (out []removal, left ways.Set) {
	for {
		r, ok := p.next(present, side, after)
		if !ok {
			return out, p.boxesIn(present)
		}
		out = append(out, r)
		present = present.Without(r.box)
	}
}

func (p *planner) next(present ways.Set, side int, after []ways.Set) (removal, bool) {
	var best removal
	found := false
	for legs := 1; legs <= ways.MaxLegs; legs++ {
		r, ok := p.nextBy(legs, present, side, after)
		if ok && (!found || !p.carries(r.box, present)) {
			best, found = r, true
		}
		if found && !p.carries(best.box, present) {
			break
		}
	}
	return best, found
}

// nextBy returns the removal that is preferred among those of one number of legs.
func (p *planner) nextBy(legs int, present ways.Set, side int, after []ways.Set) (removal, bool) {
	var best removal
	found, carries := false, false
	for i := range p.boxes {
		if p.ctx.Err() != nil || !present.Has(i) || after != nil && after[i].Intersects(present) {
			continue
		}
		way, ok := p.movers[i].Way(legs, side, present)
		if !ok {
			continue
		}
		r, loaded := removal{i, way}, p.carries(i, present)
		if !found || carries && !loaded || carries == loaded && p.sooner(r, best, side) {
			best, found, carries = r, true, loaded
		}
	}
	return best, found
}

// carries tells whether another box present stands on box i.
func (p *planner) carries(i int, present ways.Set) bool {
	return p.above != nil && p.above[i].Intersects(present)
}

// sooner tells whether r should come out before q. Both have the same number of legs.
func (p *planner) sooner(r, q removal, side int) bool {
	if a, b := p.leaves(r) == side, p.leaves(q) == side; a != b {
		return a
	}
	a, b := p.boxes[r.box], p.boxes[q.box]
	return cmp.Or(cmp.Compare(b.bottom, a.bottom), cmp.Compare(a.kind.Mass, b.kind.Mass), q.box-r.box) < 0
}

// leaves returns the side on which a removal's box leaves.
func (p *planner) leaves(r removal) int { return p.movers[r.box].Side(r.way.Last) }

// boxesIn returns the boxes of the set.
func (p *planner) boxesIn(set ways.Set) ways.Set {
	var boxes ways.Set
	for i := range p.boxes {
		if set.Has(i) {
			boxes = boxes.With(i)
		}
	}
	return boxes
}

// stuck names the fewest, by taking away one after the other as long as something
// stays stuck, of the owners present that hold each other and left.
func (p *planner) stuck(present, left ways.Set) Stuck {
	core := p.thingsIn(present).Union(left)
	core = p.shrunk(core, core.Members())
	return Stuck{Boxes: p.parts(core), Obstacles: p.thingNames(core)}
}

// shrunk takes owners away from core, in the order of the list, where something stays
// stuck. It tries all of them at once, and else the one half and then the other: when
// something is stuck without all of them, it is so without any of them.
func (p *planner) shrunk(core ways.Set, owners []int) ways.Set {
	less := core
	for _, owner := range owners {
		less = less.Without(owner)
	}
	if _, still := p.takeApart(less, 0, nil); !still.Empty() {
		return p.thingsIn(less).Union(still)
	}
	if len(owners) == 1 {
		return core
	}
	half := len(owners) / 2
	core = p.shrunk(core, owners[:half])
	return p.shrunk(core, slices.DeleteFunc(owners[half:], func(owner int) bool { return !core.Has(owner) }))
}

// thingsIn returns the things of the set.
func (p *planner) thingsIn(set ways.Set) ways.Set {
	for i := range p.boxes {
		set = set.Without(i)
	}
	return set
}
