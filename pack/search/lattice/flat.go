package lattice

import (
	"cmp"
	"slices"
)

// Rectangles are placed in two stages, as Clautiaux, Jouglet, Carlier & Moukrim do
// (Computers & Operations Research 35 (2008)): first where each begins along one axis,
// column by column, so that no column holds more than its height and not more stays
// empty than has to; then, for each such arrangement, how high each lies.

// rectangle is a box with its place along the first axis.
type rectangle struct {
	place     Place
	from, to  int // columns
	low, tall int
	laid      bool
}

// columns is one search of the two stages.
type columns struct {
	Problem
	first, second int   // axes
	order         []int // of kinds
	halved        bool  // the first kind begins no further than where its mirror image would
	clock
	counts        []int
	waste         int // that may still be left
	placed        []rectangle
	skyline, rest []int // by column: how high it is filled, what has still to go in
}

// solveFlat solves a problem in which every box takes the whole of one axis. Which of
// the other two is cut into columns, and which rectangles are tried first, matters by
// orders of magnitude and cannot be told beforehand, so all variants have their turns,
// with more and more steps.
func solveFlat(p Problem, axis int, left clock) (Verdict, []Place) {
	waste := p.Size[(axis+1)%3] * p.Size[(axis+2)%3]
	for _, k := range p.Kinds {
		waste -= k.Count * k.Shapes[0][(axis+1)%3] * k.Shapes[0][(axis+2)%3]
	}
	if waste < 0 {
		return CannotFit, nil
	}
	for turn := firstTurn; left.steps > 0; turn *= nextTurn {
		for variant := range 4 {
			c := p.newColumns(axis, variant, waste)
			c.clock = clock{min(turn, left.steps), left.ended}
			left.steps -= c.steps
			found := c.column(0)
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

const (
	firstTurn = 100_000 // steps
	nextTurn  = 10      // times as many in the next
)

func (p Problem) newColumns(axis, variant, waste int) *columns {
	c := &columns{Problem: p, waste: waste, first: (axis + 1) % 3, second: (axis + 2) % 3}
	if variant%2 == 1 {
		c.first, c.second = c.second, c.first
	}
	c.order = sortedKinds(p.Kinds, func(s [3]int) int {
		if variant < 2 {
			return s[c.first] * s[c.second]
		}
		return s[c.second]
	})
	for _, k := range p.Kinds {
		c.counts = append(c.counts, k.Count)
	}
	k := p.Kinds[c.order[0]]
	c.halved = k.Count == 1 && len(k.Shapes) == 1
	return c
}

// sortedKinds lists kinds by what large makes of their first shape, greatest first.
func sortedKinds(kinds []Kind, large func(shape [3]int) int) []int {
	order := make([]int, len(kinds))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Compare(large(kinds[j].Shapes[0]), large(kinds[i].Shapes[0]))
	})
	return order
}

func (c *columns) places() []Place {
	var list []Place
	for _, r := range c.placed {
		r.place.Low[c.first], r.place.Low[c.second] = r.from, r.low
		list = append(list, r.place)
	}
	return list
}

// column decides which rectangles begin at column x.
func (c *columns) column(x int) bool {
	if x == c.Size[c.first] {
		return !slices.ContainsFunc(c.counts, func(n int) bool { return n > 0 }) && c.stack()
	}
	load := 0
	for _, r := range c.placed {
		if r.to > x {
			load += r.tall
		}
	}
	return c.begin(x, c.Size[c.second]-load, 0, 0)
}

// begin adds rectangles that begin at column x into the free height, of the kinds from
// the n-th in order on and of that one from shape s on, or goes on with the next column.
func (c *columns) begin(x, free, n, s int) bool {
	if !c.tick() {
		return false
	}
	for ; n < len(c.order); n, s = n+1, 0 {
		k := c.order[n]
		if c.counts[k] == 0 {
			continue
		}
		for ; s < len(c.Kinds[k].Shapes); s++ {
			shape := c.Kinds[k].Shapes[s]
			if shape[c.second] > free || x+shape[c.first] > c.lastColumn(n, shape) {
				continue
			}
			c.counts[k]--
			c.placed = append(c.placed, rectangle{
				place: Place{Kind: k, Shape: s}, from: x, to: x + shape[c.first], tall: shape[c.second],
			})
			if c.begin(x, free-shape[c.second], n, s) {
				return true
			}
			c.placed = c.placed[:len(c.placed)-1]
			c.counts[k]++
		}
	}
	if free > c.waste {
		return false
	}
	c.waste -= free
	if c.column(x + 1) {
		return true
	}
	c.waste += free
	return false
}

// lastColumn is where a shape of the n-th kind in order has to end: of a packing and its
// mirror image one is enough.
func (c *columns) lastColumn(n int, shape [3]int) int {
	if n == 0 && c.halved {
		return (c.Size[c.first] + shape[c.first]) / 2
	}
	return c.Size[c.first]
}

// stack finds how high each rectangle lies, all columns being decided.
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

// lay puts one more rectangle on what lies below it: in order of height, then of number.
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
