package model

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// obstaclesOf are the obstacles of the frame, in its order, without the pieces of what parts
// that move are swept through that limit nothing: those so far outside of the opening that
// whatever keeps its gap from the walls keeps more from them. A box with a spare of s is s and
// the gap of walls inside of the block around the opening, in every direction, for the sides of
// the outline are at least as near to it as that block is. So along an axis of the box it has
// more than s left to a piece that is as far outside as the gap to it is greater than that to
// walls.
//
// A swept part comes in hundreds of pieces, many of them away from the opening; without this every
// pose would have a clause with each.
func obstaclesOf(problem pack.Problem) []frame.Obstacle {
	all := problem.Obstacles()
	if len(problem.Frame.Moving) == 0 {
		return all
	}
	m := &Model{Problem: problem}
	b, across := problem.Frame.Opening.Outline.Bounds(), problem.Frame.Opening.Widest()
	block := geom.BoxFromCorners(r3.Vector{X: b.X.Lo, Y: across.Lo, Z: b.Y.Lo}, r3.Vector{X: b.X.Hi, Y: across.Hi, Z: b.Y.Hi})
	tilted := tilts(problem.Pack)
	var near []frame.Obstacle
	for _, o := range all {
		gap := max(m.frameGap(o, false), m.frameGap(o, true)) - problem.Pack.Gaps.Wall
		reaches := func(axes []r3.Vector) bool { return outside(block, o.Solid, axes) < gap+geom.Tolerance }
		if o.Kind != frame.Moves || slices.ContainsFunc(tilted, reaches) {
			near = append(near, o)
		}
	}
	return near
}

// tilts are the axes of boxes, by tilt.
func tilts(p *pack.Pack) [][]r3.Vector {
	var all [][]r3.Vector
	for _, k := range p.Kinds {
		for _, tilt := range k.Tilts {
			axes := pack.Orientation{Up: pack.Top, Front: pack.Front, Tilt: tilt}.Axes()
			all = append(all, axes[:])
		}
	}
	return all
}

// outside is how far a solid is outside of a block along one of some axes. Negative where they
// overlap along all of the axes.
func outside(block geom.Box, s geom.Solid, axes []r3.Vector) float64 {
	most := math.Inf(-1)
	for _, u := range axes {
		most = max(most, geom.GapAlong(block, s, u), geom.GapAlong(s, block, u))
	}
	return most
}

// Inside is a clause against a solid with the body inside of it instead: for any direction in
// which a part can keep clear of the solid, it keeps clear of what is inside. Where there is
// nothing inside, all that is less far than that keeps clear of it. A bound may assume less in the
// way than there is, never more: what the search keeps clear of is around the swept part, what a
// bound may count on is inside of it.
func (p *Pose) Inside(c Clause, far float64) Clause {
	in := Clause{Part: c.Part, Gap: c.Gap, Inner: c.Inner}
	for _, f := range c.Planes {
		if low := c.Inner.Extent(f.N.Mul(-1)).Lo; low < far {
			f.D = p.Reach(c.Part, f.N.Mul(-1)) - low + c.Gap
		} else {
			f.D = -far
		}
		in.Planes = append(in.Planes, f)
	}
	in.square, in.isSquare = squareOf(in.Planes)
	return in
}
