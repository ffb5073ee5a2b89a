package search_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/internal/secondjudge"
	"rackwright/pack/search"
)

// Bounds beside a part that moves against the second judge: of a grid of places of the one box
// none has more to spare than is proven to be possible. The second judge, which reads movements
// anew, is asked about the best of them, and about the layout found, and agrees. The box of
// every other problem is so tall that often there is no room. RACKWRIGHT_MOVING=N looks at N random
// problems instead of a few.
func TestBoundsBesideWhatMoves(t *testing.T) {
	judge := secondjudge.Start(t)
	problems := 4
	if n, err := strconv.Atoi(os.Getenv("RACKWRIGHT_MOVING")); err == nil {
		problems = n
	}
	refused, bounded := 0, 0
	for seed := range uint64(problems) {
		frameFile, packFile := besideArm(rand.New(rand.NewPCG(seed, 29)), seed%2 == 0)
		problem := secondjudge.Problem(t, frameFile, packFile)
		ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
		r, err := search.Fit(ctx, problem, search.Settings{Layouts: 1, AnyEntry: true})
		cancel()
		require.NoError(t, err)
		best, spare := bestOfGrid(problem)
		second := judge.Agree(t, frameFile, packFile, problem, best)
		require.InDelta(t, spare, second.Spare, 1e-6)
		require.LessOrEqual(t, spare, r.Bound+1e-6, "seed %d: a place has more to spare than is proven to be possible\n%s%s", seed, frameFile, packFile)
		if len(r.Layouts) > 0 {
			found := judge.Agree(t, frameFile, packFile, problem, r.Layouts[0].Layout)
			require.LessOrEqual(t, found.Spare, r.Bound+1e-6)
			require.GreaterOrEqual(t, found.Spare, min(0, spare)-1e-6)
		}
		if r.Bound < 0 {
			refused++
		}
		if r.Bound < 1000 {
			bounded++
		}
	}
	t.Logf("%d problems, %d with a bound, %d proven not to fit", problems, bounded, refused)
	require.Positive(t, refused, "nothing was proven not to fit: this tests little")
}

// besideArm is an opening with an arm that turns into it and one box, too large or not.
func besideArm(rng *rand.Rand, large bool) (frameFile, packFile []byte) {
	between := func(low, high int) int { return low + rng.IntN(high-low+1) }
	tall := between(90, 115)
	if large {
		tall = between(130, 150)
	}
	pivot, thick := between(20, 70), between(5, 12)
	frameFile = fmt.Appendf(nil, `
format: 1
frame: arm
opening: {outline: [[0, 0], [90, 0], [90, 200], [0, 200]], across: 100}
moving: [{name: arm, turn: {about: [0, %d], from: %d, to: %d}, outline: [[0, %d], [%d, %d], [%d, %d], [0, %d]], across: 90}]
`, pivot, -between(2, 15), between(2, 15), pivot-thick, between(70, 110), pivot-thick, between(70, 110), pivot+thick, pivot+thick)
	packFile = fmt.Appendf(nil, `
format: 1
pack: one
gaps: {wall: 0, keepout: 0}
boxes: [{name: box, size: [%d, 80, %d]}]
`, between(50, 75), tall)
	return frameFile, packFile
}

// bestOfGrid is the best of places a few millimetres apart all over the opening.
func bestOfGrid(problem pack.Problem) (best pack.Layout, spare float64) {
	const step = 3
	half := problem.Pack.Kinds[0].Size.Mul(0.5)
	b := problem.Frame.Opening.Outline.Bounds()
	first := true
	for x := b.X.Lo + half.X; x <= max(b.X.Hi-half.X, b.X.Lo+half.X); x += step {
		for z := b.Y.Lo + half.Z; z <= max(b.Y.Hi-half.Z, b.Y.Lo+half.Z); z += step {
			at := pack.Placement{Box: "box", Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}, Centre: r3.Vector{X: x, Z: z}}
			layout := pack.Layout{Placements: []pack.Placement{at}}
			if s := pack.Check(problem, layout).Spare; first || s > spare {
				best, spare, first = layout, s, false
			}
		}
	}
	return best, spare
}
