package certificate

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// goes tells by plain trial of all places whether boxes go in: the n-th of kind k and all
// that come after it.
func (b board) goes(taken map[[3]int]bool, k, n int) bool {
	switch {
	case k == len(b.kinds):
		return true
	case n == b.kinds[k].count:
		return b.goes(taken, k+1, 0)
	}
	for _, shape := range b.kinds[k].shapes {
		for at := range b.places(shape) {
			if !anyTaken(taken, at, shape) {
				take(taken, at, shape, true)
				if b.goes(taken, k, n+1) {
					return true
				}
				take(taken, at, shape, false)
			}
		}
	}
	return false
}

func (b board) places(shape [3]int) func(yield func([3]int) bool) {
	return block([3]int{}, [3]int{b.size[0] - shape[0] + 1, b.size[1] - shape[1] + 1, b.size[2] - shape[2] + 1})
}

// block is the cells of a block.
func block(at, size [3]int) func(yield func([3]int) bool) {
	return func(yield func([3]int) bool) {
		for x := range max(0, size[0]) {
			for y := range max(0, size[1]) {
				for z := range max(0, size[2]) {
					if !yield([3]int{at[0] + x, at[1] + y, at[2] + z}) {
						return
					}
				}
			}
		}
	}
}

func anyTaken(taken map[[3]int]bool, at, shape [3]int) bool {
	for c := range block(at, shape) {
		if taken[c] {
			return true
		}
	}
	return false
}

func take(taken map[[3]int]bool, at, shape [3]int, now bool) {
	for c := range block(at, shape) {
		taken[c] = now
	}
}

// Every small board is decided as by plain trial of all places, and colours deny nothing
// that goes in.
func TestTryAllAgainstPlainTrial(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 1))
	fit, not, coloured := 0, 0, 0
	for range 1000 {
		b := board{size: [3]int{2 + rng.IntN(3), 1 + rng.IntN(4), 1 + rng.IntN(3)}}
		for range 1 + rng.IntN(2) {
			var shapes [][3]int
			for range 1 + rng.IntN(3) {
				shapes = append(shapes, [3]int{1 + rng.IntN(b.size[0]), 1 + rng.IntN(b.size[1]), 1 + rng.IntN(b.size[2])})
			}
			b.add(1+rng.IntN(2), shapes)
		}
		err := b.tryAll(mostTries)
		if b.goes(map[[3]int]bool{}, 0, 0) {
			fit++
			require.ErrorContains(t, err, "the boxes go into", "%+v", b)
			for m := range mostBlock {
				require.Error(t, b.colour(m+1), "%+v", b)
			}
			continue
		}
		not++
		require.NoError(t, err, "%+v", b)
		if b.colour(1) == nil {
			coloured++
		}
	}
	require.Greater(t, fit, 200)
	require.Greater(t, not, 200)
	require.Greater(t, coloured, 50)
}

// Trials end, and say that they have not shown anything.
func TestTooMuchToTry(t *testing.T) {
	bricks := [][3]int{{1, 2, 4}, {1, 4, 2}, {2, 1, 4}, {2, 4, 1}, {4, 1, 2}, {4, 2, 1}}
	b := board{size: [3]int{11, 11, 11}}
	b.add(100, bricks)
	require.ErrorIs(t, b.tryAll(mostTries), ErrTooMuch)
	b = board{size: [3]int{6, 6, 6}}
	b.add(27, bricks)
	require.ErrorIs(t, b.tryAll(1000), ErrTooMuch)
	require.NoError(t, b.colour(2))
	for _, m := range []int{1, 3, 4, 5, 6} {
		require.Error(t, b.colour(m))
	}
	b = board{size: [3]int{6, 6, 6}}
	b.add(26, bricks)
	require.Error(t, b.colour(2))
}
