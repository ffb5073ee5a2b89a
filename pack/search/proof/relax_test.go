package proof

import (
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack/search/model"
)

// What is said of a set of poses is true of each: wherever two boxes in poses of two sets, or one beside the
// frame, leave each other some spare, the clauses of the sets leave that, posts and all; and clause by clause
// under the same numbers.
func TestSetsOfPosesAskForNoMoreThanTheirPoses(t *testing.T) {
	said, posts := 0, 0
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 5))
		m := modelOf(posted(rng))
		rel := newRelaxation(m, NewInside(m).within(0))
		rel.pruned = true
		// A set is what is left of a kind's poses of one case, or of all.
		draw := func(kind int) (x *relaxed) {
			var set poseSet
			first := rng.IntN(len(m.Poses[kind]))
			for p, q := range m.Poses[kind] {
				if p == first || rng.IntN(3) > 0 && (rng.IntN(4) == 0 || q.SameCase(m.Poses[kind][first])) {
					set.add(p)
				}
			}
			return rel.of(kind, set)
		}
		alone := func(x *relaxed) *relaxed {
			var one poseSet
			one.add(x.poses[rng.IntN(len(x.poses))])
			return rel.of(x.kind, one)
		}
		for range 300 {
			a, b := draw(0), draw(1)
			p, q := alone(a), alone(b)
			at := m.RandomSpot(0, rng).At.Sub(m.RandomSpot(1, rng).At)
			wide, own := rel.pair(a, b), rel.pair(p, q)
			require.LessOrEqual(t, len(wide), len(own))
			posts += atMost(t, wide, own, at.Mul(-1), &said)
			atMost(t, a.solids, p.solids, m.RandomSpot(0, rng).At, &said)
		}
	}
	require.Greater(t, said, 10000)
	require.Greater(t, posts, 300, "clauses of posts that say something of sets")
}

// atMost holds clauses of sets against those of poses, and counts those past the first that say something.
func atMost(t *testing.T, wide, own []model.Clause, at r3.Vector, said *int) (posts int) {
	t.Helper()
	for k, c := range wide {
		if len(c.Planes) == 0 {
			continue
		}
		*said++
		if k > 0 {
			posts++
		}
		require.GreaterOrEqual(t, c.Left(at), own[k].Left(at)-1e-9, "clause %d", k)
	}
	return posts
}
