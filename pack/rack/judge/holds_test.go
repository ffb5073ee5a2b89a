package judge_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack/rack/judge"
)

// A rack of which many parts move together, the whole upper tray, is refused by the three that move
// most; one whose strength cannot be told, for no box has a mass, as a whole. Neither is a matter of
// more or less.
func TestRacksWithoutStrength(t *testing.T) {
	p, l, r := trail(t)
	withoutFastener("to upper")(r)
	loose, err := judge.Judge(p, l, r, judge.Settings{})
	require.NoError(t, err)
	p, l, r = trail(t)
	p.Pack.Kinds[0].Mass = 0
	unknown, err := judge.Judge(p, l, r, judge.Settings{})
	require.NoError(t, err)
	for _, c := range []struct {
		report judge.Report
		words  string
		parts  int
	}{{loose, "it can move freely: bolt it in one more place", 3}, {unknown, "what the rack holds cannot be told: no box has a mass", 1}} {
		require.Len(t, c.report.Violations, 1, c.words)
		v := c.report.Violations[0]
		require.Equal(t, judge.Holds, v.Rule)
		require.Contains(t, v.Text, c.words)
		require.Len(t, v.Parts, c.parts)
		require.Zero(t, v.By)
	}
}
