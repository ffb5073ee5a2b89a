package stand

import (
	"cmp"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/pack"
	"rackwright/pack/search/model"
)

// Bearers is how many straight bearers a layout needs at least, all levels together, when one
// runs under the middle of each row: it lies under a box where it is within the middle half of
// it. On each level they run forward or across, whichever takes fewer. It is a count for choosing
// among layouts, not a rack: see pack/rack for one.
func Bearers(p pack.Problem, l pack.Layout, standing pack.Standing) int {
	sum := 0
	for _, level := range standing.Levels {
		forward := r3.Vector{X: level.Normal.Z, Z: -level.Normal.X}
		across := r3.Vector{Y: 1}
		sum += min(lines(halves(p, l, level, across)), lines(halves(p, l, level, forward)))
	}
	return sum
}

// halves are the middle halves of the boxes of a level along a direction. A box that cannot be
// placed has none.
func halves(p pack.Problem, l pack.Layout, level pack.Level, along r3.Vector) []r1.Interval {
	var list []r1.Interval
	for _, at := range l.Placements {
		if !slices.Contains(level.Boxes, at.Part()) {
			continue
		}
		bodies, err := p.Bodies(at)
		if err != nil {
			continue
		}
		in := bodies.Case.Extent(along)
		quarter := in.Length() / 4
		list = append(list, r1.Interval{Lo: in.Lo + quarter, Hi: in.Hi - quarter})
	}
	return list
}

// lines is the least number of points that hit all intervals: the first goes to where the
// first of them ends, and so on. Greedy, and exact for intervals on a line.
func lines(list []r1.Interval) int {
	slices.SortFunc(list, func(a, b r1.Interval) int { return cmp.Compare(a.Hi, b.Hi) })
	n, at := 0, 0.0
	for _, in := range list {
		if n == 0 || in.Lo > at {
			n, at = n+1, in.Hi
		}
	}
	return n
}

// Twins tells whether a builder would call two layouts one: the same number of levels, and boxes
// of each kind that can be matched so that each stands as its match does, but for a turn between
// equal faces, and is within a few millimetres of it; or so in a mirror, where the opening is its
// own image. Names and numbers of boxes do not count.
func Twins(m *model.Model, a, b pack.Layout) bool {
	levels := func(l pack.Layout) int { return len(pack.StandingOf(m.Problem, l).Levels) }
	p, ok := spotsOf(m, a)
	q, fine := spotsOf(m, b)
	return ok && fine && alike(m, p, q) && levels(a) == levels(b)
}

// spotsOf are the places of a layout as the model knows them. It is not ok for a layout with
// another box, or one in a pose that the model does not have.
func spotsOf(m *model.Model, l pack.Layout) ([]model.Spot, bool) {
	spots := make([]model.Spot, len(m.Boxes))
	number := map[int]int{}
	for i, b := range m.Boxes {
		number[b.Kind]++ // they come in their order
		found := false
		for _, at := range l.Placements {
			if at.Box != m.Kinds[b.Kind].Name || at.Number != number[b.Kind] {
				continue
			}
			for n, p := range m.Poses[b.Kind] {
				if p.Up == at.Up && p.Front == at.Front && p.Tilt == at.Tilt {
					spots[i], found = model.Spot{Pose: n, At: at.Centre}, true
				}
			}
		}
		if !found {
			return nil, false
		}
	}
	return spots, true
}
