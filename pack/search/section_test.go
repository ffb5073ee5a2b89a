package search_test

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/search"
)

// tunnelled is a tall box and a low one below a tank that is given as keep-outs.
func tunnelled(t *testing.T, keepOuts string) pack.Problem {
	t.Helper()
	f, err := frame.Read(strings.NewReader("format: 1\nframe: van\nopening: {outline: [[0, 0], [240, 0], [240, 300], [0, 300]], across: 300}\nkeepouts:\n"+keepOuts), "frame.yaml")
	require.NoError(t, err)
	k, err := pack.Read(strings.NewReader(`format: 1
pack: two
boxes:
  - {name: tall, size: [100, 90, 190]}
  - {name: low, size: [120, 80, 100], posts: [{name: plus, face: top, at: [20, 20], diameter: 10, height: 8}]}
`), "pack.yaml")
	require.NoError(t, err)
	p, err := pack.NewProblem(f, k)
	require.NoError(t, err)
	return p
}

// A tank with a tunnel leaves the best layout the same, proven, whichever way it is written: as three
// boxes, as a section swept along, and as a section with its outline from the side.
func TestATunnelIsTheSameWhicheverWayItIsWritten(t *testing.T) {
	const section = "section: [[-150, 120], [-60, 120], [-60, 230], [60, 230], [60, 120], [150, 120], [150, 290], [-150, 290]]"
	var want search.Result
	for i, keepOuts := range []string{
		"  - {name: wall, box: {low: [-20, 60, 120], high: [260, 150, 290]}, mirror: true}\n  - {name: roof, box: {low: [-20, -150, 230], high: [260, 150, 290]}}\n",
		"  - {name: tank, " + section + ", along: [-20, 260]}\n",
		"  - {name: tank, " + section + ", outline: [[-20, 120], [260, 120], [260, 290], [-20, 290]]}\n",
	} {
		r, err := search.Fit(context.Background(), tunnelled(t, keepOuts), search.Settings{AnyEntry: true})
		require.NoError(t, err)
		require.True(t, r.Proven, "%s: %g of %g", keepOuts, r.Spare, r.Bound)
		if i == 0 {
			want = r
			require.Positive(t, r.Spare)
		}
		require.InDelta(t, want.Spare, r.Spare, 0.01, keepOuts)
		require.InDelta(t, want.Bound, r.Bound, 0.02, keepOuts)
	}
}
