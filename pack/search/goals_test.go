package search_test

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/search"
)

// BenchmarkNoFit times the proof that 7 to 9 boxes do not fit by 2 mm: the gaps of a
// problem whose best spare is proven are raised by that and 2 mm more.
func BenchmarkNoFit(b *testing.B) {
	for _, size := range [][4]int{{7, 181, 137, 125}, {8, 181, 137, 125}, {9, 170, 130, 110}} {
		b.Run(fmt.Sprint(size[0], " boxes"), func(b *testing.B) {
			problem := slantedFiles(size).problem(b)
			best := untilProven(b, problem, func(r search.Result) bool { return r.Proven })
			short := raised(problem, best.Spare+2)
			for b.Loop() {
				r := untilProven(b, short, func(r search.Result) bool { return r.Bound < 0 })
				require.Equal(b, pack.ProvenNoFit, r.Verdict)
				b.ReportMetric(r.Spare, "mm-spare")
			}
		})
	}
}

// raised is a problem with all gaps greater by some millimetres.
func raised(p pack.Problem, by float64) pack.Problem {
	raised := *p.Pack
	raised.Gaps.Beside += by
	raised.Gaps.Above += by
	raised.Gaps.Wall += by
	p.Pack = &raised
	return p
}

// untilProven searches until the verdict is known.
func untilProven(b *testing.B, p pack.Problem, enough func(search.Result) bool) search.Result {
	b.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	r, err := search.Fit(ctx, p, search.Settings{AnyEntry: true, Progress: func(now search.Progress) {
		if now.Bound < 0 {
			cancel()
		}
	}})
	require.NoError(b, err)
	require.True(b, enough(r), "spare %v, bound %v", r.Spare, r.Bound)
	return r
}

// bestKnown is the greatest spare found of the examples by any run so far, in mm.
var bestKnown = map[string]float64{"courier": 9.0, "trail": 15.03, "cargo": 4.762}

// BenchmarkTwoSeconds reports which part of the best known spare is found in 2 s.
func BenchmarkTwoSeconds(b *testing.B) {
	for _, name := range []string{"courier", "trail", "cargo"} {
		b.Run(name, func(b *testing.B) {
			problem := example(b, name)
			sum := 0.0
			for n := uint64(0); b.Loop(); n++ {
				ctx, cancel := context.WithTimeout(context.Background(), 2*time.Second)
				r, err := search.Fit(ctx, problem, search.Settings{Seed: n})
				cancel()
				require.NoError(b, err)
				sum += max(0, r.Spare)
			}
			b.ReportMetric(100*sum/float64(b.N)/bestKnown[name], "%-of-best")
		})
	}
}
