// Package shelf puts boxes into rows on levels, one level above another, as racks like them: all
// boxes of a kind stand alike, their posts up where that may be; a level is one row lengthwise, or
// some beside each other, in the middle across. It tries few heights and places of each level, and
// gives what fits. That it finds nothing proves nothing.
//
//	shelf.go  which boxes on which level
//	pose.go   ways in which the boxes of a kind may stand
//	place.go  where a level goes
package shelf

import (
	"cmp"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// Room is what is kept of a problem for a rack.
type Room struct {
	Over float64 // mm from the tops of a level to the undersides of the next
}

// mostLevels that are tried.
const mostLevels = 4

// most plans (which boxes on which level, in what stand) that are looked at.
const mostPlans = 1500

// Layouts returns at most so many layouts of a problem whose gaps leave room for a rack, the ones
// with fewest levels first, then with most posts up, then the lowest.
func Layouts(p pack.Problem, room Room, most int) []pack.Layout {
	s := newShelves(p, room)
	var found []scored
	for n := 1; n <= mostLevels && len(found) < most && s.plans < mostPlans; n++ {
		stacks := s.stacks(n)
		for _, st := range stacks {
			if s.plans++; s.plans > mostPlans || len(found) >= most {
				break
			}
			for _, l := range s.stack(st.levels) {
				found = append(found, scored{l, n, st.rank, middle(l)})
			}
		}
	}
	return layouts(found)
}

// scored is a layout and what tells which of two is tried first.
type scored struct {
	layout pack.Layout
	levels int
	rank   int
	height float64
}

func layouts(found []scored) []pack.Layout {
	slices.SortStableFunc(found, func(a, b scored) int {
		return cmp.Or(cmp.Compare(a.levels, b.levels), cmp.Compare(a.rank, b.rank), cmp.Compare(a.height, b.height))
	})
	var list []pack.Layout
	for _, f := range found {
		list = append(list, f.layout)
	}
	return list
}

// shelves is one run.
type shelves struct {
	problem pack.Problem
	judge   *pack.Judge
	room    Room
	kinds   []pack.Kind
	poses   [][]pose // of each kind
	frame   []solid
	low     r3.Vector // of the opening
	high    r3.Vector
	plans   int
	known   map[string][]level // options by the counts of boxes
}

// choices are a pose for each kind.
func (s *shelves) choices() [][]pose {
	list := [][]pose{nil}
	for _, poses := range s.poses {
		var next [][]pose
		for _, l := range list {
			for _, p := range poses {
				next = append(next, append(slices.Clone(l), p))
			}
		}
		list = next
	}
	return list
}

// shared are the ways of giving the boxes of all kinds to levels: by level, how many of each kind.
func (s *shelves) shared(levels int) [][][]int {
	list := [][][]int{make([][]int, levels)}
	for _, k := range s.kinds {
		var next [][][]int
		for _, counts := range compositions(k.Count, levels) {
			for _, l := range list {
				with := make([][]int, levels)
				for i := range with {
					with[i] = append(slices.Clone(l[i]), counts[i])
				}
				next = append(next, with)
			}
		}
		list = next
	}
	return slices.DeleteFunc(list, func(l [][]int) bool { return slices.ContainsFunc(l, empty) })
}

func empty(counts []int) bool { return !slices.ContainsFunc(counts, func(n int) bool { return n > 0 }) }

// compositions are the ways of writing n as a sum of so many numbers, none below nought: those
// that are most even first.
func compositions(n, parts int) [][]int {
	if parts == 1 {
		return [][]int{{n}}
	}
	var list [][]int
	for first := n; first >= 0; first-- {
		for _, rest := range compositions(n-first, parts-1) {
			list = append(list, append([]int{first}, rest...))
		}
	}
	slices.SortStableFunc(list, func(a, b []int) int {
		return cmp.Compare(slices.Max(a)-slices.Min(a), slices.Max(b)-slices.Min(b))
	})
	return list
}
