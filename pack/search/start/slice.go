package start

import (
	"math"
	"math/rand/v2"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/search/model"
)

// Many good layouts can be sliced: the opening is cut through, square to an axis, then each
// part again, until every part holds one box. How long such a layout is along each axis
// follows from the cuts alone, in less than a microsecond, so a hundred thousand of them are
// looked at while one start is pushed apart. Cuts are written in postfix order and annealed
// (Wong & Liu, A new algorithm for floorplan design, 23rd Design Automation Conference
// (1986) 101–107). The opening counts as a chest with nothing in it; what stands in slants
// and rails then is pushed out of them.

// Sliced slices the opening for about as much to spare as best is, or, where that is not above 0,
// for as much as is found to go, below bound, and pushes the boxes apart. The aim of separation is
// drawn apart from that of the slicing: slack of the one is room for the other.
func Sliced(m *model.Model, best, bound float64, rng *rand.Rand, work *model.Effort) []model.Spot {
	var s *slicing
	target := Aim(m, best, rng)
	if best > 0 {
		s = newSlicing(m, best*(0.9+0.3*rng.Float64()), rng)
		s.anneal(annealing(m), work)
	} else {
		s, target = mostSliced(m, bound, rng, work)
	}
	p := newSeparator(m, s.spots(), target, rng)
	p.turnAll()
	p.run(mostSweeps, work)
	return p.spots
}

// mostSliced slices for as much to spare as is found to go, and gives that spare: 0 where it is
// less than a millimetre. Targets fall by a fifth from six tenths of the bound. It is for the time
// before anything is known to fit.
func mostSliced(m *model.Model, bound float64, rng *rand.Rand, work *model.Effort) (*slicing, float64) {
	// Downwards, and the first that succeeds is taken.
	for target := 0.6 * min(bound, m.Size); target >= 1 && !m.Ended(); target *= 0.8 {
		s := newSlicing(m, target, rng)
		if s.anneal(annealing(m), work) == 0 {
			return s, target
		}
	}
	s := newSlicing(m, 0, rng)
	s.anneal(annealing(m), work)
	return s, 0
}

// annealing is how many steps a slicing is annealed for. Each step costs the length of the list, so
// the whole grows with the square of the boxes, up to 30 of them.
func annealing(m *model.Model) int { return min(1000*len(m.Boxes), 30_000) }

// slicing is one such layout while it is annealed.
//
// A list of n boxes has n − 1 cuts. Postfix: each cut joins the two parts that end before it, so
// the last entry stands for the whole.
type slicing struct {
	m     *model.Model
	rng   *rand.Rand
	cuts  []int           // in postfix order: a box, or, below 0, a cut that joins the two parts before it
	shape []int           // by box, among those of its kind
	sizes [][]slicedShape // by kind: the shapes
	room  r3.Vector       // of the opening, as the grown boxes see it
	low   r3.Vector       // its corner
	stack []r3.Vector     // scratch
}

// slicedShape is a shape that a kind of box can have. Poses that differ in their posts alone are
// one shape here.
type slicedShape struct {
	size  r3.Vector // of the case, grown by the gap to the next and the spare
	poses []int
}

// cutAlong is how a cut square to an axis is written, and axisOfCut reads it. Boxes are numbers
// from 0 on and cuts are −1, −2 and −3, so that one list of integers holds both and steps can
// exchange them.
func cutAlong(axis int) int  { return -1 - axis }
func axisOfCut(cut int) int  { return -1 - cut }
func isBox(operand int) bool { return operand >= 0 }

// newSlicing draws one at random for boxes that leave each other a spare in mm. There have to
// be two boxes at least. Grown boxes need no gaps: each has half of the gap and of the spare on
// either side, and what the walls ask for less than that is taken off the room.
func newSlicing(m *model.Model, spare float64, rng *rand.Rand) *slicing {
	g := m.Problem.Pack.Gaps
	grow := r3.Vector{X: g.Beside + spare, Y: g.Beside + spare, Z: g.Above + spare}
	s := &slicing{m: m, rng: rng}
	for axis, in := range m.Room {
		rest := geom.Component(grow, axis) - 2*(g.Wall+spare)
		s.room = geom.WithComponent(s.room, axis, in.Length()+rest)
		s.low = geom.WithComponent(s.low, axis, in.Lo-rest/2)
	}
	for k := range m.Kinds {
		s.sizes = append(s.sizes, slicedShapes(m, k, grow))
	}
	// Box, box, cut, box, cut, …: a list of this form always has its meaning.
	for n, i := range rng.Perm(len(m.Boxes)) {
		s.cuts = append(s.cuts, i)
		if n > 0 {
			s.cuts = append(s.cuts, cutAlong(rng.IntN(3)))
		}
	}
	for _, b := range m.Boxes {
		s.shape = append(s.shape, rng.IntN(len(s.sizes[b.Kind])))
	}
	return s
}

// slicedShapes lists the shapes of a kind's useful poses. A tilted box counts for its extents along
// the axes.
func slicedShapes(m *model.Model, kind int, grow r3.Vector) []slicedShape {
	var all []slicedShape
	at := map[int]int{}
	for _, p := range m.Useful[kind] {
		q := m.Poses[kind][p]
		k, known := at[q.Shape]
		if !known {
			k = len(all)
			at[q.Shape] = k
			long := r3.Vector{X: q.Reach(0, model.AxesOfVehicle[0]), Y: q.Reach(0, model.AxesOfVehicle[1]), Z: q.Reach(0, model.AxesOfVehicle[2])}
			all = append(all, slicedShape{size: long.Mul(2).Add(grow)})
		}
		all[k].poses = append(all[k].poses, p)
	}
	return all
}

// join is the size of two parts, one behind the other along an axis. Across the axis the joined
// part is as large as the larger of the two.
func join(a, b r3.Vector, axis int) r3.Vector {
	long := geom.Component(a, axis) + geom.Component(b, axis)
	return geom.WithComponent(r3.Vector{X: max(a.X, b.X), Y: max(a.Y, b.Y), Z: max(a.Z, b.Z)}, axis, long)
}

// sizeOf is the grown size of box i.
func (s *slicing) sizeOf(i int) r3.Vector { return s.sizes[s.m.Boxes[i].Kind][s.shape[i]].size }

// whole is the size of all boxes together. One pass with a stack; it is what annealing spends its
// time on.
func (s *slicing) whole() r3.Vector {
	parts := s.stack[:0]
	for _, c := range s.cuts {
		if isBox(c) {
			parts = append(parts, s.sizeOf(c))
			continue
		}
		last := len(parts) - 1
		parts[last-1] = join(parts[last-1], parts[last], axisOfCut(c))
		parts = parts[:last]
	}
	s.stack = parts
	return parts[0]
}

// lack is by how many millimetres the boxes together are too long for the opening, along all
// axes.
func (s *slicing) lack() float64 {
	over := s.whole().Sub(s.room)
	return max(0, over.X) + max(0, over.Y) + max(0, over.Z)
}

// anneal changes the layout until it lacks nothing or the steps are used up, and returns what
// it lacks. What it takes is added to work. Heat falls geometrically, from an eighth of the longest
// side to a five-hundredth (tuned.go).
func (s *slicing) anneal(steps int, work *model.Effort) float64 {
	now, long := s.lack(), max(s.room.X, s.room.Y, s.room.Z)
	cooling := math.Pow(heatAtLast/heatAtFirst, 1/float64(steps))
	for heat := heatAtFirst * long; now > 0 && steps > 0; steps-- {
		*work += effortPerCut * model.Effort(len(s.cuts))
		c := s.change()
		// Worse layouts are taken with a chance that falls with the heat.
		if lack := s.lack(); lack <= now || s.rng.Float64() < math.Exp((now-lack)/heat) {
			now = lack
		} else {
			c.undo()
		}
		heat *= cooling
	}
	return now
}

// change is what a step has done to a list: entries i and j have changed places, or, where
// these are the same, it was something else before. The zero value has changed nothing.
type change struct {
	list      []int
	i, j, was int
}

// undo takes a step back. It has to be the last that was made.
func (c change) undo() {
	if c.list == nil {
		return
	}
	c.list[c.i], c.list[c.j] = c.list[c.j], c.list[c.i]
	if c.i == c.j {
		c.list[c.i] = c.was
	}
}

// change makes a random step: two boxes change places, a cut turns to another axis, a box and
// a cut beside each other change places, or a box takes another shape. Steps that leave the list
// without meaning are taken back and count as none.
func (s *slicing) change() change {
	switch s.rng.IntN(4) {
	case 0:
		return s.swap(s.find(true), s.find(true))
	case 1:
		return s.set(s.cuts, s.find(false), cutAlong(s.rng.IntN(3)))
	case 2:
		i := s.rng.IntN(len(s.cuts) - 1)
		c := s.swap(i, i+1)
		if !s.wellFormed() {
			c.undo()
			return change{}
		}
		return c
	}
	i := s.rng.IntN(len(s.m.Boxes))
	return s.set(s.shape, i, s.rng.IntN(len(s.sizes[s.m.Boxes[i].Kind])))
}

// find finds a random box, or a random cut, among the cuts. There is always one of either: two
// boxes have a cut between them.
func (s *slicing) find(box bool) int {
	for {
		if i := s.rng.IntN(len(s.cuts)); isBox(s.cuts[i]) == box {
			return i
		}
	}
}

// swap makes two entries of the cuts change places.
func (s *slicing) swap(i, j int) change {
	c := change{list: s.cuts, i: i, j: j, was: s.cuts[i]}
	s.cuts[i], s.cuts[j] = s.cuts[j], s.cuts[i]
	return c
}

// set gives an entry of a list another value.
func (s *slicing) set(list []int, i, to int) change {
	c := change{list: list, i: i, j: i, was: list[i]}
	list[i] = to
	return c
}

// wellFormed tells whether every cut has two parts before it to join.
func (s *slicing) wellFormed() bool {
	parts := 0
	for _, c := range s.cuts {
		if isBox(c) {
			parts++
			continue
		}
		if parts--; parts < 1 {
			return false
		}
	}
	return true
}

// spots puts every box into the middle of its part; room that is left goes to both sides of a
// cut. Which way posts look is drawn at random. From the whole downwards: the last entry's room is
// cut in two, and so on to the boxes.
func (s *slicing) spots() []model.Spot {
	sizes := s.partSizes()
	spots := make([]model.Spot, len(s.m.Boxes))
	// It returns where in the list the part that ends at end begins.
	var put func(end int, low, room r3.Vector) (begin int)
	put = func(end int, low, room r3.Vector) int {
		c := s.cuts[end]
		if isBox(c) {
			poses := s.sizes[s.m.Boxes[c].Kind][s.shape[c]].poses
			spots[c] = model.Spot{Pose: poses[s.rng.IntN(len(poses))], At: low.Add(room.Mul(0.5))}
			return end
		}
		axis := axisOfCut(c)
		both, behind := geom.Component(sizes[end], axis), geom.Component(sizes[end-1], axis)
		// Room that is left goes half to each side.
		cut := both - behind + (geom.Component(room, axis)-both)/2
		rest := geom.WithComponent(room, axis, geom.Component(room, axis)-cut)
		middle := put(end-1, geom.WithComponent(low, axis, geom.Component(low, axis)+cut), rest)
		return put(middle-1, low, geom.WithComponent(room, axis, cut))
	}
	put(len(s.cuts)-1, s.low, s.room)
	return spots
}

// partSizes gives the size of the part that ends with each box or cut. The same pass as whole,
// keeping what it makes on the way.
func (s *slicing) partSizes() []r3.Vector {
	sizes := make([]r3.Vector, len(s.cuts))
	var ends []int
	for k, c := range s.cuts {
		if isBox(c) {
			sizes[k] = s.sizeOf(c)
		} else {
			last := len(ends) - 1
			sizes[k] = join(sizes[ends[last-1]], sizes[ends[last]], axisOfCut(c))
			ends = ends[:last-1]
		}
		ends = append(ends, k)
	}
	return sizes
}
