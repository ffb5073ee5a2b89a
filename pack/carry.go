package pack

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// CarryReach is how thick in millimetres what lies between a box and one that carries it
// may be: foam, or a plank. It is our own choice.
const CarryReach = 30

// CarryMargin is how far, as part of its length and of its width, the middle of a carried
// box has to lie within what carries it.
const CarryMargin = 0.1

// A box may stand on others when each of these carries something, as their kind says; no
// post of theirs is under it; the middle of its mass, taken to be the middle of the box,
// lies over what carries it with CarryMargin to spare; and its mass, with what it carries
// itself, is known and not more than each of them carries beside what is on it already.
// How boxes share a load nobody knows, so each has to bear it whole. Boxes are given their
// place from the highest down, as far as the loads allow.

// carryAll finds what carries each box, if other boxes may.
func (s *stander) carryAll() {
	order := make([]int, len(s.boxes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Compare(s.boxes[j].bodies.Case.Centre.Z, s.boxes[i].bodies.Case.Centre.Z)
	})
	for _, i := range order {
		below := s.carriers(i)
		if why := s.refusal(i, below); why != "" || len(below) == 0 {
			continue
		}
		s.boxes[i].on = below
		for _, j := range below {
			s.boxes[j].load += s.boxes[i].kind.Mass + s.boxes[i].load
		}
	}
}

// beneath returns the boxes whose tops are right below a box: the highest, and those
// within LevelSpan of it.
func (s *stander) beneath(i int) []int {
	b := s.boxes[i]
	var list []int
	highest := math.Inf(-1)
	top := func(j int) float64 { return s.boxes[j].bodies.Case.Extent(b.up).Hi }
	for j, c := range s.boxes {
		gap := b.low - top(j)
		if j == i || !parallel(c.bodies.Case, b.up) || gap < -geom.Tolerance || gap > CarryReach || s.overlap(i, j).IsEmpty() {
			continue
		}
		list = append(list, j)
		highest = max(highest, top(j))
	}
	return slices.DeleteFunc(list, func(j int) bool { return top(j) < highest-LevelSpan })
}

// carriers returns those of them that may carry anything where the box lies on them.
func (s *stander) carriers(i int) []int {
	return slices.DeleteFunc(s.beneath(i), func(j int) bool {
		return s.boxes[j].kind.Carries == 0 || s.pressed(i, j) != ""
	})
}

// parallel tells whether a box has a face square to u.
func parallel(b geom.Box, u r3.Vector) bool {
	const off = 1e-9
	return slices.ContainsFunc(b.Axes[:], func(a r3.Vector) bool { return math.Abs(a.Dot(u)) > 1-off })
}

// plan is a box in the plane of a level: along and across, seen against its normal.
func (s *stander) plan(body geom.Solid, up r3.Vector) r2.Rect {
	along, across := r3.Vector{X: up.Z, Z: -up.X}, r3.Vector{Y: 1}
	if u := along.Norm(); u > 0 {
		along = along.Mul(1 / u)
	}
	return r2.Rect{X: body.Extent(along), Y: body.Extent(across)}
}

// overlap is the part of the plan of box i that box j, which has a face parallel to its
// underside, lies under. It is empty where they only touch.
func (s *stander) overlap(i, j int) r2.Rect {
	up := s.boxes[i].up
	r := s.plan(s.boxes[i].bodies.Case, up).Intersection(s.plan(s.boxes[j].bodies.Case, up))
	if r.X.Length() <= geom.Tolerance || r.Y.Length() <= geom.Tolerance {
		return r2.EmptyRect()
	}
	return r
}

// pressed returns the name of a post of box j that box i would press on: one on the face
// below it whose bar, with the gap of boots, lies under it.
func (s *stander) pressed(i, j int) string {
	up, c := s.boxes[i].up, s.boxes[j]
	under := s.plan(s.boxes[i].bodies.Case, up)
	for k, bar := range c.bodies.Posts {
		post := c.kind.Posts[k]
		out := turned(post.Face.Normal(), c.bodies.Case.Axes)
		if out.Dot(up) < 0.5 { // it looks another way
			continue
		}
		boot := s.problem.Pack.Gaps.Boot
		at := s.plan(bar, up)
		grown := r2.Rect{X: widened(at.X, boot), Y: widened(at.Y, boot)}
		if grown.InteriorIntersects(under) {
			return post.Name
		}
	}
	return ""
}

func widened(in r1.Interval, by float64) r1.Interval {
	return r1.Interval{Lo: in.Lo - by, Hi: in.Hi + by}
}

// refusal says why the boxes below may not carry box i; empty where they may.
func (s *stander) refusal(i int, below []int) string {
	b := s.boxes[i]
	switch {
	case len(below) == 0:
		return ""
	case b.kind.Mass == 0:
		return fmt.Sprintf("the mass of %s is not given", b.part.Box)
	case !s.balanced(i, below):
		return "its middle does not lie over what would carry it, by a tenth of its length and width"
	}
	for _, j := range below {
		c := s.boxes[j]
		if on := c.load + b.load + b.kind.Mass; on > c.kind.Carries+1e-9 {
			return fmt.Sprintf("%v carries at most %.4g kg, and with it there would be %.4g kg on it", c.part, c.kind.Carries, on)
		}
	}
	return ""
}

// balanced tells whether the middle of a box lies over boxes by its margin.
func (s *stander) balanced(i int, below []int) bool {
	var corners []r2.Point
	for _, j := range below {
		r := s.overlap(i, j)
		v := r.Vertices()
		corners = append(corners, v[:]...)
	}
	hull := geom.Polygon{Corners: corners}.Hull()
	own := s.plan(s.boxes[i].bodies.Case, s.boxes[i].up)
	size, c := own.Size().Mul(CarryMargin), own.Center()
	for _, q := range [4]r2.Point{{X: -size.X, Y: -size.Y}, {X: size.X, Y: -size.Y}, {X: size.X, Y: size.Y}, {X: -size.X, Y: size.Y}} {
		if !hull.Contains(c.Add(q)) {
			return false
		}
	}
	return true
}

// whyNotCarried says, after a comma, why what is below a box does not carry it.
func (s *stander) whyNotCarried(i int) string {
	below := s.beneath(i)
	for _, j := range below {
		c := s.boxes[j]
		if c.kind.Carries == 0 {
			return fmt.Sprintf(", which carries nothing (carries of %s)", c.part.Box)
		}
		if name := s.pressed(i, j); name != "" {
			return fmt.Sprintf("; it would press on the post %s of %v", name, c.part)
		}
	}
	if why := s.refusal(i, below); why != "" {
		return "; " + why
	}
	return ""
}
