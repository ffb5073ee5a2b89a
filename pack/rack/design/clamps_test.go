package design_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack/rack/design"
)

// clampBench is an opening without mounts, over rails that may carry clamps.
func clampBench(clamps string) drawn {
	return drawn{
		frame: "{format: 1, frame: bench, opening: {outline: [[0, 0], [420, 0], [420, 300], [0, 300]], sides: [floor, front, top, rear], open: [top], across: 260}, rails: [{name: cradle, path: [[-20, 90, -20], [440, 90, -20]], diameter: 28, mirror: true" + clamps + "}]}",
		pack:  "{format: 1, pack: two, boxes: [{name: block, count: 2, size: [150, 110, 120], mass: 7, stand: [upright]}]}",
	}
}

// Where there are no mounts a rack sits on clamps of rails that may carry them, and nothing else; where
// none may, that is said.
func TestRackOnClamps(t *testing.T) {
	got := seek(t, clampBench(", clamps: true").problem(t))
	require.True(t, got.Sound() && !got.Weak(), "%v %v", got.Err, got.Result.Why)
	require.NotEmpty(t, got.Result.Rack.Clamps)
	for _, tie := range got.Result.Rack.Ties() {
		_, ok := got.Result.Rack.Clamp(tie)
		require.True(t, ok, tie)
	}
	none := seek(t, clampBench("").problem(t))
	require.False(t, none.Sound())
	require.ErrorContains(t, none.Err, "clamps: true")
	require.NotErrorIs(t, none.Err, design.ErrNoRows)
}
