package shelf

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack"
)

// Lack is what keeps boxes in rows from having the room that a rack takes: of the rows that lack
// least, with all room kept.
type Lack struct {
	Levels []int // how many boxes are on each, from below
	Wants  []Want
}

// Want is how much in mm an obstacle is in the way of rows of boxes.
type Want struct {
	Obstacle string
	Short    float64
}

// Sum is what lacks in all, mm.
func (l Lack) Sum() float64 {
	sum := 0.0
	for _, w := range l.Wants {
		sum += w.Short
	}
	return sum
}

// Boxes says how many boxes are on each level: "5 boxes on one level", "3 and 2 boxes on levels, from below".
func (l Lack) Boxes() string {
	if len(l.Levels) == 1 {
		return fmt.Sprintf("%d boxes on one level", l.Levels[0])
	}
	words := fmt.Sprint(l.Levels[0])
	for _, n := range l.Levels[1:] {
		words += fmt.Sprintf(" and %d", n)
	}
	return words + " boxes on levels, from below"
}

// mostNear is for how many ways of stacking so many levels their places are looked for.
const mostNear = 24

// mostShared and mostNearOptions bound the ways of stacking: that many ways of giving boxes to levels, and
// of laying out each.
const (
	mostShared      = 40
	mostNearOptions = 4
)

// Nearest returns what lacks for the rows on levels that come nearest to the room of a problem whose gaps
// leave room for a rack; false where nothing is in their way, or there are none.
func Nearest(p pack.Problem, room Room) (Lack, bool) {
	s := newShelves(p, room)
	best, found := Lack{}, false
	for n := 1; n <= mostLevels-1; n++ {
		for _, levels := range s.roughly(n) {
			if l := s.lackOf(levels); l.Sum() > 0 && (!found || l.Sum() < best.Sum()-geom.Tolerance) {
				best, found = l, true
			}
		}
	}
	return best, found
}

// roughly are ways of stacking so many levels, those that go in most nearly by their sizes.
func (s *shelves) roughly(n int) [][]level {
	var list [][]level
	all := s.shared(n)
	for _, counts := range all[:min(mostShared, len(all))] {
		part := [][]level{nil}
		for _, c := range counts {
			var next [][]level
			for _, l := range s.nearOptions(c) {
				for _, below := range part {
					next = append(next, append(slices.Clone(below), l))
				}
			}
			part = next
		}
		list = append(list, part...)
	}
	slices.SortStableFunc(list, func(a, b []level) int { return cmp.Compare(s.tooBig(a), s.tooBig(b)) })
	return list[:min(mostNear, len(list))]
}

// nearOptions are the ways of laying out a level that are least too long or wide.
func (s *shelves) nearOptions(counts []int) []level {
	var list []level
	for _, poses := range s.choices() {
		list = append(list, s.rows(poses, counts)...)
	}
	slices.SortStableFunc(list, func(a, b level) int {
		return cmp.Or(cmp.Compare(s.tooLong(a), s.tooLong(b)), cmp.Compare(a.rank, b.rank), cmp.Compare(a.size.Z, b.size.Z))
	})
	return list[:min(mostNearOptions, len(list))]
}

// tooLong is by how much a level is longer and wider than the opening.
func (s *shelves) tooLong(l level) float64 {
	return math.Max(0, l.size.X-(s.high.X-s.low.X)) + math.Max(0, l.size.Y-(s.high.Y-s.low.Y))
}

// tooBig is by how much levels are longer, wider and higher than the opening.
func (s *shelves) tooBig(levels []level) float64 {
	sum := math.Max(0, s.heightOf(levels)-(s.high.Z-s.low.Z))
	for _, l := range levels {
		sum += s.tooLong(l)
	}
	return sum
}

// lackOf is what lacks for levels where they lack least, each above the one before.
func (s *shelves) lackOf(levels []level) Lack {
	var lack Lack
	var corners []r3.Vector
	floor := s.low.Z
	for _, l := range levels {
		at := s.leastShort(l, floor)
		corners, floor = append(corners, at), at.Z+l.size.Z+s.room.Over
		lack.Levels = append(lack.Levels, len(l.blocks))
	}
	worst := map[string]float64{}
	add := func(name string, short float64) {
		if short > geom.Tolerance {
			worst[name] = math.Max(worst[name], short)
		}
	}
	for i, l := range levels {
		for _, o := range s.frame {
			add(o.name, s.shortOf(l, corners[i], o))
		}
	}
	for _, r := range s.judge.Check(s.layout(levels, corners)).Relations {
		add(r.B.String(), -r.Left)
	}
	for name, short := range worst {
		lack.Wants = append(lack.Wants, Want{name, short})
	}
	slices.SortFunc(lack.Wants, func(a, b Want) int {
		return cmp.Or(cmp.Compare(b.Short, a.Short), cmp.Compare(a.Obstacle, b.Obstacle))
	})
	return lack
}

// leastShort is where, not below a height, a level lacks least: the best of a wide grid, then by ever
// smaller steps.
func (s *shelves) leastShort(l level, floor float64) r3.Vector {
	middle := func(lo, hi, size float64) float64 { return math.Round((lo + hi - size) / 2) }
	best := r3.Vector{X: middle(s.low.X, s.high.X, l.size.X), Y: middle(s.low.Y, s.high.Y, l.size.Y), Z: floor}
	least := s.short(l, best)
	try := func(at r3.Vector) bool {
		if at.Z < floor {
			return false
		}
		if short := s.short(l, at); short < least-geom.Tolerance {
			best, least = at, short
			return true
		}
		return false
	}
	for x := s.low.X; x+l.size.X < s.high.X+wide; x += wide {
		for z := floor; z+l.size.Z < s.high.Z+wide; z += wide {
			try(r3.Vector{X: x, Y: best.Y, Z: z})
		}
	}
	for step := wide / 2.0; step > 0.2 && least > 0; step /= 2 {
		for moved := true; moved; {
			moved = try(best.Add(r3.Vector{X: step})) || try(best.Add(r3.Vector{X: -step})) ||
				try(best.Add(r3.Vector{Z: step})) || try(best.Add(r3.Vector{Z: -step}))
		}
	}
	return best
}

// wide is the step in mm of the grid on which places of a level are looked at.
const wide = 32

// short is what lacks to a level at a corner, in all, mm.
func (s *shelves) short(l level, at r3.Vector) float64 {
	sum := 0.0
	for _, o := range s.frame {
		sum += s.shortOf(l, at, o)
	}
	return sum
}

// shortOf is by how much in mm something of the frame is in the way of a level at a corner and of
// its tray.
func (s *shelves) shortOf(l level, at r3.Vector, o solid) float64 {
	under, most := r3.Vector{Z: s.problem.Pack.Gaps.Tray}, 0.0
	for _, b := range l.blocks {
		low := at.Add(b.at)
		gap, _ := geom.SheetGap(geom.BoxFromCorners(low.Sub(under), low.Add(b.pose.size)), o.Solid)
		most = math.Max(most, o.need-gap)
	}
	return most
}
