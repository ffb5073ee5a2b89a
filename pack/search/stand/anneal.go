package stand

import (
	"math"
	"math/rand/v2"

	"github.com/golang/geo/r3"

	"rackwright/pack/search/model"
)

// annealer looks for a stance in which every relation leaves the target: by simulated
// annealing (Kirkpatrick, Gelatt & Vecchi, Science 220 (1983)) over the places and the ways
// of the boxes, the levels that they are on and the heights of these, on the sum of the
// squares of what is lacking.
//
// Costs are in mm², kept for each box and each pair and brought up to date with every change, so a
// move is judged by the boxes that it moves alone. It works by planes; what it finds is measured
// exactly afterwards.
type annealer struct {
	g      *staging
	rng    *rand.Rand
	target float64
	enough float64
	s      stance
	at     []r3.Vector
	alone  []float64 // by box: what it costs by itself
	pair   [][]float64
	sum    float64
	held   map[int][]uint8 // by way: of its clauses with the frame
	work   model.Effort
}

// newAnnealer takes the stance as its own.
func newAnnealer(g *staging, s stance, target float64, rng *rand.Rand) *annealer {
	a := &annealer{g: g, rng: rng, target: target, enough: target - 1e-9, s: s, held: map[int][]uint8{}}
	n := len(s.boxes)
	a.at, a.alone, a.pair = make([]r3.Vector, n), make([]float64, n), make([][]float64, n)
	for i := range n {
		a.pair[i] = make([]float64, n)
	}
	a.all()
	return a
}

// all works out everything anew. Sums that grow by small changes drift; this takes the drift away.
func (a *annealer) all() {
	for i := range a.s.boxes {
		a.at[i] = a.g.place(&a.s, i)
	}
	// Each pair once, entered both ways round.
	a.sum = 0
	for i := range a.s.boxes {
		a.alone[i] = a.aloneCost(i)
		a.sum += a.alone[i]
		for j := range i {
			a.pair[i][j] = a.pairCost(i, j)
			a.pair[j][i] = a.pair[i][j]
			a.sum += a.pair[i][j]
		}
	}
}

// run cools for so many moves and tells whether nothing is lacking. Heat falls geometrically. With
// nothing lacking it ends before its time.
func (a *annealer) run(moves int, hot, cold float64, ended func() bool) bool {
	// The heat after the last move is cold.
	cooling := math.Pow(cold/hot, 1/float64(moves))
	t := hot
	for n := range moves {
		if a.sum < 1e-12 {
			a.all() // what was added and taken away has left a little
			if a.sum < 1e-12 {
				return true
			}
		}
		// Asking takes longer than a move.
		if n%256 == 0 && ended() {
			return false
		}
		a.move(t)
		t *= cooling
	}
	a.all()
	return a.sum < 1e-9
}

// move tries one change at a temperature in square millimetres.
//
// Steps are as wide as what may be lacking at this heat: three times the root of it.
func (a *annealer) move(t float64) {
	if len(a.s.boxes) == 0 {
		return
	}
	// In mm: heat is a square.
	span := 3 * math.Sqrt(t)
	switch k := a.rng.IntN(100); {
	case k < 12:
		a.moveLevel(a.rng.IntN(len(a.s.heights)), span, t)
		return
	case k < 20 && len(a.s.boxes) > 1:
		a.swap(t)
		return
	}
	i := a.rng.IntN(len(a.s.boxes))
	// A change may touch the box and its own height, and nothing else.
	before := a.s.boxes[i]
	height := a.heightOf(i)
	if !a.change(i, span) {
		a.s.boxes[i] = before
		return
	}
	a.judge([]int{i}, t, func() {
		a.s.boxes[i] = before
		a.setHeight(i, height)
	})
}

// private is the level of a box that is carried. Such levels come after those of the trays, one for
// each box whether it is carried or not, so that numbers never shift.
func (a *annealer) private(i int) int { return a.s.levels + i }

// heightOf is the height of a box's own level, 0 where no kind carries anything.
func (a *annealer) heightOf(i int) float64 {
	if len(a.s.heights) > a.s.levels {
		return a.s.heights[a.private(i)]
	}
	return 0
}

// setHeight puts it back.
func (a *annealer) setHeight(i int, h float64) {
	if len(a.s.heights) > a.s.levels {
		a.s.heights[a.private(i)] = h
	}
}

// change changes one box, and tells whether it could. What a change to another box's top does to
// the height of its own level, move takes back with it.
func (a *annealer) change(i int, span float64) bool {
	b := &a.s.boxes[i]
	switch k := a.rng.IntN(100); {
	// Where it is pinned it stays; on which tray is open.
	case a.g.pinned[i]:
		return a.otherLevel(i)
	case k < 45:
		b.u += span * a.rng.NormFloat64()
		b.v += span * a.rng.NormFloat64()
		// One coordinate alone is how boxes slide along one another.
		if a.rng.IntN(3) == 0 { // along one axis only
			if a.rng.IntN(2) == 0 {
				b.u = a.s.boxes[i].u
			}
		}
	case k < 52:
		b.u, b.v = a.g.anywhere(a.s.planes[b.level], a.rng)
	case k < 66:
		return a.turn(i)
	case k < 78:
		return a.otherLevel(i)
	case k < 84 && a.g.carries:
		return a.onOther(i)
	default:
		return a.beside(i)
	}
	return true
}

// turn has a box stand another way on its level.
func (a *annealer) turn(i int) bool {
	b := &a.s.boxes[i]
	all := a.g.ways[a.g.m.Boxes[i].Kind]
	w := a.rng.IntN(len(all))
	// A way of another plane would need another level.
	if w == b.way || all[w].plane != a.s.planes[b.level] {
		return false
	}
	b.way = w
	return true
}

// otherLevel has a box stand on another level, if need be another way. A way belongs to a plane: a
// tilted level takes boxes that are tilted as it is.
func (a *annealer) otherLevel(i int) bool {
	b := &a.s.boxes[i]
	if a.s.levels == 1 && b.on < 0 {
		return false
	}
	l := a.rng.IntN(a.s.levels)
	if l == b.level {
		return false
	}
	all := a.g.ways[a.g.m.Boxes[i].Kind]
	if all[b.way].plane != a.s.planes[l] {
		w := a.rng.IntN(len(all))
		if all[w].plane != a.s.planes[l] {
			return false
		}
		b.way = w
	}
	// Nothing carries it any more.
	b.level, b.on = l, -1
	return true
}

// onOther has a box stand on another one. It begins with the gap above and the target between them,
// over a random part of the other's top where it was not over it before.
func (a *annealer) onOther(i int) bool {
	j := a.rng.IntN(len(a.s.boxes))
	// Weight and rings are settled here, so that no cost is needed for them.
	if !a.g.mayCarry(&a.s, i, j) {
		return false
	}
	b, c := &a.s.boxes[i], a.s.boxes[j]
	b.on, b.level = j, a.private(i)
	a.s.planes[b.level] = a.s.planes[c.level]
	o := a.g.way(j, c)
	a.s.heights[b.level] = a.s.heights[c.level] + o.low + o.half.Z + a.g.m.Problem.Pack.Gaps.Above + max(0, a.target)
	if math.Abs(b.u-c.u) > o.half.X || math.Abs(b.v-c.v) > o.half.Y {
		b.u, b.v = c.u+o.half.X*(a.rng.Float64()-0.5), c.v+o.half.Y*(a.rng.Float64()-0.5)
	}
	return true
}

// beside puts a box right beside another one of its level, or against the end of its room. In good
// layouts boxes touch, which random steps hardly ever make them do. Half the time they are brought
// level at one end, or in the middle, as well.
func (a *annealer) beside(i int) bool {
	j := a.rng.IntN(len(a.s.boxes))
	b, c := &a.s.boxes[i], a.s.boxes[j]
	if i == j || a.s.planes[b.level] != a.s.planes[c.level] {
		return false
	}
	w, o := a.g.way(i, *b), a.g.way(j, c)
	gap := a.g.m.Problem.Pack.Gaps.Beside + a.target
	way := float64(2*a.rng.IntN(2) - 1)
	if a.rng.IntN(2) == 0 {
		b.u = c.u + way*(w.half.X+o.half.X+gap)
		if a.rng.IntN(2) == 0 {
			b.v = c.v + float64(a.rng.IntN(3)-1)*(o.half.Y-w.half.Y)
		}
	} else {
		b.v = c.v + way*(w.half.Y+o.half.Y+gap)
		if a.rng.IntN(2) == 0 {
			b.u = c.u + float64(a.rng.IntN(3)-1)*(o.half.X-w.half.X)
		}
	}
	return true
}

// swap exchanges the places of two boxes. Only between boxes on trays of one plane, whose ways the
// other level takes.
func (a *annealer) swap(t float64) {
	i, j := a.rng.IntN(len(a.s.boxes)), a.rng.IntN(len(a.s.boxes))
	b, c := a.s.boxes[i], a.s.boxes[j]
	// Carried boxes have levels of their own, which are not exchanged.
	if i == j || b.on >= 0 || c.on >= 0 || a.g.pinned[i] || a.g.pinned[j] || a.s.planes[b.level] != a.s.planes[c.level] {
		return
	}
	// Nothing would change.
	if a.g.m.Boxes[i].Kind == a.g.m.Boxes[j].Kind && b.way == c.way {
		return
	}
	a.s.boxes[i] = place{way: b.way, level: c.level, on: -1, u: c.u, v: c.v}
	a.s.boxes[j] = place{way: c.way, level: b.level, on: -1, u: b.u, v: b.v}
	a.judge([]int{i, j}, t, func() { a.s.boxes[i], a.s.boxes[j] = b, c })
}

// moveLevel raises or lowers a level, with all that is on it. Now and then it goes anywhere, so
// that an order of levels can change.
func (a *annealer) moveLevel(l int, span, t float64) {
	var boxes []int
	for i, b := range a.s.boxes {
		if b.level == l {
			boxes = append(boxes, i)
		}
	}
	// The own level of a box that nothing carries.
	if len(boxes) == 0 && l >= a.s.levels {
		return
	}
	before := a.s.heights[l]
	if a.rng.IntN(8) == 0 && l < a.s.levels {
		a.s.heights[l] = a.g.anyHeight(a.s.planes[l], a.rng)
	} else {
		a.s.heights[l] += span * a.rng.NormFloat64()
	}
	a.judge(boxes, t, func() { a.s.heights[l] = before })
}

// judge keeps a change of some boxes, or takes it back.
//
// The Metropolis rule, with the draw made first: the greatest cost that would be taken is known
// before costs are added up, and most changes are given up before all of them are.
func (a *annealer) judge(boxes []int, t float64, undo func()) {
	before, after := 0.0, 0.0
	moved := make([]bool, len(a.s.boxes))
	for _, i := range boxes {
		moved[i] = true
	}
	for _, i := range boxes {
		before += a.alone[i]
		for j := range a.s.boxes {
			if j != i && (!moved[j] || j < i) {
				before += a.pair[i][j]
			}
		}
	}
	// Only now: until here costs are those before the change.
	olds := make([]r3.Vector, len(boxes))
	for k, i := range boxes {
		olds[k], a.at[i] = a.at[i], a.g.place(&a.s, i)
	}
	// Of changes that cost more, one by t is taken in 1/e of all cases.
	limit := before - t*math.Log(1-a.rng.Float64())
	type cost struct {
		i, j int
		c    float64
	}
	costs := make([]cost, 0, 2*len(a.s.boxes))
	for _, i := range boxes {
		c := a.aloneCost(i)
		after += c
		costs = append(costs, cost{i, i, c})
		for j := range a.s.boxes {
			if after > limit {
				break
			}
			if j != i && (!moved[j] || j < i) {
				c := a.pairCost(i, j)
				after += c
				costs = append(costs, cost{i, j, c})
			}
		}
		if after > limit {
			break
		}
	}
	if after > limit {
		undo()
		for k, i := range boxes {
			a.at[i] = olds[k]
		}
		return
	}
	for _, c := range costs {
		if c.i == c.j {
			a.alone[c.i] = c.c
		} else {
			a.pair[c.i][c.j], a.pair[c.j][c.i] = c.c, c.c
		}
	}
	a.sum += after - before
}
