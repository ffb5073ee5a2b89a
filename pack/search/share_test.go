package search

import (
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// A proof whose bound stays where it is gets less of the time, until the bound falls again.
func TestShareOfAProofAtAStandstill(t *testing.T) {
	r := runOf(testContext, kit.WithPosts(), Settings{}.withDefaults())
	r.bound = 100
	r.pool.best = []candidate{{spare: 0}}
	p := r.newProof()
	p.stuck = -1
	require.Equal(t, model.Effort(8), r.share(p, 8, 0))
	require.Equal(t, model.Effort(8*patient), r.share(p, 8, idle+1))

	p.work = 2 * standing
	p.tasks[0].bound = 99.9
	p.lower()
	require.Equal(t, model.Effort(1), r.share(p, patient*patient, 0))
	require.Equal(t, model.Effort(8/patient), r.share(p, 8, idle+1))

	p.tasks[0].bound = 97
	p.lower()
	require.Equal(t, model.Effort(8), r.share(p, 8, 0))
	p.work = 4*standing + 1
	require.Equal(t, model.Effort(8), r.share(p, 8, 0))
	p.work += standing
	require.Equal(t, model.Effort(1), r.share(p, patient*patient, 0))
}

// With many boxes it gets little until the starts find nothing better.
func TestShareOfALargeProof(t *testing.T) {
	problem := kit.WithPosts()
	problem.Pack.Kinds[0].Count = fewBoxes + 1
	r := runOf(testContext, problem, Settings{}.withDefaults())
	r.bound = 100
	p := r.newProof()
	require.Equal(t, model.Effort(1), r.share(p, patient*patient, 0))
	require.Equal(t, model.Effort(patient), r.share(p, 1, idle+1))
}

// Few boxes without posts are mostly decided: the proof gets more than the starts, and nearly
// all once these find nothing better.
func TestShareOfASimpleProof(t *testing.T) {
	r := runOf(testContext, kit.NoGaps(kit.Chest(300, 300, 300), kit.Boxes("a", 4, 100, 80, 60)), Settings{}.withDefaults())
	r.bound = 100
	p := r.newProof()
	require.Equal(t, model.Effort(8*patient), r.share(p, 8, 0))
	require.Equal(t, model.Effort(8*patient*patient), r.share(p, 8, idle+1))
}
