package search_test

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"rackwright/pack/search"
)

// slantedFiles is a slanted opening of 57 litres, with boxes of one or two kinds, each in any of
// its six rotations: loose boxes take a quarter of it, tight ones nearly half.
func slantedFiles(sizes ...[4]int) files {
	f := files{
		Frame: frameJSON{Format: 1, Frame: "slanted", Opening: openingJSON{
			Outline: [][2]int{{0, 0}, {420, 0}, {620, 380}, {60, 460}}, Across: 280, Metal: true,
		}},
		Pack: packJSON{Format: 1, Pack: "blocks", Gaps: map[string]int{"beside": 3, "above": 6}},
	}
	for i, s := range sizes {
		f.Pack.Boxes = append(f.Pack.Boxes, kindJSON{
			Name: fmt.Sprint("block ", i+1), Count: s[0], Size: [3]int{s[1], s[2], s[3]},
			Stand: []string{"upright", "on-side", "on-end"}, Tilt: []int{0},
		})
	}
	return f
}

// BenchmarkAgainstZ3 times the proof of the best spare by the search and by z3, one
// after the other in one run. z3 is told that there is a layout with 0 to spare; its
// times are those of Optimize (z3-s), and of the proof alone with the optimum given
// beforehand (z3-proof-s), the least that z3 could need. The ratios are against our
// whole search.
func BenchmarkAgainstZ3(b *testing.B) {
	for _, c := range []struct {
		name  string
		files files
	}{
		{"4 boxes, loose", slantedFiles([4]int{4, 197, 165, 110})},
		{"4 boxes, tight", slantedFiles([4]int{4, 215, 180, 165})},
		{"4 boxes of 2 kinds, tight", slantedFiles([4]int{2, 215, 180, 165}, [4]int{2, 190, 175, 137})},
		{"6 boxes, loose", slantedFiles([4]int{6, 170, 130, 100})},
		{"6 boxes, tight", slantedFiles([4]int{6, 197, 165, 140})},
		{"6 boxes of 2 kinds, tight", slantedFiles([4]int{3, 197, 165, 140}, [4]int{3, 181, 137, 110})},
		{"8 boxes, loose", slantedFiles([4]int{8, 151, 113, 90})},
		{"8 boxes, tight", slantedFiles([4]int{8, 181, 137, 125})},
		{"8 boxes of 2 kinds, tight", slantedFiles([4]int{4, 181, 137, 125}, [4]int{4, 160, 125, 90})},
	} {
		b.Run(c.name, func(b *testing.B) { sideBySide(b, c.files) })
	}
}

const benchmarkSeconds = 240 // of one call of z3, and of our search

func sideBySide(b *testing.B, f files) {
	problem := f.problem(b)
	var r search.Result
	var err error
	for b.Loop() {
		ctx, cancel := context.WithTimeout(context.Background(), benchmarkSeconds*time.Second)
		r, err = search.Fit(ctx, problem, search.Settings{AnyEntry: true})
		cancel()
		require.NoError(b, err)
	}
	ours := b.Elapsed().Seconds() / float64(b.N)
	b.ReportMetric(r.Spare, "mm-spare")
	b.ReportMetric(r.Bound-r.Spare, "mm-open")
	a := startZ3(b).ask(b, question{files: f, Ask: "optimize", Seconds: benchmarkSeconds})
	if a.Status == "done" {
		require.InDelta(b, a.Spare, r.Spare, search.Closed+rounding)
	}
	b.ReportMetric(a.Optimize, "z3-s")
	b.ReportMetric(a.Optimize/ours, "z3/ours")
	if a.Proof > 0 {
		b.ReportMetric(a.Proof, "z3-proof-s")
		b.ReportMetric(a.Proof/ours, "z3-proof/ours")
	}
}
