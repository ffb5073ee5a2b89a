package entry

import (
	"fmt"
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

// pen draws boxes and what is fixed in a cube.
type pen struct {
	*rand.Rand
	size int
	slop int // how much a plate may fall short of its side
	gate int // the side that is open when all others are shut; none from 6 on
	row  int // the axis along which broad boxes stand one behind the other; none from 3 on
}

// newPen draws what kind of pen it is. Half are shut but for one gate, or more: a
// third has a row of boxes, with the gate at its end.
func newPen(r *rand.Rand, size int) pen {
	p := pen{Rand: r, size: size, slop: r.IntN(3) + 1, gate: r.IntN(12), row: r.IntN(9)}
	if p.row < 3 {
		p.gate = 2*p.row + r.IntN(2)
	}
	return p
}

// boxes draws up to six.
func (p pen) boxes() []cube {
	var list []cube
	for tries, want := 0, 1+p.IntN(6); len(list) < want && tries < 500; tries++ {
		var c cube
		for a := range 3 {
			c.low[a] = p.IntN(p.size)
			c.high[a] = min(p.size, c.low[a]+1+p.IntN(3))
			if p.row < 3 && a != p.row {
				c.low[a], c.high[a] = p.IntN(3), p.size-p.IntN(2)
			}
		}
		if !hitsAny(c, list) {
			list = append(list, c)
		}
	}
	return list
}

// plates draws what closes most of each side.
func (p pen) plates() []cube {
	var list []cube
	for side := range 6 {
		for range p.IntN(2) + 1 {
			depth, slop := [2]int{-1, 0}, p.slop
			if side%2 == 1 {
				depth = [2]int{p.size, p.size + 1}
			}
			if p.gate < 6 {
				slop = 0
			}
			if side != p.gate {
				list = append(list, p.slab(side/2, depth, slop))
			}
		}
	}
	return list
}

// shelves draws plates inside, clear of the boxes.
func (p pen) shelves(boxes []cube) []cube {
	var list []cube
	for range p.IntN(4) {
		at := p.IntN(p.size)
		if c := p.slab(p.IntN(3), [2]int{at, at + 1}, p.size/2); !hitsAny(c, boxes) {
			list = append(list, c)
		}
	}
	return list
}

// slab draws a plate across an axis that falls short of the pen's plates by up to slop
// at each end.
func (p pen) slab(axis int, depth [2]int, slop int) cube {
	var c cube
	for a := range 3 {
		c.low[a], c.high[a] = p.IntN(slop+1)-1, p.size+1-p.IntN(slop+1)
	}
	c.low[axis], c.high[axis] = depth[0], depth[1]
	return c
}

func hitsAny(c cube, list []cube) bool {
	for _, b := range list {
		if c.overlaps(b, [3]int{}) {
			return true
		}
	}
	return false
}

// sides are those of the opening, as plates without thickness.
func (p pen) sides() [4]cube {
	n := p.size
	return [4]cube{
		{[3]int{0, 0, 0}, [3]int{n, n, 0}},
		{[3]int{n, 0, 0}, [3]int{n, n, n}},
		{[3]int{0, 0, n}, [3]int{n, n, n}},
		{[3]int{0, 0, 0}, [3]int{0, n, n}},
	}
}

// stage builds the pen for the package, and returns all that is fixed in it, the
// closed sides as well.
func (p pen) stage(boxes []cube) (*stage, []cube) {
	s := square(float64(p.size)).across(0, float64(p.size))
	for i, b := range boxes {
		low, high := b.vectors()
		s.box(string(rune('a'+i)), low, high)
	}
	fixed := append(p.plates(), p.shelves(boxes)...)
	for i, f := range fixed {
		low, high := f.vectors()
		s.keepOut(fmt.Sprint("fixed ", i), low, high)
	}
	for n, side := range p.sides() {
		if p.IntN(3) > 0 {
			s.open(n + 1)
		} else {
			fixed = append(fixed, side)
		}
	}
	return s, fixed
}

// TestAgainstAllOrdersAndLegs compares with the search of everything: whether there
// is an order, and the order itself where there is just one.
func TestAgainstAllOrdersAndLegs(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 500))
	var none, unique int
	for n := range 500 {
		p := newPen(r, 5)
		boxes := p.boxes()
		s, fixed := p.stage(boxes)
		count, out := newBrute(boxes, fixed, p.size).orders(1<<len(boxes)-1, map[int]int{})
		a := s.plan(t)
		require.Equal(t, count > 0, a.GoesIn, "case %d: %v in %v", n, boxes, fixed)
		switch {
		case count == 0:
			none++
			checkStuck(t, s, boxes, fixed, a.Stuck)
		case count == 1 && len(boxes) > 1:
			unique++
			assert.Equal(t, inward(out), names(a.Order), "case %d", n)
		}
	}
	assert.Greater(t, none, 50)
	assert.Greater(t, unique, 50)
}

// inward names boxes that come out in this order, as they go in.
func inward(out []int) string {
	text := ""
	for _, i := range out {
		text = string(rune('a'+i)) + text
	}
	return text
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
