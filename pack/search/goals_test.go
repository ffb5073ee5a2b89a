package search_test

import (
	"context"
	"fmt"
	"runtime/debug"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/search"
	"rackwright/pack/search/internal/kit"
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

// bestKnown is the greatest spare found by any run so far, in mm, long ones included.
var bestKnown = map[string]float64{
	"courier": 10.16, "trail": 15.073, "cargo": 4.762, "12 blocks": 19.0, "24 blocks": 17.0,
}

// BenchmarkTwoSeconds reports which part of the best known spare is found in 2 s, with garbage
// collected as the program does.
func BenchmarkTwoSeconds(b *testing.B) {
	defer debug.SetGCPercent(debug.SetGCPercent(400))
	for _, c := range []struct {
		name    string
		problem pack.Problem
	}{
		{"courier", kit.Example(b, "courier/frame.yaml", "courier/pack.yaml")},
		{"trail", kit.Example(b, "trail/frame.yaml", "trail/pack.yaml")},
		{"cargo", kit.Example(b, "cargo/frame.yaml", "cargo/pack.yaml")},
		{"12 blocks", blocks(b, 12, 540)},
		{"24 blocks", blocks(b, 24, 900)},
	} {
		b.Run(c.name, func(b *testing.B) {
			sum := 0.0
			for n := uint64(0); b.Loop(); n++ {
				ctx, cancel := context.WithTimeout(context.Background(), 2*time.Second)
				r, err := search.Fit(ctx, c.problem, search.Settings{Seed: n})
				cancel()
				require.NoError(b, err)
				sum += max(0, r.Spare)
			}
			b.ReportMetric(100*sum/float64(b.N)/bestKnown[c.name], "%-of-best")
		})
	}
}

// blocks is a load of many alike blocks with posts, in a slanted opening of some length
// in mm, with a rail, a drum and a box in it.
func blocks(tb testing.TB, n, length int) pack.Problem {
	tb.Helper()
	f, err := frame.Read(strings.NewReader(fmt.Sprintf(`format: 1
frame: load bay
opening: {outline: [[0, 0], [%d, 0], [%d, 390], [50, 420]], sides: [floor, front, top, back], open: [top], across: 400}
rails:
  - {name: stay, path: [[-20, 170, -10], [90, 170, 430]], diameter: 30}
  - {name: floor tube, path: [[0, -190, 10], [%d, -190, 10]], diameter: 28}
keepouts:
  - {name: drum, round: {from: [60, -120, 40], to: [60, 120, 40], diameter: 90}}
  - {name: relay, box: {low: [%d, 120, 0], high: [%d, 200, 140]}}
`, length, length+90, length, length-90, length)), "frame.yaml")
	require.NoError(tb, err)
	p, err := pack.Read(strings.NewReader(fmt.Sprintf(`format: 1
pack: %d blocks
gaps: {post: 15}
boxes:
  - name: block
    count: %d
    size: [181, 77, 167]
    stand: [upright, on-side]
    posts:
      - {name: plus, face: top, at: [20, 38], diameter: 14, height: 6, polarity: "+"}
      - {name: minus, face: top, at: [161, 38], diameter: 14, height: 6, polarity: "-"}
`, n, n)), "pack.yaml")
	require.NoError(tb, err)
	problem, err := pack.NewProblem(f, p)
	require.NoError(tb, err)
	return problem
}
