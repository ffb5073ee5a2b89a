package search

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack/search/internal/kit"
)

// With hardly any memory for its open parts the proof takes the nearly finished parts
// first, and ends rather than taking more; what it says stays true.
func TestLittleMemoryForTheProof(t *testing.T) {
	p := kit.NoGaps(kit.Chest(420, 300, 260), kit.Boxes("a", 3, 197, 120, 90), kit.Boxes("b", 2, 100, 80, 60))
	full, err := Fit(context.Background(), p, Settings{AnyEntry: true})
	require.NoError(t, err)
	require.True(t, full.Proven)
	for _, memory := range []int{1, 20_000} {
		r, err := Fit(context.Background(), p, Settings{AnyEntry: true, Memory: memory})
		require.NoError(t, err)
		require.Equal(t, Done, r.Stopped)
		require.GreaterOrEqual(t, r.Bound, full.Spare-1e-6)
		require.LessOrEqual(t, r.Spare, full.Bound)
	}
}
