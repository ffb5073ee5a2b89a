package search_test

import (
	"context"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/outcome"
	"rackwright/pack/search"
	"rackwright/pack/search/stand"
)

// fitStanding searches for so many notes of progress, with layouts that stand.
func fitStanding(t *testing.T, p pack.Problem, want search.Stand, notes int) search.Result {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	r, err := search.Fit(ctx, p, search.Settings{AnyEntry: true, Seed: 1, Workers: 2, Layouts: 5, Stand: &want, Progress: func(search.Progress) {
		if notes--; notes == 0 {
			cancel()
		}
	}})
	require.NoError(t, err)
	return r
}

// Beside the layout with the most to spare stand those that can be built, each for a reason; the
// judge finds that they stand on no more levels than the table says, and no two are twins. The first
// has no less to spare than any that stands. RACKWRIGHT_STANDING=100 takes so many problems that fit.
func TestLayoutsThatStandAreOffered(t *testing.T) {
	offered, wanted := 0, 3
	if n, err := strconv.Atoi(os.Getenv("RACKWRIGHT_STANDING")); err == nil {
		wanted = n
	}
	fewestFound, easiest := map[int]int{}, map[int]int{}
	for seed := uint64(0); offered < wanted && seed < 40*uint64(wanted); seed++ {
		p := randomFiles(seed+7000, 3+int(seed)%3).problem(t)
		r := fitStanding(t, p, search.Stand{Keep: 0}, 30)
		if !r.Verdict.Fits() || len(r.Levels) == 0 {
			continue
		}
		require.True(t, r.Layouts[0].For(outcome.MostToSpare))
		for _, row := range r.Levels {
			require.GreaterOrEqual(t, row.Spare, 0.0)
			require.LessOrEqual(t, row.Spare, r.Spare+search.Closed)
			require.LessOrEqual(t, row.Spare, r.Bound+search.Closed)
		}
		n := r.Easiest()
		require.GreaterOrEqual(t, n, 0)
		standing := pack.StandingOf(p, r.Layouts[n].Layout)
		require.True(t, standing.Stands(), standing.Faults)
		require.True(t, r.Layouts[n].Report.Holds())
		for i, a := range r.Layouts {
			for _, b := range r.Layouts[:i] {
				require.False(t, sameLayout(a.Layout, b.Layout), "seed %d: two layouts are one", seed)
			}
		}
		offered++
		fewestFound[r.Levels[0].Levels]++
		easiest[len(standing.Levels)]++
	}
	require.Equal(t, wanted, offered)
	t.Logf("of %d random problems that fit, by levels: fewest %v, easiest to build %v", offered, fewestFound, easiest)
}

func sameLayout(a, b pack.Layout) bool {
	for i := range a.Placements {
		if a.Placements[i] != b.Placements[i] {
			return false
		}
	}
	return true
}

// One more pin never gives more to spare, and fewer levels neither: what is found with a pin is a
// layout without it. A pin at a place of the best layout leaves its spare.
func TestOneMorePinIsNeverBetter(t *testing.T) {
	asked := 0
	for seed := uint64(7000); asked < 2 && seed < 7020; seed++ {
		p := randomFiles(seed, 2).problem(t)
		free := fitStanding(t, p, search.Stand{Keep: 0}, 60)
		if !free.Verdict.Fits() || !free.Proven {
			continue
		}
		asked++
		pin := free.Layouts[0].Layout.Placements[0]
		there := p.WithPins([]pack.Placement{pin})
		pinned := fitStanding(t, there, search.Stand{Keep: 0}, 60)
		require.InDelta(t, free.Spare, pinned.Spare, 0.02, "seed %d", seed)
		for _, l := range pinned.Layouts {
			require.Empty(t, pack.Check(there, l.Layout).Faults)
		}
		pin.Centre.X += free.Spare / 2
		if len(p.CheckPin(pin)) > 0 {
			continue
		}
		other := fitStanding(t, p.WithPins([]pack.Placement{pin}), search.Stand{Keep: 0}, 60)
		require.LessOrEqual(t, other.Spare, free.Spare+0.02, "seed %d", seed)
		require.LessOrEqual(t, other.Bound, free.Bound+0.02, "seed %d", seed)
		require.LessOrEqual(t, fewest(free), fewest(other), "seed %d", seed)
	}
	require.Positive(t, asked)
}

func fewest(r search.Result) int {
	if len(r.Levels) == 0 {
		return stand.MaxLevels + 1
	}
	return r.Levels[0].Levels
}
