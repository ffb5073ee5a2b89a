package entry

import (
	"slices"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"rackwright/frame"
)

func TestLeastSubset(t *testing.T) {
	has := func(want ...int) func([]int) bool {
		return func(s []int) bool {
			return !slices.ContainsFunc(want, func(w int) bool { return !slices.Contains(s, w) })
		}
	}
	list := []int{1, 2, 3, 4, 5}
	assert.Empty(t, leastSubset(list, has()))
	assert.Equal(t, []int{2, 5}, leastSubset(list, has(2, 5)))
	assert.Equal(t, list, leastSubset(list, has(list...)))
	either := func(s []int) bool { return has(4, 5, 3)(s) || has(1, 2)(s) }
	assert.Equal(t, []int{1, 2}, leastSubset(list, either), "two, though thinning from the end leaves others")
	assert.Empty(t, leastSubset(nil, has()))
}

// Against all subsets, for any monotone question.
func TestLeastSubsetIsLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 8).Draw(t, "n")
		sets := rapid.SliceOfN(rapid.IntRange(0, 1<<n-1), 0, 4).Draw(t, "enough")
		enough := func(s []int) bool {
			mask := 0
			for _, i := range s {
				mask |= 1 << i
			}
			return len(s) == n || slices.ContainsFunc(sets, func(e int) bool { return e&^mask == 0 })
		}
		var list []int
		best := n
		for i := range n {
			list = append(list, i)
		}
		for mask := range 1 << n {
			var s []int
			for i := range n {
				if mask>>i&1 == 1 {
					s = append(s, i)
				}
			}
			if enough(s) {
				best = min(best, len(s))
			}
		}
		got := leastSubset(list, enough)
		assert.True(t, enough(got))
		assert.Len(t, got, best)
	})
}

func TestLeastSubsetOfALongList(t *testing.T) {
	var list []int
	for i := range 40 {
		list = append(list, i)
	}
	enough := func(s []int) bool { return len(s) >= 12 }
	assert.Len(t, leastSubset(list, enough), 12)
}

// The plates of a side cover it whole, in order, and are nowhere narrower than the
// opening, nor much wider.
func TestWallFollowsTheWidth(t *testing.T) {
	s := square(400)
	s.problem.Frame.Opening.Stations = []frame.Station{
		{Z: 0, Across: r1.Interval{Lo: -110, Hi: 110}},
		{Z: 100, Across: r1.Interval{Lo: -110, Hi: 110}},
		{Z: 300, Across: r1.Interval{Lo: -140, Hi: 140}},
	}
	opening := s.problem.Frame.Opening
	for side := range 4 {
		sum := 0.0
		for _, p := range wall(opening, side, 0) {
			x, y, z := p.Extent(v(1, 0, 0)), p.Extent(v(0, 1, 0)), p.Extent(v(0, 0, 1))
			sum += x.Length() + z.Length()
			lo, hi := opening.AcrossAt(z.Lo+1e-9), opening.AcrossAt(z.Hi-1e-9)
			assert.InDelta(t, max(lo.Hi, hi.Hi), y.Hi, 1e-6)
			assert.LessOrEqual(t, max(lo.Hi, hi.Hi)-min(lo.Hi, hi.Hi), stripWidth+1e-6)
			assert.Zero(t, x.Length()*z.Length(), "flat")
		}
		assert.InDelta(t, 400, sum, 1e-9, "side %d", side+1)
	}
	assert.Len(t, wall(opening, 0, 0), 1)
	assert.Len(t, wall(opening, 1, 0), 1+12+1)
	assert.Equal(t, 2.0, wall(opening, 0, 2)[0].Extent(v(0, 0, 1)).Hi, "nearer")
}
