package search

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack/search/improve"
	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// A start without posts gives a layout with more to spare than the best answer, or none; what is
// dressed anew has more than it had as well.
func TestUndressedBeatsTheBest(t *testing.T) {
	r := runOf(testContext, kit.InRow(150, 120), Settings{}.withDefaults())
	r.bare = r.m.Bare()
	rng := rand.New(rand.NewPCG(11, 12))
	undressed, redressed := 0, 0
	for range 300 {
		v := improve.New(r.m, []model.Spot{r.m.RandomSpot(0, rng), r.m.RandomSpot(1, rng)})
		v.ForTools()
		c := r.improved(0, v, new(model.Effort))
		if v.Lacking || c.spare < 0 {
			continue
		}
		better := func(to candidate) int {
			if to.spots == nil {
				return 0
			}
			require.Greater(t, to.spare, c.spare)
			require.True(t, kit.Roomy(r.m.Problem, 30, 80, r.m.Layout(to.spots)))
			return 1
		}
		r.pool.best = []candidate{c}
		to, bare := r.undressed(candidatesPerStart, c, rng, new(model.Effort))
		require.InDelta(t, bare.spare, r.bare.SharpLeft(bare.spots), 1e-9)
		undressed += better(to)
		redressed += better(r.redressed(candidatesPerStart+candidatesPerStart/2, c, new(model.Effort)))
	}
	t.Logf("%d undressed, %d redressed", undressed, redressed)
	require.Greater(t, min(undressed, redressed), 5)
}
