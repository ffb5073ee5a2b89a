package design

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/rack"
)

// placed is a box in its place, axis-parallel.
type placed struct {
	part      pack.Part
	name      string
	low, high r3.Vector
	posts     []geom.Box
	blocks    [][2]r3.Vector // of the posts
	body      geom.Box
	on        []pack.Part // boxes that carry it; none for one on a tray
}

// level is boxes whose undersides are at one height, and those that these carry.
type level struct {
	name   string
	z      float64
	boxes  []placed
	riders []placed
}

// all are the boxes of a level, those that others carry last.
func (l level) all() []placed { return slices.Concat(l.boxes, l.riders) }

// sameLevel is how far in mm undersides of one level may differ.
const sameLevel = 0.5

// levels sorts boxes by the height of their undersides, the lowest first.
func levels(boxes []placed) []level {
	sorted := slices.Clone(boxes)
	slices.SortStableFunc(sorted, func(a, b placed) int { return cmp.Compare(a.low.Z, b.low.Z) })
	var list []level
	for _, b := range sorted {
		if n := len(list); n > 0 && b.low.Z-list[n-1].z <= sameLevel {
			list[n-1].boxes = append(list[n-1].boxes, b)
			continue
		}
		list = append(list, level{z: b.low.Z, boxes: []placed{b}})
	}
	names := []string{"lower", "upper"}
	if len(list) == 3 {
		names = []string{"lower", "middle", "upper"}
	}
	for i := range list {
		switch {
		case len(list) == 1:
		case len(list) <= 3:
			list[i].name = names[i] + " "
		default:
			list[i].name = []string{"lowest ", "second ", "third ", "highest "}[min(i, 3)]
		}
	}
	return list
}

// axes are the directions of a tray: side members run along u, bars across it along v.
type axes struct{ u, v r3.Vector }

func (a axes) at(u, v, w float64) r3.Vector {
	return a.u.Mul(u).Add(a.v.Mul(v)).Add(r3.Vector{Z: w})
}

// spanU is a box's interval along u.
func (a axes) spanU(b placed) r1.Interval { return span(b, a.u) }

func span(b placed, axis r3.Vector) r1.Interval {
	return r1.IntervalFromPoint(b.low.Dot(axis)).AddPoint(b.high.Dot(axis))
}

// around is the span of several boxes.
func around(boxes []placed, axis r3.Vector) r1.Interval {
	all := r1.EmptyInterval()
	for _, b := range boxes {
		all = all.Union(span(b, axis))
	}
	return all
}

// room is what stands around a rack: it tells whether a part has room, and names what is in
// its way.
type room struct {
	boxes     []placed
	obstacles []frame.Obstacle
	blocks    [][2]r3.Vector // around the obstacles
	gaps      pack.Gaps
	mounts    []frame.Mount
	clamps    []rack.Clamp // that may be used; each is one of the mounts too
}

// air in mm is what parts keep from what they are not joined to: files and hands are not exact.
const air = 1

// conflict is what a solid would meet, and by how much in mm it has too little room.
type conflict struct {
	part  string // of the rack; empty where it is known
	with  string
	short float64
}

func (c conflict) worse(o conflict) conflict {
	if o.short > c.short {
		return o
	}
	return c
}

// meets returns the worst conflict of a metal solid; short is 0 or less where it has room.
// holding tells that boxes can hardly move towards it.
func (r *room) meets(s geom.Solid, holding bool) conflict { return r.meetsIn(s, holding, nil) }

// meetsIn is meets but for what of the frame a solid may be in: a mount's own bolt goes into the sides of
// the opening.
func (r *room) meetsIn(s geom.Solid, holding bool, may func(frame.Obstacle) bool) conflict {
	worst := conflict{short: math.Inf(-1)}
	low, high := geom.Bounds(s)
	need := r.gaps.Post
	if holding {
		need = r.gaps.Bar
	}
	for i := range r.boxes {
		b := &r.boxes[i]
		if apartBy([2]r3.Vector{b.low, b.high}, low, high, 60) {
			continue
		}
		if short := -between(b.low, b.high, low, high); short > worst.short {
			worst = conflict{with: b.name, short: short}
		}
		for _, p := range b.blocks {
			if short := need - between(p[0], p[1], low, high); short > worst.short {
				worst = conflict{with: "a post of " + b.name, short: short}
			}
		}
	}
	for i, o := range r.obstacles {
		if apartBy(r.blocks[i], low, high, 2*air) {
			continue
		}
		if may != nil && may(o) {
			continue
		}
		need := air
		if beside(o) {
			need = 0
		}
		gap, _ := geom.SheetGap(s, o.Solid)
		worst = worst.worse(conflict{with: o.Name, short: float64(need) - gap})
	}
	return worst
}

// blocked is the worst of what stays of the frame where a solid has to be moved through.
func (r *room) blocked(s geom.Solid) conflict {
	worst := conflict{short: math.Inf(-1)}
	low, high := geom.Bounds(s)
	for i, o := range r.obstacles {
		if o.Removable || o.LiftsOff || o.Open || o.Kind == frame.Width || apartBy(r.blocks[i], low, high, air) {
			continue
		}
		gap, _ := geom.SheetGap(s, o.Solid)
		worst = worst.worse(conflict{with: o.Name, short: -gap})
	}
	return worst
}

// between is the distance of two blocks along the vehicle's axes; below nought by how much they are in
// one another.
func between(low, high, otherLow, otherHigh r3.Vector) float64 {
	gaps := r3.Vector{
		X: math.Max(otherLow.X-high.X, low.X-otherHigh.X),
		Y: math.Max(otherLow.Y-high.Y, low.Y-otherHigh.Y),
		Z: math.Max(otherLow.Z-high.Z, low.Z-otherHigh.Z),
	}
	if deepest := max(gaps.X, gaps.Y, gaps.Z); deepest <= 0 {
		return deepest
	}
	return r3.Vector{X: max(0, gaps.X), Y: max(0, gaps.Y), Z: max(0, gaps.Z)}.Norm()
}

// apartBy tells whether two blocks are more than d apart along some axis.
func apartBy(b [2]r3.Vector, low, high r3.Vector, d float64) bool {
	return b[0].X > high.X+d || b[1].X < low.X-d || b[0].Y > high.Y+d || b[1].Y < low.Y-d || b[0].Z > high.Z+d || b[1].Z < low.Z-d
}
