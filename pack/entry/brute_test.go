package entry

import (
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
)

// cube is a block between whole numbers.
type cube struct{ low, high [3]int }

func (c cube) vectors() (low, high r3.Vector) {
	return v(float64(c.low[0]), float64(c.low[1]), float64(c.low[2])), v(float64(c.high[0]), float64(c.high[1]), float64(c.high[2]))
}

// overlaps tells whether c, displaced by half of d, shares inner points with b. A
// plate without thickness counts when it is inside.
func (c cube) overlaps(b cube, d [3]int) bool {
	for a := range 3 {
		if 2*c.low[a]+d[a] >= 2*b.high[a] || 2*b.low[a] >= 2*c.high[a]+d[a] {
			return false
		}
	}
	return true
}

// brute looks at every order and at every way with stops at whole numbers, stepping
// by halves. Where all corners are whole and no air is asked for, that misses none.
// It shares nothing with the package.
type brute struct {
	boxes, fixed []cube
	size         int
	seen         []map[[3]int]int // for each box: by displacement, a bit for each box it hits, and one for what is fixed
}

func newBrute(boxes, fixed []cube, size int) *brute {
	b := &brute{boxes: boxes, fixed: fixed, size: size}
	for range boxes {
		b.seen = append(b.seen, map[[3]int]int{})
	}
	return b
}

func (b *brute) hits(i int, d [3]int) int {
	if mask, ok := b.seen[i][d]; ok {
		return mask
	}
	mask := 0
	for j, other := range b.boxes {
		if j != i && b.boxes[i].overlaps(other, d) {
			mask |= 1 << j
		}
	}
	for _, f := range b.fixed {
		if b.boxes[i].overlaps(f, d) {
			mask |= 1 << len(b.boxes)
		}
	}
	b.seen[i][d] = mask
	return mask
}

func (b *brute) out(i, present int, from [3]int, legs, last int) bool {
	present |= 1 << len(b.boxes)
	for k := range 6 {
		if last >= 0 && k/2 == last/2 {
			continue
		}
		at := from
		for steps := 0; b.hits(i, at)&present == 0; steps++ {
			if steps > 4*b.size+4 {
				return true
			}
			if legs > 1 && steps%2 == 0 && b.out(i, present, at, legs-1, k) {
				return true
			}
			at[k/2] += 1 - k%2*2
		}
	}
	return false
}

// orders counts the orders in which the boxes present can come out, and gives one.
func (b *brute) orders(present int, memory map[int]int) (count int, first []int) {
	if present == 0 {
		return 1, nil
	}
	if n, ok := memory[present]; ok && n == 0 {
		return 0, nil
	}
	for i := range b.boxes {
		if present>>i&1 == 0 || !b.out(i, present&^(1<<i), [3]int{}, 3, -1) {
			continue
		}
		if n, rest := b.orders(present&^(1<<i), memory); n > 0 {
			count += n
			first = append([]int{i}, rest...)
		}
	}
	memory[present] = count
	return count, first
}

// pen draws up to six boxes in a cube, plates that close most of it, and shelves. A
// third of the pens have broad boxes one behind the other.
func pen(r *rand.Rand, size int) (boxes, fixed []cube) {
	draw := func(slop int) (int, int) {
		lo, hi := r.IntN(slop+1)-1, size+1-r.IntN(slop+1)
		return lo, hi
	}
	slop, gate := r.IntN(3)+1, r.IntN(12) // half of the pens are shut but for one gate
	thin := r.IntN(9)
	if thin < 3 {
		gate = 2*thin + r.IntN(2)
	}
	for tries, want := 0, 1+r.IntN(6); len(boxes) < want && tries < 500; tries++ {
		var c cube
		for a := range 3 {
			c.low[a] = r.IntN(size)
			c.high[a] = min(size, c.low[a]+1+r.IntN(3))
			if thin < 3 && a != thin {
				c.low[a], c.high[a] = r.IntN(3), size-r.IntN(2)
			}
		}
		if !hitsAny(c, boxes) {
			boxes = append(boxes, c)
		}
	}
	for side := range 6 {
		if side == gate {
			continue
		}
		for range r.IntN(2) + 1 {
			c := cube{}
			a := side / 2
			c.low[a], c.high[a] = -1, 0
			if side%2 == 1 {
				c.low[a], c.high[a] = size, size+1
			}
			c.low[(a+1)%3], c.high[(a+1)%3] = draw(slop)
			c.low[(a+2)%3], c.high[(a+2)%3] = draw(slop)
			if gate < 6 {
				c.low[(a+1)%3], c.high[(a+1)%3], c.low[(a+2)%3], c.high[(a+2)%3] = -1, size+1, -1, size+1
			}
			fixed = append(fixed, c)
		}
	}
	for range r.IntN(4) {
		a := r.IntN(3)
		c := cube{}
		c.low[a] = r.IntN(size)
		c.high[a] = c.low[a] + 1
		c.low[(a+1)%3], c.high[(a+1)%3] = draw(size / 2)
		c.low[(a+2)%3], c.high[(a+2)%3] = draw(size / 2)
		if !hitsAny(c, boxes) {
			fixed = append(fixed, c)
		}
	}
	return boxes, fixed
}

func hitsAny(c cube, list []cube) bool {
	for _, b := range list {
		if c.overlaps(b, [3]int{}) {
			return true
		}
	}
	return false
}

// TestAgainstAllOrdersAndLegs compares with the search of everything: whether there
// is an order, and the order itself where there is just one.
func TestAgainstAllOrdersAndLegs(t *testing.T) {
	const size = 5
	r := rand.New(rand.NewPCG(4, 500))
	var none, unique int
	for n := range 500 {
		boxes, fixed := pen(r, size)
		s := square(size)
		sides := [][3][2]int{ // x, y, z
			{{0, size}, {0, size}, {0, 0}},
			{{size, size}, {0, size}, {0, size}},
			{{0, size}, {0, size}, {size, size}},
			{{0, 0}, {0, size}, {0, size}},
		}
		for side := range 4 {
			if r.IntN(3) > 0 {
				s.open(side + 1)
				continue
			}
			p := sides[side]
			fixed = append(fixed, cube{[3]int{p[0][0], p[1][0], p[2][0]}, [3]int{p[0][1], p[1][1], p[2][1]}})
		}
		s.across(0, size)
		for i, b := range boxes {
			low, high := b.vectors()
			s.box(string(rune('a'+i)), low, high)
		}
		for _, f := range fixed {
			if low, high := f.vectors(); high.Sub(low).X*high.Sub(low).Y*high.Sub(low).Z > 0 {
				s.keepOut("fixed", low, high)
			}
		}
		count, out := newBrute(boxes, fixed, size).orders(1<<len(boxes)-1, map[int]int{})
		a := s.plan(t)
		require.Equal(t, count > 0, a.GoesIn, "case %d: %v in %v", n, boxes, fixed)
		switch count {
		case 0:
			none++
			checkStuck(t, s, boxes, fixed, a.Stuck)
		case 1:
			unique += min(1, len(boxes)-1) // of one box the order is no news
			want := ""
			for _, i := range out {
				want = string(rune('a'+i)) + want
			}
			assert.Equal(t, want, names(a.Order), "case %d", n)
		}
	}
	t.Log("none", none, "unique", unique)
	assert.Greater(t, none, 50)
	assert.Greater(t, unique, 50)
}

// checkStuck: the boxes named are stuck among themselves and what is fixed, and with
// any one of them away one can leave.
func checkStuck(t *testing.T, s *stage, boxes, fixed []cube, stuck Stuck) {
	t.Helper()
	b := newBrute(boxes, fixed, 5)
	all := 0
	for i, p := range s.layout.Placements {
		for _, named := range stuck.Boxes {
			if named == (pack.Part{Box: p.Box, Number: p.Number}) {
				all |= 1 << i
			}
		}
	}
	require.NotZero(t, all)
	for i := range boxes {
		if all>>i&1 == 1 {
			assert.False(t, b.out(i, all&^(1<<i), [3]int{}, 3, -1))
			count, _ := b.orders(all&^(1<<i), map[int]int{})
			assert.NotZero(t, count)
		}
	}
}
