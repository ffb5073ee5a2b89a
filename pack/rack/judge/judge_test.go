package judge_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack/rack/judge"
)

func TestRulesHaveNames(t *testing.T) {
	require.Equal(t, "frame untouched", judge.FrameUntouched.String())
	require.Equal(t, "holds", judge.Holds.String())
	require.Equal(t, []string{"rule 0", "rule 8", "rule -1"}, []string{judge.Rule(0).String(), judge.Rule(8).String(), judge.Rule(-1).String()})
}

// What a rack holds is reckoned where that is wanted and nothing else is wrong, and only there.
func TestLoadsAreReckonedLast(t *testing.T) {
	p, l, r := trail(t)
	report, err := judge.Judge(p, l, r, judge.Settings{NoLoads: true})
	require.NoError(t, err)
	require.True(t, report.Sound())
	require.Empty(t, report.Loads.Directions)
	withoutBar("lower seam bar 1")(r)
	report, err = judge.Judge(p, l, r, judge.Settings{})
	require.NoError(t, err)
	require.False(t, report.Sound())
	require.Empty(t, report.Loads.Directions)
	l.Placements[0].Box = "no such box"
	_, err = judge.Judge(p, l, r, judge.Settings{NoLoads: true})
	require.Error(t, err)
}
