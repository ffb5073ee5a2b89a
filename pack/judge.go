package pack

import (
	"cmp"
	"math"
	"slices"
)

// Judge is Check made once for a problem and asked often: of layouts that differ little
// from the one before, as when a box is moved by hand. What stays where it was is not
// reckoned again. It must not be used by two goroutines at once, and the problem must not
// change while it is used.
type Judge struct {
	problem Problem
	things  []thing
	slots   []slot       // of every box of the pack, in the order of the file
	slotOf  map[Part]int // by box
	bodies  int          // of all boxes together
	ranks   []rank       // of all relations of the layout judged last, worst first
}

// slot is one box of the pack, and what is known of it where it stood last.
type slot struct {
	kind   Kind
	first  int // number of its case among the bodies of all boxes
	placed bool
	at     Placement
	bodies []body // its case, then its posts
	// Relations of its bodies, all of the first one first: with the things of the frame, and
	// with the bodies of each box of the slots after it.
	toThings []Relation
	toSlots  [][]Relation
}

// rank is where a relation stands among all: by what it leaves, then by the order of the
// files.
type rank struct {
	left     float64
	at       int // number among all relations that a layout of the problem may have
	a, b     int // the slots that it is of; twice the same for a relation with the frame
	relation *Relation
}

func (r rank) compare(o rank) int {
	return cmp.Or(cmp.Compare(r.left, o.left), cmp.Compare(r.at, o.at))
}

// NewJudge makes the judge of a problem, which must be one that NewProblem accepts.
func NewJudge(problem Problem) *Judge {
	j := &Judge{problem: problem, things: thingsOf(problem.Obstacles()), slotOf: map[Part]int{}}
	for _, k := range problem.Pack.Kinds {
		for n := range k.Count {
			j.slotOf[Part{Box: k.Name, Number: n + 1}] = len(j.slots)
			j.slots = append(j.slots, slot{kind: k, first: j.bodies})
			j.bodies += 1 + len(k.Posts)
		}
	}
	for i := range j.slots {
		j.slots[i].toSlots = make([][]Relation, len(j.slots))
	}
	return j
}

// Check judges a layout. The report is that of the function Check, to the bit, and the
// caller's to change.
func (j *Judge) Check(layout Layout) Report {
	sound, faults := inspect(j.problem, layout)
	moved := j.place(sound)
	j.reckon(moved)
	report := Report{Faults: faults, Warnings: stale(j.problem, layout), Spare: math.Inf(1)}
	report.Relations = slices.Grow(report.Relations, len(j.ranks))
	for _, r := range j.ranks {
		report.Relations = append(report.Relations, *r.relation)
	}
	if t, ok := report.Tightest(); ok {
		report.Spare = t.Left
	}
	return report
}

// place puts boxes where sound placements have them, takes the others out, and tells of
// every slot whether anything of it is no longer as it was.
func (j *Judge) place(sound []Placement) (moved []bool) {
	moved = make([]bool, len(j.slots))
	placed := make([]bool, len(j.slots))
	for _, p := range sound {
		i := j.slotOf[p.Part()]
		placed[i] = true
		if s := &j.slots[i]; !s.placed || !stands(s.at, p) {
			s.at, s.bodies = p, bodiesOf(s.kind, p, j.problem)
			moved[i] = true
		}
	}
	for i := range j.slots {
		moved[i] = moved[i] || j.slots[i].placed != placed[i]
		j.slots[i].placed = placed[i]
	}
	return moved
}

// stands tells whether two placements of a box are the same to the bit.
func stands(p, q Placement) bool {
	same := func(a, b float64) bool { return math.Float64bits(a) == math.Float64bits(b) }
	return p.Up == q.Up && p.Front == q.Front && same(float64(p.Tilt), float64(q.Tilt)) &&
		same(p.Centre.X, q.Centre.X) && same(p.Centre.Y, q.Centre.Y) && same(p.Centre.Z, q.Centre.Z)
}

// reckon works out the relations of boxes that have moved, and ranks all.
func (j *Judge) reckon(moved []bool) {
	var fresh []rank
	for i := range j.slots {
		s := &j.slots[i]
		if moved[i] {
			s.toThings = j.withThings(s)
			fresh = j.ranked(fresh, s.toThings, i, i)
		}
		for k := i + 1; k < len(j.slots); k++ {
			if moved[i] || moved[k] {
				s.toSlots[k] = j.withBox(s, &j.slots[k])
				fresh = j.ranked(fresh, s.toSlots[k], i, k)
			}
		}
	}
	slices.SortFunc(fresh, rank.compare)
	kept := slices.DeleteFunc(j.ranks, func(r rank) bool { return moved[r.a] || moved[r.b] })
	j.ranks = merged(kept, fresh)
}

// withThings returns the relations of a box with the things of the frame.
func (j *Judge) withThings(s *slot) []Relation {
	if !s.placed {
		return nil
	}
	list := make([]Relation, 0, len(s.bodies)*len(j.things))
	for _, a := range s.bodies {
		for _, t := range j.things {
			list = append(list, j.problem.Pack.Gaps.toThing(a, t))
		}
	}
	return list
}

// withBox returns the relations of a box with another.
func (j *Judge) withBox(s, other *slot) []Relation {
	if !s.placed || !other.placed {
		return nil
	}
	list := make([]Relation, 0, len(s.bodies)*len(other.bodies))
	for _, a := range s.bodies {
		for _, b := range other.bodies {
			list = append(list, j.problem.Pack.Gaps.between(a, b))
		}
	}
	return list
}

// ranked appends the ranks of the relations of slot a with the things of the frame, where b
// is a too, or else with slot b. In the order of the files those of a body come together:
// with the bodies of the boxes after it, then with the things.
func (j *Judge) ranked(list []rank, relations []Relation, a, b int) []rank {
	width, first := len(j.things), j.bodies
	if a != b {
		width, first = 1+len(j.slots[b].kind.Posts), j.slots[b].first
	}
	for n := range relations {
		row, column := j.slots[a].first+n/width, first+n%width
		list = append(list, rank{relations[n].Left, row*(j.bodies+len(j.things)) + column, a, b, &relations[n]})
	}
	return list
}

// merged returns two sorted lists as one.
func merged(a, b []rank) []rank {
	all := make([]rank, 0, len(a)+len(b))
	for len(a) > 0 && len(b) > 0 {
		if a[0].compare(b[0]) < 0 {
			all, a = append(all, a[0]), a[1:]
		} else {
			all, b = append(all, b[0]), b[1:]
		}
	}
	return append(append(all, a...), b...)
}
