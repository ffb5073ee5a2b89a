package search_test

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/internal/secondjudge"
	"rackwright/pack/outcome"
)

// "Every measurement may be off by X" is true of the layout as it is written: with every accuracy
// set to X in the values that the files give, the judge says that it holds at the worst, and with a tenth of a millimetre more it does not. Over the examples and random
// problems with tubes, drums, posts and tilts.
func TestMayBeOffIsTrueOfTheLayoutAsWritten(t *testing.T) {
	var problems []pack.Problem
	for _, name := range []string{"courier", "trail", "cargo"} {
		dir := filepath.Join("..", "..", "testdata", name)
		frameText, err := os.ReadFile(filepath.Join(dir, "frame.yaml"))
		require.NoError(t, err)
		packText, err := os.ReadFile(filepath.Join(dir, "pack.yaml"))
		require.NoError(t, err)
		problems = append(problems, secondjudge.Problem(t, frameText, packText))
	}
	for seed := range uint64(8) {
		problems = append(problems, randomFiles(seed+4000, 3+int(seed)%3).problem(t))
	}
	asked := 0
	for n, p := range problems {
		r := searchUntil(t, p, 1, 1)
		if len(r.Layouts) == 0 || !r.Verdict.Fits() {
			continue
		}
		asked++
		// Ways in are not asked for: they are those of the search, not of what is as it is written.
		require.NoError(t, r.AskSure(p, outcome.Means{GoesIn: func(pack.Problem, pack.Layout) (entry.Answer, bool) {
			return entry.Answer{}, true
		}}))
		l, x := r.Layouts[0].Layout, r.Sure.AsWritten
		require.GreaterOrEqual(t, x, 0.0, "problem %d", n)
		require.True(t, holdsOff(p, l, x), "problem %d, off by %v", n, x)
		require.False(t, holdsOff(p, l, x+0.1), "problem %d, off by more than %v", n, x)
	}
	require.Greater(t, asked, 4)
}

// holdsOff tells whether a layout holds with every accuracy set to mm.
func holdsOff(p pack.Problem, l pack.Layout, mm float64) bool {
	f, k := *p.Frame, *p.Pack
	f.Accuracy, k.Kinds = mm, slices.Clone(k.Kinds)
	for i := range k.Kinds {
		k.Kinds[i].Accuracy = mm
	}
	off := pack.Problem{Frame: &f, Pack: &k}.AtWorst()
	return pack.Check(off, l).Holds()
}
