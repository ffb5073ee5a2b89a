package search

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/search/internal/kit"
)

// A body inside a drum that needs 5 mm around it proves nothing of boxes that reach into the drum
// itself, so no bound may be below −5 mm, less the 0.01 mm that the body is smaller by: here every layout is
// far shorter than that, and only that nothing fits is known.
func TestNoBoundBelowWhatBodiesInsideRoundOnesProve(t *testing.T) {
	p := kit.NoGaps(kit.Chest(300, 200, 300), kit.Upright(kit.Boxes("b", 1, 200, 150, 200)))
	p.Frame.KeepOuts = []frame.KeepOut{{Name: "drum", Round: &frame.Round{
		From: r3.Vector{X: 150, Y: 20, Z: 150}, To: r3.Vector{X: 150, Y: 180, Z: 150}, Diameter: 180,
	}}}
	p.Pack.Gaps.KeepOut = 5
	r := fit(t, p)
	require.Equal(t, pack.ProvenNoFit, r.Verdict)
	require.Less(t, r.Spare, -20.0)
	require.GreaterOrEqual(t, r.Bound, -5.01)
}
