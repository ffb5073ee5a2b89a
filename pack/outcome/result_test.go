package outcome_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/outcome"
)

// found is a layout with so much to spare; in tells that it goes in.
func found(spare float64, in bool) outcome.Found {
	return outcome.Found{Report: pack.Report{Spare: spare}, Entry: entry.Answer{GoesIn: in}}
}

// The whole table of verdicts: what was found, what is proven, whether it goes in, and how sure
// it is.
func TestVerdicts(t *testing.T) {
	sure, tight := &outcome.Sureness{Layout: 0}, &outcome.Sureness{Layout: -1}
	none := math.Inf(1)
	for _, c := range []struct {
		name    string
		layouts []outcome.Found
		bound   float64
		any     bool
		sure    *outcome.Sureness
		want    pack.Verdict
		proven  bool
	}{
		{"nothing known", nil, none, false, nil, pack.NoFitFound, false},
		{"no layout, and none can be", nil, -3, false, nil, pack.ProvenNoFit, true},
		{"short, perhaps not always", []outcome.Found{found(-1, false)}, 2, false, nil, pack.NoFitFound, false},
		{"short, and always", []outcome.Found{found(-4, false)}, -3, false, nil, pack.ProvenNoFit, true},
		{"fits", []outcome.Found{found(2, true)}, 5, false, nil, pack.Fits, false},
		{"nothing to spare is a fit", []outcome.Found{found(0, true)}, 5, false, nil, pack.Fits, false},
		{"the best that fits", []outcome.Found{found(2, true)}, 2 + outcome.Closed, false, nil, pack.Fits, true},
		{"fits, sure", []outcome.Found{found(2, true)}, 5, false, sure, pack.Sure, false},
		{"fits, tight", []outcome.Found{found(2, true)}, 5, false, tight, pack.Tight, false},
		{"does not go in", []outcome.Found{found(2, false)}, 2, false, nil, pack.NoFitFound, false},
		{"need not go in", []outcome.Found{found(2, false)}, 2, true, nil, pack.Fits, true},
	} {
		r := outcome.Result{Layouts: c.layouts, Bound: c.bound, AnyEntry: c.any, Sure: c.sure}
		r.Decide()
		require.Equal(t, c.want, r.Verdict, c.name)
		require.Equal(t, c.proven, r.Proven, c.name)
	}
}

// A layout from elsewhere is decided as one that was found: those that overlap are no other
// choice beside it, and what was known of how sure the result is was known of others.
func TestWithALayoutFromElsewhere(t *testing.T) {
	r := outcome.Result{Layouts: []outcome.Found{found(-1, false), found(-2, false)}, Bound: 4}
	r.Decide()
	require.Equal(t, pack.NoFitFound, r.Verdict)
	with := r.With(found(4, true), 3)
	require.Equal(t, pack.Fits, with.Verdict)
	require.True(t, with.Proven)
	require.Equal(t, 4.0, with.Spare)
	require.Len(t, with.Layouts, 1)
	with.Sure = &outcome.Sureness{}
	again := with.With(found(4, true), 3)
	require.Len(t, again.Layouts, 2)
	require.Equal(t, pack.Fits, again.Verdict)
	require.Len(t, again.With(found(4, true), 2).Layouts, 2)
	require.Equal(t, -1.0, r.Spare, "the result itself is as it was")
}
