package search

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/internal/secondjudge"
	"rackwright/pack/search/model"
)

// modelOf is the model of a problem, without room for tools.
func modelOf(p pack.Problem) *model.Model {
	m, err := model.New(p, model.Options{})
	if err != nil {
		panic(err)
	}
	return m
}

// runOf is a search before it begins.
func runOf(ctx context.Context, p pack.Problem, s Settings) *run {
	r, err := newRun(ctx, p, s)
	if err != nil {
		panic(err)
	}
	return r
}

// fit searches to the end.
func fit(t *testing.T, p pack.Problem) Result {
	t.Helper()
	r, err := Fit(context.Background(), p, Settings{Seed: 1})
	require.NoError(t, err)
	require.Equal(t, Done, r.Stopped)
	for _, l := range r.Layouts {
		again := pack.Check(p, l.Layout)
		require.Empty(t, again.Faults)
		require.InDelta(t, l.Report.Spare, again.Spare, 1e-12)
	}
	if r.Verdict != pack.ProvenNoFit || r.Spare < 0 { // what fits may be no answer, and that proven
		require.GreaterOrEqual(t, r.Bound, r.Spare-1e-9, "a bound below a layout that was found")
	}
	judgedTwice(t, p, r)
	return r
}

// judgedTwice has the second judge look at all layouts, where there is one.
func judgedTwice(t *testing.T, p pack.Problem, r Result) {
	t.Helper()
	if len(r.Layouts) == 0 || !secondjudge.Available(t) {
		return
	}
	judge := secondjudge.Start(t)
	frameFile, packFile := secondjudge.Files(p)
	for _, l := range r.Layouts {
		judge.Agree(t, frameFile, packFile, p, l.Layout)
	}
}
