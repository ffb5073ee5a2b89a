package judge_test

import (
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
	"rackwright/pack/rack/rackkit"
)

// Bars go onto the studs of mounts along these, by their whole length; where something is in the way
// of that they cannot be put together, though a bolt could be put through from the other side.
func TestBarsGoOntoStudsAlongThem(t *testing.T) {
	p, l, bolted := trail(t)
	f := *p.Frame
	f.Mounts = slices.Clone(f.Mounts)
	for i := range f.Mounts {
		f.Mounts[i].Holds = frame.Stud
	}
	p.Frame = &f
	r := rackkit.OnStuds(p, bolted)
	report, err := judge.Judge(p, l, r, judge.Settings{})
	require.NoError(t, err)
	require.Empty(t, report.Violations)
	i := slices.IndexFunc(report.Order, func(s judge.Step) bool { return s.Name == "lower upright 1a" })
	legs := report.Order[i].Legs
	require.Equal(t, r3.Vector{Y: 20}, legs[len(legs)-1], "to the left, onto a stud that points right")
	require.Len(t, report.Loads.Directions, 6)

	long := *r
	long.Fasteners = slices.Clone(r.Fasteners)
	for i := range long.Fasteners {
		if s := &long.Fasteners[i]; r.Stud(*s) && slices.Contains(s.Joins, "lower upright 1a") {
			s.To = s.From.Add(r3.Vector{Y: -135}) // as far as the other side's upright
			s.Nuts = []rack.Nut{{At: 3, Beyond: true, Locking: true}}
		}
	}
	report, err = judge.Judge(p, l, &long, judge.Settings{NoLoads: true})
	require.NoError(t, err)
	require.True(t, slices.ContainsFunc(report.Violations, func(v judge.Violation) bool { return v.Rule == judge.Assembly || v.Rule == judge.Room }), "%v", report.Violations)
}
