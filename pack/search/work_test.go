package search

import (
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/search/internal/kit"
)

// What ends by counted work ends with the same, whoever does the work, and says that it did not
// come to its end by itself.
func TestWorkEndsASearchTheSameEverywhere(t *testing.T) {
	var first Result
	for i, workers := range []int{1, 3} {
		r, err := Fit(testContext, kit.WithPosts(), Settings{Work: 50_000_000, Workers: workers})
		require.NoError(t, err)
		require.Equal(t, Time, r.Stopped)
		if i == 0 {
			first = r
		}
		require.Equal(t, first, r)
	}
}

// A search that only decides ends with the proof: it looks for no layout that comes near.
func TestDecidesEndsWithTheProof(t *testing.T) {
	tooMany := kit.NoGaps(kit.Chest(300, 300, 300), kit.Boxes("a", 4, 200, 200, 200))
	r, err := Fit(testContext, tooMany, Settings{Decides: true})
	require.NoError(t, err)
	require.Equal(t, pack.ProvenNoFit, r.Verdict)
	require.Equal(t, Done, r.Stopped)
	require.Empty(t, r.Layouts)
	near, err := Fit(testContext, tooMany, Settings{})
	require.NoError(t, err)
	require.Equal(t, pack.ProvenNoFit, near.Verdict)
	require.NotEmpty(t, near.Layouts)
}
