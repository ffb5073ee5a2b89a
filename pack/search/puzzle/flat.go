package puzzle

import (
	"cmp"
	"slices"
)

// Rectangles are placed in two stages, as Clautiaux, Jouglet, Carlier & Moukrim do
// (Computers & Operations Research 35 (2008)): first where each begins along one axis, so
// that no column holds more than its height; then, for each such arrangement, how high
// each lies. The first stage takes the largest first, and tells by what the columns can
// still hold whether the rest goes in (Huang & Korf, Journal of Artificial Intelligence
// Research 46 (2013)).

// rectangle is a box with its place along the first axis. From is the first column and to the one
// after the last; low is settled in the second stage alone.
type rectangle struct {
	place     Place
	from, to  int // columns
	low, tall int
	laid      bool
}

// columns is one search of the two stages. The first axis is the one cut into columns, the second
// is up.
type columns struct {
	Problem
	clock
	first, second int   // axes
	order         []int // of the boxes: their kinds, largest first
	byHeight      []int // kinds, by the least height they may have, greatest first
	halved        bool  // the first box begins no further than where its mirror image would
	placed        []rectangle
	loads         []int // by column: what is placed in it
	reach         []bool
	most          []int
	skyline, rest []int // by column: how high it is filled, what has still to go in
}

// solveFlat solves a problem in which every box takes the whole of one axis. Which of
// the other two is cut into columns, and which rectangles are tried first, matters by
// orders of magnitude and cannot be told beforehand, so all variants have their turns,
// with more and more steps.
//
// Turns grow tenfold, so the variant that is quickest gets a fixed part of all steps.
func solveFlat(p Problem, axis int, left clock) (Verdict, []Place) {
	for turn := stepsOfFirstTurn; left.steps > 0; turn *= growthOfTurns {
		// Two axes, two orders.
		for variant := range 4 {
			c := p.newColumns(axis, variant)
			c.clock = clock{min(turn, left.steps), left.ended}
			left.steps -= c.steps
			found := c.put(0)
			switch {
			case found:
				return Fits, c.places()
			case c.steps >= 0:
				return CannotFit, nil
			case left.ended():
				return Unknown, nil
			}
		}
	}
	return Unknown, nil
}

// newColumns prepares one of the four variants: which axis is first, and whether large or high
// boxes come first.
func (p Problem) newColumns(axis, variant int) *columns {
	c := &columns{Problem: p, first: (axis + 1) % 3, second: (axis + 2) % 3}
	if variant%2 == 1 {
		c.first, c.second = c.second, c.first
	}
	large := func(k Kind) int { return k.Shapes[0][c.first] * k.Shapes[0][c.second] }
	if variant >= 2 {
		large = c.height
	}
	for _, k := range sortedKinds(p.Kinds, large) {
		for range p.Kinds[k].Count {
			c.order = append(c.order, k)
		}
	}
	c.byHeight = sortedKinds(p.Kinds, c.height)
	c.loads = make([]int, c.Size[c.first])
	c.reach = make([]bool, c.Size[c.second]+1)
	c.most = make([]int, c.Size[c.second]+1)
	k := p.Kinds[c.order[0]]
	// Of several alike the mirror image is another numbering; of several shapes another shape may
	// come first.
	c.halved = k.Count == 1 && len(k.Shapes) == 1
	return c
}

// height is the least that a box of the kind can be high.
func (c *columns) height(k Kind) int {
	least := c.Size[c.second]
	for _, s := range k.Shapes {
		least = min(least, s[c.second])
	}
	return least
}

// sortedKinds lists kinds by what large makes of them, greatest first.
func sortedKinds(kinds []Kind, large func(Kind) int) []int {
	order := make([]int, len(kinds))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Compare(large(kinds[j]), large(kinds[i]))
	})
	return order
}

// places are those of a packing that was found.
func (c *columns) places() []Place {
	var list []Place
	for _, r := range c.placed {
		r.place.Low[c.first], r.place.Low[c.second] = r.from, r.low
		list = append(list, r.place)
	}
	return list
}

// put decides where the n-th box and all after it begin. It is false as well where the steps ran
// out, which is told by the clock.
func (c *columns) put(n int) bool {
	if n == len(c.order) {
		return c.stack()
	}
	if !c.take(c.effort(n)) || !c.roomFrom(n) {
		return false
	}
	k := c.order[n]
	shape, from := 0, 0
	if n > 0 && c.order[n-1] == k { // boxes alike are in order
		last := c.placed[n-1]
		shape, from = last.place.Shape, last.from
	}
	for ; shape < len(c.Kinds[k].Shapes); shape, from = shape+1, 0 {
		s := c.Kinds[k].Shapes[shape]
		for ; from+s[c.first] <= c.lastColumn(n, s); from++ {
			r := rectangle{place: Place{Kind: k, Shape: shape}, from: from, to: from + s[c.first], tall: s[c.second]}
			// Where it begins one further may do.
			if c.tooFull(r) {
				continue
			}
			c.load(r, r.tall)
			c.placed = append(c.placed, r)
			if c.put(n + 1) {
				return true
			}
			c.placed = c.placed[:n]
			c.load(r, -r.tall)
		}
	}
	return false
}

// effort is how many steps it takes to tell whether the boxes from the n-th on have room.
func (c *columns) effort(n int) int {
	return 1 + (len(c.order)-n)*(len(c.loads)+len(c.reach))/sumsPerStep
}

// tooFull tells whether some column of a rectangle would hold more than it can.
func (c *columns) tooFull(r rectangle) bool {
	return slices.Max(c.loads[r.from:r.to])+r.tall > c.Size[c.second]
}

// load adds to the columns of a rectangle; a negative height takes away.
func (c *columns) load(r rectangle, tall int) {
	for x := r.from; x < r.to; x++ {
		c.loads[x] += tall
	}
}

// lastColumn is where a shape of the n-th box has to end: of a packing and its mirror
// image one is enough.
func (c *columns) lastColumn(n int, shape [3]int) int {
	if n == 0 && c.halved {
		return (c.Size[c.first] + shape[c.first]) / 2
	}
	return c.Size[c.first]
}

// roomFrom tells whether the columns can still hold the boxes from the n-th on: what a
// column takes of them is a sum of some of their heights. That is asked of all of them,
// and of the highest alone, for which much of a nearly full column is lost. The set of reachable
// sums is that of boxes as high as the least of them so far or higher; it only grows as kinds come
// in.
func (c *columns) roomFrom(n int) bool {
	clear(c.reach)
	c.reach[0] = true
	need := 0
	left := make([]int, len(c.Kinds))
	for _, k := range c.order[n:] {
		left[k]++
	}
	for _, k := range c.byHeight {
		if left[k] == 0 {
			continue
		}
		for range left[k] {
			for v := c.Size[c.second]; v > 0; v-- {
				for _, s := range c.Kinds[k].Shapes {
					c.reach[v] = c.reach[v] || v >= s[c.second] && c.reach[v-s[c.second]]
				}
			}
		}
		s := c.Kinds[k].Shapes[0]
		need += left[k] * s[c.first] * s[c.second]
		if c.holds() < need {
			return false
		}
	}
	return true
}

// holds is how much the columns hold at most of boxes whose heights add up to reach.
func (c *columns) holds() int {
	for v := 1; v < len(c.most); v++ {
		c.most[v] = c.most[v-1]
		if c.reach[v] {
			c.most[v] = v
		}
	}
	sum := 0
	for _, l := range c.loads {
		sum += c.most[c.Size[c.second]-l]
	}
	return sum
}

// stack finds how high each rectangle lies, all columns being decided. Columns say that no one is
// too full, not that rectangles lie flat side by side.
func (c *columns) stack() bool {
	c.skyline = make([]int, c.Size[c.first])
	c.rest = make([]int, c.Size[c.first])
	for i := range c.placed {
		c.placed[i].laid = false
		for x := c.placed[i].from; x < c.placed[i].to; x++ {
			c.rest[x] += c.placed[i].tall
		}
	}
	return c.lay(0, 0, 0)
}

// lay puts one more rectangle on what lies below it: in order of height, then of number. Ordered by
// height and number no packing is tried twice.
func (c *columns) lay(done, low, number int) bool {
	if done == len(c.placed) {
		return true
	}
	if !c.tick() {
		return false
	}
	for i := range c.placed {
		r := &c.placed[i]
		if r.laid {
			continue
		}
		at := slices.Max(c.skyline[r.from:r.to])
		if at < low || at == low && i < number || !c.leavesRoom(*r, at) {
			continue
		}
		before := slices.Clone(c.skyline[r.from:r.to])
		for x := r.from; x < r.to; x++ {
			c.skyline[x], c.rest[x] = at+r.tall, c.rest[x]-r.tall
		}
		r.laid, r.low = true, at
		if c.lay(done+1, at, i) {
			return true
		}
		// Taken back, with the columns as they were.
		r.laid = false
		copy(c.skyline[r.from:r.to], before)
		for x := r.from; x < r.to; x++ {
			c.rest[x] += r.tall
		}
	}
	return false
}

// leavesRoom tells whether every column of a rectangle at a height still has room for
// what has to go into it.
func (c *columns) leavesRoom(r rectangle, at int) bool {
	for x := r.from; x < r.to; x++ {
		if at+c.rest[x] > c.Size[c.second] {
			return false
		}
	}
	return true
}
