package pack

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// Side is a side of a box as it stands in its place.
type Side int

const (
	Below Side = iota
	Over
	Ahead // the vehicle's front
	Behind
	ToLeft // the rider's left
	ToRight
)

var sideNames = [...]string{"under", "over", "ahead", "behind", "left", "right"}

// String returns the word told to the user.
func (s Side) String() string { return nameOf(sideNames[:], int(s)) }

// Neighbour is a thing next to a box.
type Neighbour struct {
	Part Part
	Side Side
	// Distance is how far the box can move to that side, square to its face there, until
	// it meets the case or the thing of the frame: the thickness of a plate between them
	// at the narrowest place. Below 0 where they overlap.
	Distance float64
}

// PackingReach is how far in millimetres what is beside a box may be for Footing.Beside
// to name it.
const PackingReach = 60

// around returns what is under a box, nearest first, and what is beside it and above it
// within PackingReach, by side and nearest first.
func (s *stander) around(i int) (under, beside []Neighbour) {
	b := s.boxes[i]
	along := r3.Vector{X: b.up.Z, Z: -b.up.X}
	ways := [...]r3.Vector{Below: b.up.Mul(-1), Over: b.up, Ahead: along, Behind: along.Mul(-1), ToLeft: {Y: 1}, ToRight: {Y: -1}}
	for side, way := range ways {
		reach := float64(PackingReach)
		if Side(side) == Below {
			reach = math.Inf(1)
		}
		found := s.towards(i, way, reach)
		for k := range found {
			found[k].Side = Side(side)
		}
		if Side(side) == Below {
			under = found
		} else {
			beside = append(beside, found...)
		}
	}
	return under, beside
}

// towards returns what box i meets when it moves in a direction, nearest first.
func (s *stander) towards(i int, way r3.Vector, reach float64) []Neighbour {
	var list []Neighbour
	body := s.boxes[i].bodies.Case
	for j, c := range s.boxes {
		if j != i {
			if d := travel(body, c.bodies.Case, way); d <= reach {
				list = append(list, Neighbour{Part: c.part, Distance: d})
			}
		}
	}
	for _, t := range s.things {
		nearest := math.Inf(1)
		for _, o := range t.solids {
			nearest = min(nearest, travel(body, o.Solid, way))
		}
		if nearest <= reach && !math.IsInf(nearest, 1) {
			list = append(list, Neighbour{Part: t.part, Distance: nearest})
		}
	}
	slices.SortStableFunc(list, func(a, b Neighbour) int { return cmp.Compare(a.Distance, b.Distance) })
	return list
}

// travel is how far body can move along one of its axes, given as a unit vector, until it meets a solid;
// +Inf where it never does. A solid that it is past, or overlaps while moving away, is met
// never; one that it overlaps else is met by minus the depth.
//
// Between flat solids a sheet with normal n, of thickness g, is used up after g/(n·way);
// a sheet along the way is never: so it is the longest of these, or for ever.
func travel(body geom.Box, solid geom.Solid, way r3.Vector) float64 {
	if aside(body, solid, way) {
		return math.Inf(1)
	}
	if solid.Round() {
		return travelRound(body, solid, way)
	}
	most := math.Inf(-1)
	for _, n := range geom.SheetNormals(body, solid) {
		gap, speed := geom.GapAlong(body, solid, n), n.Dot(way)
		switch {
		case math.IsInf(gap, -1):
		case speed > along:
			most = max(most, gap/speed)
		case gap >= -geom.Tolerance:
			return math.Inf(1)
		}
	}
	if math.IsInf(most, -1) || most < 0 && behind(body, solid, way) {
		return math.Inf(1)
	}
	return most
}

// along is how much of a unit vector lies along another at least, to count.
const along = 1e-12

// aside tells whether a side of the body, or what is behind it, keeps it from ever meeting a solid:
// of what parts are swept through most is out of the way, and this is quickly seen.
func aside(body geom.Box, solid geom.Solid, way r3.Vector) bool {
	for _, a := range body.Axes {
		for _, n := range []r3.Vector{a, a.Mul(-1)} {
			if n.Dot(way) <= along && geom.GapAlong(body, solid, n) >= -geom.Tolerance {
				return true
			}
		}
	}
	return false
}

// behind tells whether a solid that a body overlaps lies more behind it than ahead.
func behind(body geom.Box, solid geom.Solid, way r3.Vector) bool {
	return geom.GapAlong(body, solid, way.Mul(-1)) > geom.GapAlong(body, solid, way)
}

// farthest is how far in millimetres a round solid is looked for.
const farthest = 4000

// travelRound is travel for a round solid: the room that the body takes while it moves, a
// longer box, is as long as it can be without the solid in it. It is found to a tenth
// of a nanometre, and never too long.
func travelRound(body geom.Box, solid geom.Solid, way r3.Vector) float64 {
	const within = 1e-7
	meets := func(t float64) bool { return geom.Distance(stretched(body, way, t), solid) < -geom.Tolerance }
	if d := geom.Distance(body, solid); d < -geom.Tolerance {
		return d
	}
	if !meets(farthest) {
		return math.Inf(1)
	}
	lo, hi := 0.0, float64(farthest)
	for hi-lo > within {
		if mid := (lo + hi) / 2; meets(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return lo
}

// stretched is a box made longer on the side of a direction along one of its axes.
func stretched(body geom.Box, way r3.Vector, by float64) geom.Box {
	body.Centre = body.Centre.Add(way.Mul(by / 2))
	along := func(k int) float64 { return math.Round(math.Abs(body.Axes[k].Dot(way))) * by / 2 }
	body.Half = body.Half.Add(r3.Vector{X: along(0), Y: along(1), Z: along(2)})
	return body
}
