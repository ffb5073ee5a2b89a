package puzzle

import (
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/search/model"
)

// Where boxes without posts, parallel to a box-shaped opening with nothing in it, have
// whole sizes, counting in their common measure decides exactly what linear programs hardly can:
// puzzles with nothing to spare.

// Decide decides a puzzle, or ends without where stop says so or it takes too many steps. The
// arrangement comes with Fits. Places are those of the model, at a spare of exactly 0 or more but
// for rounding.
func (t Puzzle) Decide(m *model.Model) (Verdict, []model.Spot) {
	verdict, places := Solve(t.problem, mostSteps, m.Ended)
	if verdict != Fits {
		return verdict, nil
	}
	return verdict, t.spots(m, places)
}

// Bound is a spare that no layout has where the boxes cannot fit. Had a layout a spare of −ε, the
// sizes along any chain of at most n boxes from wall to wall would add up to no more than the
// opening and (n + 1)·ε. With ε less than unit/(n + 1), all being multiples of unit, they fit as
// they are, and what keeps every chain is a layout with a spare of 0.
func (t Puzzle) Bound(m *model.Model) float64 { return -t.unit / float64(len(m.Boxes)+1) }

// Step is the common measure of all sizes, in mm.
func (t Puzzle) Step() float64 { return t.unit }

// Puzzle is a problem in whole sizes, with what leads back. Gaps are part of the sizes, so the
// problem has none.
type Puzzle struct {
	problem Problem
	low     r3.Vector // corner of the opening
	unit    float64   // mm
	poses   [][]int   // by kind and shape
	boxes   [][]int   // by kind of the problem: kinds that have the same shapes are one there
}

// ticksPerMM makes every size of up to six decimals, and of sixty-fourths of an inch, a whole
// number of ticks.
const ticksPerMM = 1_000_000

// Of translates the problem, if it can be.
//
// It fails for whatever the whole numbers could not say: posts, tilts, slants, things in the
// opening, sizes without a common measure.
func Of(m *model.Model) (Puzzle, bool) {
	g := m.Problem.Pack.Gaps
	gaps := r3.Vector{X: g.Beside, Y: g.Beside, Z: g.Above}
	room, ok := chestRoom(m)
	if !ok {
		return Puzzle{}, false
	}
	t := Puzzle{low: r3.Vector{X: room[0].Lo, Y: room[1].Lo, Z: room[2].Lo}}
	// One gap more, as the last box has no neighbour.
	size := r3.Vector{X: room[0].Length(), Y: room[1].Length(), Z: room[2].Length()}.Add(gaps)
	lengths := []r3.Vector{size}
	for k := range m.Kinds {
		for _, p := range shapesOf(m, k) {
			lengths = append(lengths, m.Poses[k][p].Parts[0].Half.Mul(2).Add(gaps))
		}
	}
	unit, ok := commonMeasure(lengths)
	if !ok {
		return Puzzle{}, false
	}
	t.unit = float64(unit) / ticksPerMM
	t.problem.Size = t.inUnits(size)
	// Whole numbers that small measures make endless.
	if slices.Max(t.problem.Size[:]) > mostAlong {
		return Puzzle{}, false
	}
	for k, kind := range m.Kinds {
		shapes := shapesOf(m, k)
		t.poses = append(t.poses, shapes)
		out := Kind{Count: kind.Count}
		for _, p := range shapes {
			out.Shapes = append(out.Shapes, t.inUnits(m.Poses[k][p].Parts[0].Half.Mul(2).Add(gaps)))
		}
		t.add(out, m.BoxesOf(k))
	}
	return t, true
}

// add adds a kind, to one with the same shapes if there is one. Kinds that only differ by name
// would be tried in each other's stead for nothing.
func (t *Puzzle) add(kind Kind, boxes []int) {
	for i, o := range t.problem.Kinds {
		if slices.Equal(o.Shapes, kind.Shapes) {
			t.problem.Kinds[i].Count += kind.Count
			t.boxes[i] = append(t.boxes[i], boxes...)
			return
		}
	}
	t.problem.Kinds = append(t.problem.Kinds, kind)
	t.boxes = append(t.boxes, boxes)
}

// chestRoom is the room that the walls leave cases at a spare of 0, if it is a chest:
// straight, with nothing in it, and the same for all poses, none of which has posts or
// a tilt.
func chestRoom(m *model.Model) (room [3]r1.Interval, ok bool) {
	for k := range m.Kinds {
		for n, p := range m.Useful[k] {
			q := m.Poses[k][p]
			if len(q.Parts) > 1 || q.Axes != model.AxesOfVehicle || len(m.Solids[k][p]) > 0 {
				return room, false
			}
			own, straight := roomOf(m.Walls[k][p], q.Parts[0].Half)
			if !straight || (k > 0 || n > 0) && own != room {
				return room, false
			}
			room = own
		}
	}
	return room, len(m.Kinds) > 0
}

// roomOf is the room that walls leave a case with half sizes half. Every wall has to be square to
// an axis.
func roomOf(walls []model.Plane, half r3.Vector) (room [3]r1.Interval, straight bool) {
	for axis := range room {
		room[axis] = r1.Interval{Lo: math.Inf(-1), Hi: math.Inf(1)}
	}
	for _, f := range walls {
		straight = false
		for axis := range room {
			switch h := geom.Component(half, axis); geom.Component(f.N, axis) {
			case 1:
				room[axis].Lo, straight = max(room[axis].Lo, f.D-h), true
			case -1:
				room[axis].Hi, straight = min(room[axis].Hi, h-f.D), true
			}
		}
		if !straight {
			return room, false
		}
	}
	return room, true
}

// shapesOf lists the useful poses of a kind that differ in shape.
func shapesOf(m *model.Model, kind int) []int {
	var list []int
	for _, p := range m.Useful[kind] {
		if !slices.ContainsFunc(list, func(o int) bool { return m.Poses[kind][o].Shape == m.Poses[kind][p].Shape }) {
			list = append(list, p)
		}
	}
	return list
}

// commonMeasure is the greatest number of ticks that divides all lengths; ok is false
// where a length is not a whole number of ticks, within geom.Tolerance.
func commonMeasure(lengths []r3.Vector) (unit int, ok bool) {
	for _, v := range lengths {
		for axis := range 3 {
			n := geom.Component(v, axis) * ticksPerMM
			whole := math.Round(n)
			if !(math.Abs(n-whole) <= geom.Tolerance*ticksPerMM && whole >= 0 && whole <= 1<<40) {
				return 0, false
			}
			// Euclid's, with what has been found so far.
			for a := int(whole); a != 0; {
				unit, a = a, unit%a
			}
		}
	}
	return unit, unit > 0
}

// inUnits is a vector of lengths in the common measure.
func (t Puzzle) inUnits(v r3.Vector) [3]int {
	return [3]int{int(math.Round(v.X / t.unit)), int(math.Round(v.Y / t.unit)), int(math.Round(v.Z / t.unit))}
}

// spots carries places of the problem back. Which box of several alike goes where does not matter;
// they are taken in order.
func (t Puzzle) spots(m *model.Model, places []Place) []model.Spot {
	spots := make([]model.Spot, len(m.Boxes))
	next := make([]int, len(t.boxes))
	for _, p := range places {
		i := t.boxes[p.Kind][next[p.Kind]]
		next[p.Kind]++
		kind := m.Boxes[i].Kind
		pose := t.poses[kind][p.Shape]
		low := r3.Vector{X: float64(p.Low[0]), Y: float64(p.Low[1]), Z: float64(p.Low[2])}.Mul(t.unit)
		spots[i] = model.Spot{Pose: pose, At: t.low.Add(low).Add(m.Poses[kind][pose].Parts[0].Half)}
	}
	return spots
}
