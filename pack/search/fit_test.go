package search

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"rackwright/pack"
	"rackwright/pack/search/improve"
	"rackwright/pack/search/internal/kit"
)

var testContext = context.Background()

func TestCancelledBeforeItBegan(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	r, err := Fit(ctx, kit.Slanted(3), Settings{})
	require.NoError(t, err)
	require.Equal(t, Interrupted, r.Stopped)
}

func TestDeadlineGivesTheBestSoFar(t *testing.T) {
	ctx, cancel := context.WithTimeout(context.Background(), 300*time.Millisecond)
	defer cancel()
	r, err := Fit(ctx, kit.Slanted(6), Settings{})
	require.NoError(t, err)
	require.NotEmpty(t, r.Layouts)
	require.GreaterOrEqual(t, r.Bound, r.Spare)
}

func TestNoProblem(t *testing.T) {
	_, err := Fit(context.Background(), pack.Problem{}, Settings{})
	require.ErrorIs(t, err, ErrProblem)
}

// The result depends on the problem and the seed, not on the workers.
func TestWorkersDoNotMatter(t *testing.T) {
	p := kit.Slanted(2)
	p.Frame.Rails, p.Frame.KeepOuts = nil, nil
	one, err := Fit(context.Background(), p, Settings{Workers: 1, Seed: 5})
	require.NoError(t, err)
	for _, n := range []int{2, 5} {
		more, err := Fit(context.Background(), p, Settings{Workers: n, Seed: 5})
		require.NoError(t, err)
		require.Equal(t, fmt.Sprintf("%+v", one), fmt.Sprintf("%+v", more))
	}
}

// Layouts offered differ as a builder sees it, and the best comes first.
func TestLayoutsDiffer(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	told := 0
	r := runOf(ctx, kit.Slanted(4), Settings{Layouts: 4, Progress: func(Progress) {
		if told++; told == 8 { // some dozens of starts, whatever the machine
			cancel()
		}
	}}.withDefaults())
	r.search()
	require.Greater(t, len(r.pool.best), 1)
	for i, a := range r.pool.best {
		for _, b := range r.pool.best[:i] {
			require.GreaterOrEqual(t, b.spare, a.spare-improve.Tie)
			require.False(t, alike(r.m, b.spots, a.spots))
		}
	}
}

// A layout that fits still fits in a larger opening, so the best spare does not fall, and grows by
// no more than the opening does. Both searches run to their end, so both spares are proven.
func TestLargerOpening(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		side := func(name string) float64 { return float64(rapid.IntRange(200, 400).Draw(t, name)) }
		x, y, z := side("x"), side("y"), side("z")
		kind := kit.Boxes("b", rapid.IntRange(1, 3).Draw(t, "count"), 180, 80, 120)
		more := float64(rapid.IntRange(0, 40).Draw(t, "more"))
		small, err := Fit(testContext, kit.NoGaps(kit.Chest(x, y, z), kind), Settings{})
		require.NoError(t, err)
		large, err := Fit(testContext, kit.NoGaps(kit.Chest(x+more, y, z+more), kind), Settings{})
		require.NoError(t, err)
		require.True(t, small.Proven && large.Proven)
		if small.Bound < 0 { // how far it falls short of fitting is not asked
			return
		}
		require.GreaterOrEqual(t, large.Spare, small.Spare-Closed)
		require.LessOrEqual(t, large.Spare, small.Spare+more/2+Closed)
	})
}

// Mirrored, renamed and scaled problems have the same, and twice the, spare.
func TestLawsOfWholeRuns(t *testing.T) {
	spare := func(p pack.Problem) float64 { return fit(t, p).Spare }
	base := func(scale float64, flip bool) pack.Problem {
		across := r1.Interval{Lo: -120 * scale, Hi: 150 * scale}
		if flip {
			across = r1.Interval{Lo: -across.Hi, Hi: -across.Lo}
		}
		f := kit.Opening(across, r2.Point{}, r2.Point{X: 400 * scale}, r2.Point{X: 520 * scale, Y: 300 * scale}, r2.Point{X: 40 * scale, Y: 320 * scale})
		return kit.NoGaps(f, kit.Boxes("a", 2, 181*scale, 77*scale, 167*scale), kit.Boxes("b", 1, 180*scale, 90*scale, 60*scale))
	}
	want := spare(base(1, false))
	require.InDelta(t, want, spare(base(1, true)), 1e-5)
	require.InDelta(t, 2*want, spare(base(2, false)), 1e-5)
	renamed := base(1, false)
	k := renamed.Pack.Kinds
	k[0], k[1] = k[1], k[0]
	require.InDelta(t, want, spare(renamed), 1e-5)
}

func TestVerdictWords(t *testing.T) {
	require.Equal(t, "done", Done.String())
	require.Equal(t, "time", Time.String())
	require.Equal(t, "interrupt", Interrupted.String())
}

// Seven squares of side 1 miss a right triangle of legs 4.99 by so little that spare and
// bound are within Closed on both sides of 0: the search goes on until the sign is known.
// Derived: only six go in, see TestUnitSquaresInARightTriangle.
func TestTheSignOfTheSpareIsSettled(t *testing.T) {
	f := kit.Opening(r1.Interval{Lo: 0, Hi: 1}, r2.Point{}, r2.Point{X: 4.99}, r2.Point{Y: 4.99})
	r := fit(t, kit.NoGaps(f, kit.Upright(kit.Boxes("square", 7, 1, 1, 1))))
	require.Equal(t, pack.ProvenNoFit, r.Verdict)
	require.Negative(t, r.Bound)
}
