package design_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/design"
	"rackwright/pack/rack/rackkit"
)

// Whole levels move towards where the judge finds less wrong, as far as the layout holds, and stop
// where a rack is sound. This one wants block 3, and with it its level, 18 mm farther back.
func TestSettle(t *testing.T) {
	const dir = "../../../testdata/trail"
	p, l := problem(t, dir, "frame.yaml", "pack.yaml"), rackkit.Layout(t, dir+"/rack-layout.yaml")
	tried := 0
	fake := func(now pack.Layout) (design.Result, error) {
		tried++
		off := math.Abs(now.Placements[2].Centre.X - l.Placements[2].Centre.X + 18)
		if off < 0.1 {
			return design.Result{Rack: &rack.Rack{}}, nil
		}
		return design.Result{Rack: &rack.Rack{}, Verdict: design.Verdict{Violations: 1, Off: off}}, nil
	}
	anywhere := func(pack.Layout) bool { return true }
	got := design.Settle(t.Context(), p, l, anywhere, fake)
	require.True(t, got.Sound())
	for i, at := range got.Layout.Placements {
		move := 0.0
		if i >= 2 {
			move = -18
		}
		require.InDelta(t, l.Placements[i].Centre.X+move, at.Centre.X, 1e-9, "%v", at.Part())
	}
	nowhere := func(pack.Layout) bool { return false }
	stays := design.Settle(t.Context(), p, l, nowhere, fake)
	require.False(t, stays.Sound())
	require.Equal(t, l, stays.Layout)
	require.Less(t, tried, 40)
}

// With posts up, only stands that have all posts on top are left, and kinds without such keep theirs.
func TestPostsUp(t *testing.T) {
	p := problem(t, "../../../cmd/rackwright/starter", "frame.yaml", "pack.yaml")
	before := slices.Clone(p.Pack.Kinds[0].Stands)
	up := design.PostsUp(p)
	require.Equal(t, []pack.Stand{pack.Upright}, up.Pack.Kinds[0].Stands)
	require.Equal(t, p.Pack.Kinds[1].Stands, up.Pack.Kinds[1].Stands, "a charger without posts stands as it may")
	require.Equal(t, before, p.Pack.Kinds[0].Stands, "the pack that was given stays")
}
