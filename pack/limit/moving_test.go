package limit_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/limit"
)

// What a part that moves is swept through is cut into more pieces, or fewer, where it is larger
// by an error; a layout beside it still has the greatest common error that it bears: with that it
// fits by the judge, and with a little more no place of the box does, by the judge as well.
func TestCommonErrorBesideWhatIsCutOtherwise(t *testing.T) {
	for _, corners := range []int{8, 16, 48, 64} {
		t.Run(fmt.Sprint(corners), func(t *testing.T) { commonErrorBesideCam(t, corners) })
	}
}

func commonErrorBesideCam(t *testing.T, n int) {
	var corners []string
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		corners = append(corners, fmt.Sprintf("[%.2f, %.2f]", 600+300*cos, 150+200*sin))
	}
	f, err := frame.Read(strings.NewReader(`
format: 1
frame: cam
opening: {outline: [[0, 0], [400, 0], [400, 300], [0, 300]], across: 200}
moving: [{name: cam, turn: {about: [600, 150], from: -30, to: 60}, outline: [`+strings.Join(corners, ", ")+`], across: 100}]
ground: {clear: 100}
`), "frame.yaml")
	require.NoError(t, err)
	if n <= 16 {
		counts := map[int]bool{}
		for e := range 12 {
			counts[len(f.Obstacles(float64(e)))] = true
		}
		require.Greater(t, len(counts), 1, "the pieces are as many for every error: this tests nothing")
	}
	if n == 8 {
		require.Greater(t, len(f.Obstacles(0)), len(f.Obstacles(1)), "there are no fewer with an error: this tests nothing")
	}

	problem := bare(f, upright("box", 1, 200, 100, 100))
	layout := pack.Layout{Placements: []pack.Placement{{
		Box: "box", Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}, Centre: r3.Vector{X: 130, Z: 150},
	}}}
	e, at, err := limit.CommonError(problem, layout)
	require.NoError(t, err)
	require.Greater(t, e, 1.0)
	require.GreaterOrEqual(t, pack.Check(limit.Off(problem, e), at).Spare, 0.0)
	t.Logf("%.3f mm", e)
	// The cam is before the box, so the box is best at the rear: only its height is open.
	more := e + 0.02
	judge, best := pack.NewJudge(limit.Off(problem, more)), math.Inf(-1)
	tried := pack.Layout{Placements: slices.Clone(at.Placements)}
	there := tried.Placements[0].Centre.Z
	for z := there - 40; z <= there+40; z += 0.02 {
		tried.Placements[0].Centre = r3.Vector{X: 100 + more + more/2, Z: z}
		best = max(best, judge.Check(tried).Spare)
	}
	require.Negative(t, best)
	require.Greater(t, best, -0.2, "and it is only just too much")
}
