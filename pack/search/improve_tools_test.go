package search

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// An improvement for tools ends where geom measures that they have their room, or changes
// nothing; others end in their way now and then.
func TestImprovementForTools(t *testing.T) {
	m := withTools(kit.WithPosts())
	rng := rand.New(rand.NewPCG(7, 8))
	mended, inTheWay, lacking := 0, 0, 0
	for range 1500 {
		spots := []model.Spot{m.RandomSpot(0, rng), m.RandomSpot(1, rng)}
		v := newImprover(m, spots)
		v.forTools()
		before, lacked := v.spare, v.lacking
		v.run(math.Inf(-1))
		if v.lacking {
			require.Equal(t, spots, v.spots)
			lacking++
			continue
		}
		require.True(t, roomy(m, v.spots), "%v", v.spots)
		if lacked {
			mended++
		} else {
			require.GreaterOrEqual(t, v.spare, before)
		}
		if plain, _ := raise(m, spots, new(model.Effort)); !roomy(m, plain) {
			inTheWay++
		}
	}
	t.Logf("%d mended, %d not, %d in the way without", mended, lacking, inTheWay)
	require.Greater(t, min(mended, lacking, inTheWay), 10)
}
