package shelf

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// block is a box on a level, from the level's own corner.
type block struct {
	kind int
	at   r3.Vector // its low corner
	pose pose
}

// level is rows of boxes.
type level struct {
	blocks []block
	size   r3.Vector
	rank   int // posts that are not up
}

// mostRows beside each other that are tried.
const mostRows = 3

// stacked is levels one above another, and how many posts are not up.
type stacked struct {
	levels []level
	rank   int
}

// stacks are the ways of putting all boxes on so many levels that go in by their sizes, those with most
// posts up first.
func (s *shelves) stacks(n int) []stacked {
	var list []stacked
	for _, counts := range s.shared(n) {
		part := []stacked{{}}
		for _, c := range counts {
			var next []stacked
			for _, l := range s.options(c) {
				for _, st := range part {
					with := stacked{append(slices.Clone(st.levels), l), st.rank + l.rank}
					if s.heightOf(with.levels) <= s.high.Z-s.low.Z {
						next = append(next, with)
					}
				}
			}
			part = next
		}
		list = append(list, part...)
	}
	slices.SortStableFunc(list, func(a, b stacked) int { return cmp.Compare(a.rank, b.rank) })
	return list
}

// heightOf is what levels take at least.
func (s *shelves) heightOf(levels []level) float64 {
	sum := s.problem.Pack.Gaps.Tray + s.room.Over*float64(len(levels)-1)
	for _, l := range levels {
		sum += l.size.Z
	}
	return sum
}

// mostOptions is how many ways of laying out one level are tried.
const mostOptions = 5

// options are ways of laying out a level: those with most posts up first, then the lowest, one of each
// size.
func (s *shelves) options(counts []int) []level {
	key := fmt.Sprint(counts)
	if list, ok := s.known[key]; ok {
		return list
	}
	var list []level
	for _, poses := range s.choices() {
		for _, l := range s.rows(poses, counts) {
			same := func(o level) bool { return o.size == l.size }
			if l.size.X <= s.high.X-s.low.X && l.size.Y <= s.high.Y-s.low.Y && !slices.ContainsFunc(list, same) {
				list = append(list, l)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b level) int { return cmp.Or(cmp.Compare(a.rank, b.rank), cmp.Compare(a.size.Z, b.size.Z)) })
	s.known[key] = list[:min(mostOptions, len(list))]
	return s.known[key]
}

// middle is the mean height of boxes.
func middle(l pack.Layout) float64 {
	sum := 0.0
	for _, p := range l.Placements {
		sum += p.Centre.Z
	}
	return sum / float64(len(l.Placements))
}

// rows are the boxes of a level in one row, or in some beside each other, each filled with what is
// longest first.
func (s *shelves) rows(poses []pose, counts []int) []level {
	var boxes []block
	for k, n := range counts {
		for range n {
			boxes = append(boxes, block{kind: k, pose: poses[k]})
		}
	}
	slices.SortStableFunc(boxes, func(a, b block) int { return cmp.Compare(b.pose.size.X, a.pose.size.X) })
	var list []level
	for n := 1; n <= min(mostRows, len(boxes)); n++ {
		list = append(list, s.inRows(boxes, n))
	}
	return list
}

// spare is what boxes of a level keep from each other beyond their gap, mm.
const spare = 1

func (s *shelves) inRows(boxes []block, n int) level {
	gap := s.problem.Pack.Gaps.Beside + spare
	rows, length := make([][]block, n), make([]float64, n)
	for _, b := range boxes {
		r := 0
		for i := range length {
			if length[i] < length[r] {
				r = i
			}
		}
		b.at.X = length[r]
		rows[r] = append(rows[r], b)
		length[r] += b.pose.size.X + gap
	}
	l := level{size: r3.Vector{X: slices.Max(length) - gap}}
	for i, row := range rows {
		wide := 0.0
		for _, b := range row {
			wide = math.Max(wide, b.pose.size.Y)
			l.size.Z = math.Max(l.size.Z, b.pose.size.Z)
			l.rank += b.pose.rank
		}
		for _, b := range row {
			b.at.X += (l.size.X + gap - length[i]) / 2
			b.at.Y = l.size.Y + (wide-b.pose.size.Y)/2
			l.blocks = append(l.blocks, b)
		}
		l.size.Y += wide + gap
	}
	l.size.Y -= gap
	return l
}

// Steps in mm in which heights and places lengthwise are tried.
const (
	stepZ = 4
	stepX = 3
)

// stack finds places for each level from below upwards.
func (s *shelves) stack(levels []level) []pack.Layout {
	var list []pack.Layout
	for _, corners := range s.corners(levels, nil, s.low.Z) {
		l := s.layout(levels, corners)
		if s.judge.Check(l).Holds() && pack.StandingOf(s.problem, l).Stands() {
			list = append(list, l)
		}
		if len(list) == mostPlaces {
			break
		}
	}
	return list
}

// mostPlaces is how many layouts are made of one way of stacking.
const mostPlaces = 16

// layout is the boxes of levels at their corners.
func (s *shelves) layout(levels []level, corners []r3.Vector) pack.Layout {
	var out pack.Layout
	numbers := make([]int, len(s.kinds))
	for i, l := range levels {
		for _, b := range l.blocks {
			numbers[b.kind]++
			out.Placements = append(out.Placements, pack.Placement{
				Box: s.kinds[b.kind].Name, Number: numbers[b.kind], Orientation: b.pose.Orientation,
				Centre: corners[i].Add(b.at).Add(b.pose.size.Mul(0.5)),
			})
		}
	}
	slices.SortStableFunc(out.Placements, func(a, b pack.Placement) int {
		return cmp.Or(cmp.Compare(s.order(a.Box), s.order(b.Box)), cmp.Compare(a.Number, b.Number))
	})
	return out
}

// corners are low corners for the levels from the one at len(below) on.
func (s *shelves) corners(levels []level, below []r3.Vector, floor float64) [][]r3.Vector {
	if len(below) == len(levels) {
		return [][]r3.Vector{below}
	}
	l := levels[len(below)]
	var list [][]r3.Vector
	for _, at := range s.places(l, levels, below, floor) {
		list = append(list, s.corners(levels, append(slices.Clone(below), at), at.Z+l.size.Z+s.room.Over)...)
	}
	return list
}

func (s *shelves) order(box string) int {
	return slices.IndexFunc(s.kinds, func(k pack.Kind) bool { return k.Name == box })
}

// raised are by how many mm a level is tried above the least height at which it has room.
var raised = []float64{0, 16, 32}

// places are low corners of a level at the least height at which it has room, and a little higher: in
// the middle of where it has room lengthwise, and with an end over one of the level below, so that
// uprights are straight.
func (s *shelves) places(l level, levels []level, below []r3.Vector, floor float64) []r3.Vector {
	at := r3.Vector{Y: math.Round((s.low.Y + s.high.Y - l.size.Y) / 2)}
	for at.Z = floor; at.Z+l.size.Z <= s.high.Z; at.Z += stepZ {
		if list := s.along(l, levels, below, at); len(list) > 0 {
			for _, more := range raised[1:] {
				higher := at.Add(r3.Vector{Z: more})
				list = append(list, s.along(l, levels, below, higher)...)
			}
			return list
		}
	}
	return nil
}

// along are the places of a level at a height.
func (s *shelves) along(l level, levels []level, below []r3.Vector, at r3.Vector) []r3.Vector {
	var fits []float64
	for at.X = math.Ceil(s.low.X); at.X+l.size.X <= s.high.X; at.X += stepX {
		if s.fits(l, at) {
			fits = append(fits, at.X)
		}
	}
	if len(fits) == 0 {
		return nil
	}
	var list []r3.Vector
	for _, x := range append(s.over(l, levels, below), fits[len(fits)/2], fits[len(fits)-1], fits[0]) {
		if at.X = x; s.fits(l, at) && !slices.Contains(list, at) {
			list = append(list, at)
		}
	}
	return list
}

// over are the places lengthwise with an end over one of the level below.
func (s *shelves) over(l level, levels []level, below []r3.Vector) []float64 {
	if len(below) == 0 {
		return nil
	}
	i := len(below) - 1
	return []float64{below[i].X, below[i].X + levels[i].size.X - l.size.X}
}

// fits tells whether a level has room at a corner, with that of its tray below.
func (s *shelves) fits(l level, at r3.Vector) bool {
	under := r3.Vector{Z: s.problem.Pack.Gaps.Tray}
	if !s.clear(at.Sub(under), at.Add(l.size)) {
		return s.eachClear(l, at)
	}
	return true
}

// eachClear asks of each box of a level, where the block around it has no room.
func (s *shelves) eachClear(l level, at r3.Vector) bool {
	if len(l.blocks) == 1 {
		return false
	}
	under := r3.Vector{Z: s.problem.Pack.Gaps.Tray}
	for _, b := range l.blocks {
		if low := at.Add(b.at); !s.clear(low.Sub(under), low.Add(b.pose.size)) {
			return false
		}
	}
	return true
}
