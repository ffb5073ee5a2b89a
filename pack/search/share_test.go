package search

import (
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// shared is what a proof of a problem may do for a thousand units of work of starts, so many of
// which have found nothing better.
func shared(p pack.Problem) func(since int) model.Effort {
	r := runOf(testContext, p, Settings{}.withDefaults())
	return func(since int) model.Effort { return r.share(false, 1000, since) }
}

// many is a problem with so many boxes that a proof hardly ends.
func many() pack.Problem {
	p := kit.WithPosts()
	p.Pack.Kinds[0].Count = 3 * fewBoxes
	return p
}

// Whatever the problem, a proof gets some of the time, and no less once the starts find nothing
// better.
func TestEveryProofGetsAShare(t *testing.T) {
	few := kit.NoGaps(kit.Chest(300, 300, 300), kit.Boxes("a", 4, 100, 80, 60))
	for _, p := range []pack.Problem{kit.WithPosts(), many(), few} {
		share := shared(p)
		last := model.Effort(1)
		for _, since := range []int{0, 10, 100, 1000} {
			require.GreaterOrEqual(t, share(since), last)
			last = share(since)
		}
		require.Greater(t, share(1000), share(0))
	}
}

// What will most likely be decided gets most, many boxes least.
func TestSmallProofsGetMore(t *testing.T) {
	posts := shared(kit.WithPosts())
	large := shared(many())
	bare := shared(kit.NoGaps(kit.Chest(300, 300, 300), kit.Boxes("a", 4, 100, 80, 60)))
	for _, since := range []int{0, 1000} {
		require.Greater(t, bare(since), posts(since))
		require.GreaterOrEqual(t, posts(since), large(since))
	}
	require.Greater(t, posts(0), large(0))
}

// Once something fits, starts of few bare boxes are of little more use.
func TestSmallProofsGetMostOnceSomethingFits(t *testing.T) {
	r := runOf(testContext, kit.NoGaps(kit.Chest(300, 300, 300), kit.Boxes("a", 4, 100, 80, 60)), Settings{}.withDefaults())
	before := r.share(false, 1000, 0)
	r.pool.best = []candidate{{spare: 1}}
	require.Greater(t, r.share(false, 1000, 0), before)
}

// A proof whose bound stays where it is gets less than the starts do, until these have found nothing for
// very long.
func TestAProofAtAStandstillGetsLess(t *testing.T) {
	r := runOf(testContext, kit.WithPosts(), Settings{}.withDefaults())
	for _, since := range []int{0, 1000} {
		still := r.share(true, 1000, since)
		require.Positive(t, still)
		require.Less(t, still, r.share(false, 1000, since))
		require.Less(t, still, model.Effort(1000))
	}
	require.Greater(t, r.share(true, 1000, startsUntilStale+1), model.Effort(1000))
}

// A bound that falls by next to nothing of what is open stands still; one that fell by half may
// then stay where it is for as much work as was done before.
func TestStandstill(t *testing.T) {
	f := progress{bound: 100}
	f.note(99.9, 0, 4*standingWork)
	require.True(t, f.standstill(4*standingWork))
	f.note(50, 0, 4*standingWork)
	require.False(t, f.standstill(4*standingWork))
	require.False(t, f.standstill(8*standingWork))
	f.note(49.9, 0, 8*standingWork)
	require.True(t, f.standstill(12*standingWork))
}
