package design_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/rack/judge"
)

// The trail example has a post on the end of each box: with these on the side of the seat post's
// upright no rack goes in, with the boxes turned half round one does. The judge imports no designer.
func TestBoxesTurnedHalfRound(t *testing.T) {
	p := example(t, "trail")
	got := seek(t, p)
	require.True(t, got.Sound() && !got.Weak(), got.Result.Why)
	report, err := judge.Judge(p, got.Layout, got.Result.Rack, judge.Settings{})
	require.NoError(t, err)
	require.Empty(t, report.Violations)
	require.True(t, pack.Check(p, got.Layout).Holds())
}
