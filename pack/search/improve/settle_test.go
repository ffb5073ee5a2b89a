package improve

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// Four boxes with slack around them line up: two planes for each axis and side, where
// scattered ones have four.
func TestRowsLineUp(t *testing.T) {
	p := kit.NoGaps(kit.Chest(230, 220, 60), kit.Upright(kit.Boxes("b", 4, 100, 100, 50)))
	m := modelOf(p)
	spots := []model.Spot{
		{Pose: 0, At: r3.Vector{X: 56, Y: 55, Z: 30}},
		{Pose: 0, At: r3.Vector{X: 58, Y: 164, Z: 30}},
		{Pose: 0, At: r3.Vector{X: 171, Y: 56, Z: 30}},
		{Pose: 0, At: r3.Vector{X: 173, Y: 165, Z: 30}},
	}
	spare := m.SharpLeft(spots)
	settled := Settle(m, []Preference{Rows}, spots, spare)
	require.GreaterOrEqual(t, m.SharpLeft(settled), spare-model.Rounding)
	require.Less(t, planesIn(m, settled), planesIn(m, spots))
	require.Equal(t, 2*(2+2+1), planesIn(m, settled))
}
