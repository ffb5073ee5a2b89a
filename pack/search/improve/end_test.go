package improve

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// A search that has to end gives an improvement a moment more, counted in work and not
// in time, and then takes what there is.
func TestImprovementEndsWithTheSearch(t *testing.T) {
	m := modelOf(kit.Slanted(3))
	rng := rand.New(rand.NewPCG(1, 2))
	from := []model.Spot{m.RandomSpot(0, rng), m.RandomSpot(1, rng), m.RandomSpot(2, rng)}
	ended := false
	m, err := model.New(m.Problem, model.Options{Stop: func() bool { return ended }})
	require.NoError(t, err)
	v := &Improver{m: m, grace: 1000}
	require.False(t, v.halt(1<<40), "the search goes on")
	ended = true
	require.False(t, v.halt(900))
	require.True(t, v.halt(900))
	require.True(t, v.halt(0))
	require.False(t, (&Improver{m: m}).halt(1<<40), "without a grace there is no end")

	spots, spare := Raise(m, from, new(model.Effort))
	require.GreaterOrEqual(t, spare, m.SharpLeft(from))
	require.InDelta(t, spare, m.SharpLeft(spots), 1e-9)
}
