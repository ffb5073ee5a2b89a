package start

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// What is cut from a chest goes back into one a little larger, and leaves between all of its
// pieces, and to the walls, the spare that it was sliced for.
func TestSlicingFindsWhatWasCut(t *testing.T) {
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 1))
		whole := r3.Vector{X: 700, Y: 500, Z: 400}
		var kinds []pack.Kind
		const spare = 4
		for k, v := range cutUp(whole, 5, rng) {
			kinds = append(kinds, kit.Boxes(fmt.Sprint("piece ", k), 1, v.X-spare, v.Y-spare, v.Z-spare))
		}
		m := modelOf(kit.NoGaps(kit.Chest(whole.X+20, whole.Y+20, whole.Z+20), kinds...))
		s := newSlicing(m, spare, rng)
		for tries := 0; s.anneal(20_000, new(model.Effort)) > 0; tries++ {
			require.Less(t, tries, 40, "seed %d", seed)
			s = newSlicing(m, spare, rng)
		}
		require.GreaterOrEqual(t, m.SharpLeft(s.spots()), spare-1e-9, "seed %d", seed)
	}
}

// cutUp cuts a chest into n pieces, each by a cut through one that is there.
func cutUp(whole r3.Vector, n int, rng *rand.Rand) []r3.Vector {
	pieces := []r3.Vector{whole}
	for len(pieces) < n {
		i, axis := rng.IntN(len(pieces)), rng.IntN(3)
		long := geom.Component(pieces[i], axis)
		if long < 100 {
			continue
		}
		cut := long * (0.3 + 0.4*rng.Float64())
		pieces = append(pieces, geom.WithComponent(pieces[i], axis, cut))
		pieces[i] = geom.WithComponent(pieces[i], axis, long-cut)
	}
	return pieces
}

// With gaps to the walls and between boxes that differ, boxes in their parts keep them.
func TestSlicedBoxesKeepTheirGaps(t *testing.T) {
	p := kit.NoGaps(kit.Chest(300, 300, 300), kit.Boxes("a", 3, 100, 80, 60), kit.Boxes("b", 2, 90, 70, 50))
	p.Pack.Gaps = pack.Gaps{Beside: 3, Above: 7, Wall: 5}
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 2))
		m := modelOf(p)
		s := newSlicing(m, 6, rng)
		require.Zero(t, s.anneal(100_000, new(model.Effort)))
		require.GreaterOrEqual(t, m.SharpLeft(s.spots()), 6-1e-9)
	}
}

// A step that is undone leaves everything as it was, and every step leaves cuts that join two
// parts each: two boxes, or what other cuts joined.
func TestStepsOfASlicing(t *testing.T) {
	m := modelOf(kit.NoGaps(kit.Chest(300, 300, 300), kit.Boxes("a", 4, 100, 80, 60), kit.Boxes("b", 3, 90, 70, 50)))
	s := newSlicing(m, 0, rand.New(rand.NewPCG(5, 6)))
	for range 5000 {
		cuts, shape := append([]int(nil), s.cuts...), append([]int(nil), s.shape...)
		c := s.change()
		require.True(t, s.wellFormed())
		if s.rng.IntN(2) == 0 {
			c.undo()
			require.Equal(t, cuts, s.cuts)
			require.Equal(t, shape, s.shape)
		}
	}
	used := map[int]bool{}
	for _, c := range s.cuts {
		used[c] = true
	}
	for i := range m.Boxes {
		require.True(t, used[i])
	}
}
