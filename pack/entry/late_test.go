package entry_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack/entry"
)

func TestLateOutlastsItsContextForAWhile(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	late := entry.Late(ctx, 2)
	for range 5 {
		require.NoError(t, late.Err(), "ctx has not ended")
	}
	cancel()
	require.NoError(t, late.Err())
	require.NoError(t, late.Err())
	require.ErrorIs(t, late.Err(), context.Canceled)
}
