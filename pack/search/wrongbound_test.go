package search_test

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/search"
	"rackwright/pack/search/model"
)

// No layout has more to spare than an earlier search said is possible: each of some real-like problems is
// searched twice, with other random numbers and five times the work, and neither finds what the other says
// there is none of. RACKWRIGHT_BOUNDS=N (or a-b) tries more problems than the ordinary run.
func TestNoWrongBound(t *testing.T) {
	seeds := seedsOf(t, "RACKWRIGHT_BOUNDS")
	if seeds == nil {
		seeds = []uint64{1001, 1003}
	}
	none, open := 0, 0
	for _, seed := range seeds {
		problem := realProblem(t, seed)
		a := searched(t, problem, seed, 1e8)
		b := searched(t, problem, seed+500, 5e8)
		notAbove(t, seed, a, b)
		notAbove(t, seed, b, a)
		if a.Verdict == pack.ProvenNoFit {
			none++
		}
		if !a.Proven {
			open++
		}
		t.Logf("seed %d: %v ≤ %.3f mm, then %v ≤ %.3f mm", seed, spareWord(a), a.Bound, spareWord(b), b.Bound)
	}
	t.Logf("of %d problems %d proven not to fit or go in, %d open at first", len(seeds), none, open)
}

func searched(t *testing.T, problem pack.Problem, seed uint64, work model.Effort) search.Result {
	t.Helper()
	r, err := search.Fit(context.Background(), problem, search.Settings{Seed: seed, Work: work})
	require.NoError(t, err)
	return r
}

// notAbove holds what one search found against what another said of the same problem.
func notAbove(t *testing.T, seed uint64, found, said search.Result) {
	t.Helper()
	if !found.Verdict.Fits() {
		return
	}
	require.NotEqual(t, pack.ProvenNoFit, said.Verdict, "seed %d: %.6f mm to spare where nothing was to fit", seed, found.Spare)
	require.LessOrEqual(t, found.Spare, said.Bound+exactly, "seed %d", seed)
}

// spareWord is the spare of an answer, or what came instead of one.
func spareWord(r search.Result) string {
	if !r.Verdict.Fits() {
		return r.Verdict.String()
	}
	return fmt.Sprintf("%.3f", r.Spare)
}
