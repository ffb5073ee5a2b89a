package limit_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/limit"
	"rackwright/pack/search"
)

// The rates of the best layout are those of the greatest spare itself, searched again by
// the search, to the proof, with each thing changed. Where two layouts are best at once
// the other one may gain more or lose less, never the other way round; where two rates
// disagree for a change nearby nothing can be compared.
func TestRatesOfTheGreatestSpare(t *testing.T) {
	compared, same, skipped := 0, 0, 0
	for seed := uint64(0); compared < 150; seed++ {
		g := generator{rand.New(rand.NewPCG(seed, 80))}
		p, _ := g.problem()
		if round(p) {
			continue // slow to prove
		}
		p.Pack.Kinds = p.Pack.Kinds[:1]
		p.Pack.Kinds[0].Count = 1
		r, ok := proven(t, p)
		if !ok {
			continue
		}
		a, err := limit.Of(p, r.Layouts[0].Layout)
		require.NoError(t, err)
		require.InDelta(t, r.Spare, a.Spare, 2*search.Closed, "seed %d: nothing near the best is better", seed)
		for _, e := range a.Effects {
			for _, way := range []struct{ sign, want float64 }{{1, e.More}, {-1, e.Less}} {
				whole, ok1 := greatest(t, p, r, e.Measured, 2*way.sign)
				half, ok2 := greatest(t, p, r, e.Measured, way.sign)
				const slack = 0.03 // the search is done within 0.01 mm
				if !ok1 || !ok2 || math.Abs(whole-half) > slack {
					skipped++
					continue
				}
				require.GreaterOrEqual(t, half, way.want-slack, "seed %d: %v by %v", seed, e.Measured, way.sign)
				compared++
				if half <= way.want+slack {
					same++
				}
			}
		}
	}
	t.Logf("%d compared, %d the same, %d not compared", compared, same, skipped)
	require.Greater(t, 4*same, 3*compared)
	require.Greater(t, compared, 2*skipped)
}

// proven searches until the search says that nothing is better, for so many steps.
func proven(t *testing.T, p pack.Problem) (search.Result, bool) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	steps := 0
	r, err := search.Fit(ctx, p, search.Settings{Seed: 1, AnyEntry: true, Layouts: 1, Progress: func(search.Progress) {
		if steps++; steps > 60 {
			cancel()
		}
	}})
	require.NoError(t, err)
	return r, r.Bound-r.Spare <= search.Closed
}

// greatest is the rate of the greatest spare when a thing is changed by d.
func greatest(t *testing.T, p pack.Problem, before search.Result, m limit.Measured, d float64) (float64, bool) {
	t.Helper()
	r, ok := proven(t, changed(p, m, d))
	return (r.Spare - before.Spare) / math.Abs(d), ok
}
