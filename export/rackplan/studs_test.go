package rackplan

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack/rack/judge"
	"rackwright/pack/rack/rackkit"
)

// A stud is the vehicle's: it is neither bought nor cut, its nut and washer are, and its bar says that
// it goes onto it. How far it has to stand out is told.
func TestStudsAreThere(t *testing.T) {
	a := example(t)
	f := *a.Problem.Frame
	f.Mounts = append([]frame.Mount(nil), f.Mounts...)
	for i := range f.Mounts {
		f.Mounts[i].Holds = frame.Stud
	}
	a.Problem.Frame = &f
	a.Rack = rackkit.OnStuds(a.Problem, a.Rack)
	var err error
	a.Report, err = judge.Judge(a.Problem, a.Layout, a.Rack, judge.Settings{NoLoads: true})
	require.NoError(t, err)
	require.Empty(t, a.Report.Violations)
	var list []string
	for _, i := range List(a) {
		list = append(list, i.What)
		if strings.HasSuffix(i.What, "M10") {
			require.Equal(t, 4, i.Count, i.What)
		}
	}
	require.Contains(t, list, "locking nut M10")
	require.NotContains(t, strings.Join(list, "\n"), "rod M10")
	for _, c := range CutList(a.Rack) {
		require.NotContains(t, c.What, "rod M10")
	}
	words := ""
	for _, s := range Building(a) {
		words += s.Words + "\n"
	}
	require.Contains(t, words, "washer and locking nut M10 on the stud of front engine mount left, through lower upright 1a")
	require.NotContains(t, words, "Put in bolt")
	require.Contains(t, strings.Join(Cautions(a), "\n"), "The stud of front engine mount left has to stand 20 mm out of its metal")
}
