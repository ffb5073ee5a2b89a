package secondjudge_test

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/internal/secondjudge"
)

// The judge itself, on figures worked out by hand: a 100 mm cube in an opening with a
// tube, whose axis is 30 and 40 mm from the cube's edge, and with a pocket that is cut
// in two.
func TestSecondJudgeByHand(t *testing.T) {
	judge := secondjudge.Start(t)
	frameFile := []byte(`
format: 1
frame: hand
accuracy: 1
opening: {outline: [[-200, -200], [200, -200], [200, 200], [60, 200], [40, 100], [-40, 100], [-60, 200], [-200, 200]], across: 300}
rails: [{name: tube, path: [[80, -500, -90], [80, 500, -90]], diameter: 1 in}]
`)
	packFile := []byte(`
format: 1
pack: hand
gaps: {above: 6, wall: 2, rail: 5}
boxes: [{name: cube, size: [100, 100, 100], accuracy: 3}]
`)
	problem := secondjudge.Problem(t, frameFile, packFile)
	at := func(x, y, z float64) pack.Layout {
		return pack.Layout{Placements: []pack.Placement{{
			Box: "cube", Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}, Centre: r3.Vector{X: x, Y: y, Z: z},
		}}}
	}
	a := judge.Ask(t, frameFile, packFile, problem, at(0, 0, 0))
	require.InDelta(t, 50-12.7-5, *a.Left["cube 1|tube"], 1e-12)
	require.InDelta(t, 50-2, *a.Left["cube 1|outline"], 1e-12, "to the pocket")
	require.InDelta(t, 100-2, *a.Left["cube 1|width"], 1e-12)
	a = judge.Ask(t, frameFile, packFile, problem.AtWorst(), at(0, 0, 0))
	require.InDelta(t, 50-2-1-1.5, *a.Left["cube 1|outline"], 1e-12)
	require.NotEmpty(t, judge.Ask(t, frameFile, packFile, problem, pack.Layout{}).Faults)

	// Judges that disagree are told of.
	layout := at(0, 0, 0)
	report := judge.Agree(t, frameFile, packFile, problem, layout)
	wrong := judge.Ask(t, frameFile, packFile, problem, at(0, 2e-6, 0))
	require.Error(t, secondjudge.Compare(problem, report, wrong))
	near := judge.Ask(t, frameFile, packFile, problem, at(0, 1e-7, 0))
	require.NoError(t, secondjudge.Compare(problem, report, near))
}
