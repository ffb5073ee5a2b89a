package search_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack/internal/secondjudge"
)

// Every layout that the search offers is judged by a program that shares no code with
// this one: of the examples, and of random problems with rails, drums, posts, tilts and
// keep-outs, as measured and with everything at its worst. A difference of more than
// 1e-6 mm about any relation fails. RACKWRIGHT_SECONDJUDGE=1000 takes so many problems
// instead of a few, RACKWRIGHT_SECONDJUDGE=700-999 those with these seeds.

func TestSecondJudgeOnExamples(t *testing.T) {
	judge := secondjudge.Start(t)
	for _, name := range []string{"courier/pack.yaml", "trail/pack.yaml", "trail/pack-too-big.yaml", "cargo/pack.yaml"} {
		path := filepath.Join("..", "..", "testdata", name)
		frameText, err := os.ReadFile(filepath.Join(filepath.Dir(path), "frame.yaml"))
		require.NoError(t, err)
		packText, err := os.ReadFile(path)
		require.NoError(t, err)
		problem := secondjudge.Problem(t, frameText, packText)
		result := searchUntil(t, problem, 1, 2)
		require.NotEmpty(t, result.Layouts)
		for _, l := range result.Layouts {
			judge.Agree(t, frameText, packText, problem, l.Layout)
			judge.Agree(t, frameText, packText, problem.AtWorst(), l.Layout)
		}
	}
}

func TestSecondJudgeOnRandomProblems(t *testing.T) {
	seeds := seedsOf(t, "RACKWRIGHT_SECONDJUDGE")
	if seeds == nil {
		for seed := range uint64(25) {
			seeds = append(seeds, seed)
		}
	}
	judge := secondjudge.Start(t)
	problems, layouts, relations := 0, 0, 0
	for _, seed := range seeds {
		g := generatorFor(seed ^ 0x2d)
		f := randomFiles(seed+1000, g.between(1, 8))
		g.addRound(&f.Frame)
		if _, err := frame.Read(bytes.NewReader(text(f.Frame)), "frame.json"); err != nil {
			require.ErrorContains(t, err, "crosses", "one keep-out in hundreds has sides that cross")
			continue
		}
		problem := f.problem(t)
		problems++
		for _, l := range searchUntil(t, problem, seed, g.between(1, 3)).Layouts {
			report := judge.Agree(t, text(f.Frame), text(f.Pack), problem, l.Layout)
			judge.Agree(t, text(f.Frame), text(f.Pack), problem.AtWorst(), l.Layout)
			layouts, relations = layouts+1, relations+len(report.Relations)
		}
	}
	require.Positive(t, layouts)
	t.Logf("%d problems, %d layouts, %d relations, each as measured and at the worst", problems, layouts, relations)
}
