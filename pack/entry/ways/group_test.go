package ways

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/geom"
)

// The same ways are found with and without a look at what is around the barriers of an
// owner: to the last bit among flat solids, level and tilted.
func TestGroupsHideNothing(t *testing.T) {
	found := 0
	for seed := range uint64(120) {
		r := rand.New(rand.NewPCG(seed, 31))
		bodies := []geom.Box{block(3, 3, 3, 4.5, 4, 4), block(3, 3, 4, 3.5, 3.5, 4.25)}
		solids := randomCage(r)
		if seed%2 == 1 {
			solids = solids[:len(solids)-2]
			for i := range bodies {
				bodies[i] = tilted(bodies[i], 20*r.Float64())
			}
		}
		standing := [][]geom.Solid{nil}
		for i := 0; i < len(solids); i += 3 {
			var list []geom.Solid
			for _, s := range solids[i:min(i+3, len(solids))] {
				list = append(list, s)
			}
			standing = append(standing, list)
		}
		search := func(alone bool, legs int) []Way {
			m := NewMover(bodies, Place{Standing: standing, Room: block(0, 0, 0, 7, 7, 7)})
			f := (&finder{Mover: m, present: SetOf(len(standing)).Without(0)}).gather()
			for i := range f.gathered {
				if alone {
					f.gathered[i].around.halves = nil
				}
			}
			if legs == 2 {
				return f.twoLegs()
			}
			return f.threeLegs()
		}
		for legs := 2; legs <= MaxLegs; legs++ {
			list := search(false, legs)
			require.Equal(t, search(true, legs), list, "seed %d", seed)
			found += len(list)
		}
	}
	require.Greater(t, found, 100)
}
