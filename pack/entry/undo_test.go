package entry

import (
	"context"
	"math/bits"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestUndoAgainstAllSets compares with the search of every set of boxes that can come out,
// in every order and by all legs: how many are the fewest before each box, and which
// boxes never come out.
func TestUndoAgainstAllSets(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 501))
	fewest := map[int]int{}
	for n := range 200 {
		p := newPen(r, 5)
		boxes := p.boxes()
		s, fixed := p.stage(boxes)
		all, err := Undos(context.Background(), s.problem, s.layout)
		require.NoError(t, err)
		require.Len(t, all, len(boxes))
		b := newBrute(boxes, fixed, p.size)
		for i := range boxes {
			want, ok := b.before(i, 1<<len(boxes)-1)
			if !ok {
				require.Empty(t, all[i], "case %d, box %d", n, i)
				fewest[-1]++
				continue
			}
			require.Len(t, all[i], want+1, "case %d, box %d", n, i)
			fewest[want]++
			one, err := Undo(context.Background(), s.problem, s.layout, s.layout.Placements[i].Part())
			require.NoError(t, err)
			require.Len(t, one, want+1)
			for k, step := range one {
				require.Equal(t, step.Part(), all[i][k].Part(), "whatever was asked before")
			}
		}
	}
	t.Log(fewest)
	for _, out := range []int{-1, 0, 1, 2} {
		require.Greater(t, fewest[out], 20, "with %d first", out)
	}
}

// before counts the fewest boxes that come out, one after the other, before box i can.
func (b *brute) before(i, present int) (int, bool) {
	seen := map[int]bool{present: true}
	for level := []int{present}; len(level) > 0; {
		var next []int
		for _, mask := range level {
			if b.out(i, mask&^(1<<i), [3]int{}, 3, -1) {
				return bits.OnesCount(uint(present &^ mask)), true
			}
			for j := range b.boxes {
				less := mask &^ (1 << j)
				if j != i && less != mask && !seen[less] && b.out(j, less, [3]int{}, 3, -1) {
					seen[less] = true
					next = append(next, less)
				}
			}
		}
		level = next
	}
	return 0, false
}
