package improve

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
		v := New(m, spots)
		v.ForTools()
		before, lacked := v.Spare, v.Lacking
		v.Run(math.Inf(-1))
		if v.Lacking {
			require.Equal(t, spots, v.Spots)
			lacking++
			continue
		}
		require.True(t, roomy(m, v.Spots), "%v", v.Spots)
		if lacked {
			mended++
		} else {
			require.GreaterOrEqual(t, v.Spare, before)
		}
		if plain, _ := Raise(m, spots, new(model.Effort)); !roomy(m, plain) {
			inTheWay++
		}
	}
	t.Logf("%d mended, %d not, %d in the way without", mended, lacking, inTheWay)
	require.Greater(t, min(mended, lacking, inTheWay), 10)
}
