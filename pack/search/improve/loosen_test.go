package improve

import (
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// headOn is two pairs of boxes 100 by 110 by 40 mm in a chest 260 mm long, whose posts, 6 mm
// high, look at each other: three spares share 260 − 2·106 mm.
func headOn(across float64) (*model.Model, []model.Spot) {
	k := kit.Upright(kit.Boxes("block", 4, 100, 110, 40))
	k.Posts = []pack.Post{{Face: pack.Front, At: r2.Point{X: 55, Y: 20}, Diameter: 10, Height: 6}}
	m := modelOf(kit.NoGaps(kit.Chest(260, across, 80), k))
	towards := func(way float64) int {
		return slices.IndexFunc(m.Poses[0], func(p *model.Pose) bool { return p.Parts[1].Offset.X*way > 50 })
	}
	var spots []model.Spot
	for _, y := range []float64{across/2 - 64, across/2 + 64} {
		spots = append(
			spots,
			model.Spot{Pose: towards(1), At: r3.Vector{X: 66, Y: y, Z: 40}},
			model.Spot{Pose: towards(-1), At: r3.Vector{X: 194, Y: y, Z: 40}},
		)
	}
	return m, spots
}

// With posts beside one another three spares share 260 − 106 − 100 mm. Another plane for one
// pair alone gains nothing, for the other pair limits the spare as well.
func TestLoosenBreaksChainsThatAreAlike(t *testing.T) {
	m, spots := headOn(360)
	v := New(m, spots)
	v.Climb()
	require.InDelta(t, 16, v.Spare, 1e-6)
	require.False(t, v.flip())
	require.True(t, v.loosen())
	v.Climb()
	require.InDelta(t, 18, v.Spare, 1e-6)
	for i := range spots {
		require.Equal(t, spots[i].Pose, v.Spots[i].Pose)
	}
}

// Where one pair looks outwards, it has to turn.
func TestLoosenTurnsBoxes(t *testing.T) {
	m, spots := headOn(360)
	spots[0].Pose, spots[1].Pose = spots[1].Pose, spots[0].Pose
	v := New(m, spots)
	v.Climb()
	require.InDelta(t, 16, v.Spare, 1e-6)
	require.False(t, v.flip())
	v.Run(math.Inf(-1))
	require.InDelta(t, 18, v.Spare, 1e-6)
}

// In a chest too narrow for posts beside one another nothing changes: neither places nor spare.
func TestLoosenLeavesWhatItCannotBetter(t *testing.T) {
	m, spots := headOn(280)
	v := New(m, spots)
	v.Climb()
	before, spare := slices.Clone(v.Spots), v.Spare
	require.False(t, v.loosen())
	require.Equal(t, before, v.Spots)
	require.Equal(t, spare, v.Spare)
	v.Run(math.Inf(-1))
	require.Equal(t, spare, v.Spare)
}
