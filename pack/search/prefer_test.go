package search

import (
	"context"
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack/search/improve"
	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// Derived: a box of 100 fills the length and the height but for 10 mm each, and so fixes
// the spare at 5; a light and a heavy box have all the rest of the width to lie in. The
// heavy one has to end up 5 above the floor; the whole mass in the middle.
func TestPreferencesDecideWhatTheSpareLeavesOpen(t *testing.T) {
	f := kit.Opening(r1.Interval{Lo: -400, Hi: 400}, r2.Point{}, r2.Point{X: 110}, r2.Point{X: 110, Y: 110}, r2.Point{Y: 110})
	big, heavy, light := kit.Upright(kit.Boxes("big", 1, 100, 100, 100)), kit.Upright(kit.Boxes("heavy", 1, 40, 40, 40)), kit.Upright(kit.Boxes("light", 1, 40, 40, 40))
	big.Mass, heavy.Mass, light.Mass = 10, 20, 1
	p := kit.NoGaps(f, big, heavy, light)
	r := fit(t, p)
	require.InDelta(t, 5, r.Spare, 1e-6)
	places := r.Layouts[0].Layout.Placements
	require.InDelta(t, 25, places[1].Centre.Z, 1e-3, "heavy one low")
	require.InDelta(t, 25, places[2].Centre.Z, 1e-3, "light one low")
	centre := (10*places[0].Centre.Y + 20*places[1].Centre.Y + places[2].Centre.Y) / 31
	require.InDelta(t, 0, centre, 0.1, "mass in the middle")
}

// The first preference decides; with the order turned round the other does.
func TestRankFollowsTheOrder(t *testing.T) {
	p := kit.NoGaps(kit.Chest(300, 300, 300), kit.Boxes("b", 1, 100, 60, 40))
	by := &pool{m: modelOf(p)}
	low := candidate{spots: []model.Spot{{Pose: 0, At: r3.Vector{X: 150, Y: 50, Z: 50}}}, spare: 1, start: 2}
	mid := candidate{spots: []model.Spot{{Pose: 0, At: r3.Vector{X: 150, Y: 0, Z: 80}}}, spare: 1, start: 1}
	by.prefer = []improve.Preference{improve.Low, improve.Centred}
	require.Negative(t, by.rank(low, mid))
	by.prefer = []improve.Preference{improve.Centred, improve.Low}
	require.Positive(t, by.rank(low, mid))
	mid.spare = 0.5
	require.Negative(t, by.rank(low, mid), "the spare comes first")
	by.prefer = nil
	mid.spare = 1
	require.Positive(t, by.rank(low, mid), "nothing preferred: the earlier")
}

// Whatever is preferred, the spare is the same.
func TestPreferencesCostNoSpare(t *testing.T) {
	p := kit.NoGaps(kit.Chest(420, 300, 260), kit.Boxes("a", 3, 197, 120, 90), kit.Boxes("b", 2, 100, 80, 60))
	var spares []float64
	for _, prefer := range [][]improve.Preference{{}, {improve.Rows}, {improve.Centred, improve.Low}, improve.Preferences(), {improve.FewStands}} {
		r, err := Fit(context.Background(), p, Settings{AnyEntry: true, Prefer: prefer})
		require.NoError(t, err)
		spares = append(spares, r.Spare)
	}
	require.Less(t, slices.Max(spares)-slices.Min(spares), 1e-5)
	require.False(t, math.IsInf(spares[0], 0))
}
