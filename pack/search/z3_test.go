package search_test

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"testing"
	"time"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/outcome"
	"rackwright/pack/search"
)

// The spare against an independent exact solver: the SMT solver z3 (de Moura &
// Bjørner, TACAS 2008; Debian's python3-z3 4.8.12). Its model, testdata/z3spare.py, is
// made from the files and the definition of the spare; it shares no code with ours.
//
// RACKWRIGHT_Z3=all compares all openings instead of a few, RACKWRIGHT_Z3=20-39 those
// with these seeds. Each then has a limit of time on both sides.

// rounding is what z3's spare may be off for its fractions near unit normals: 1e-7 of
// less than a metre.
const rounding = 1e-3

const (
	python     = "/usr/bin/python3"
	allSeeds   = 220
	ourLimit   = 20 * time.Second
	z3Seconds  = 60 // of one call
	fewSeconds = 600
)

// few are seeds that both sides decide in less than a second.
var few = []uint64{3, 4, 6, 8, 9, 10, 14, 19, 20, 24, 25, 28, 49, 52, 59}

// boxesOf is how many boxes the opening of a seed gets: mostly 2 to 4, up to 7.
func boxesOf(seed uint64) int {
	return []int{2, 3, 3, 4, 2, 3, 4, 5, 3, 4, 2, 6, 3, 4, 5, 3, 7, 4, 2, 3}[seed%20]
}

// z3 is a running solver.
type z3 struct {
	in  io.WriteCloser
	out *bufio.Scanner
}

type question struct {
	files
	Ask     string  `json:"ask"` // "optimize", "climb" (the same without Optimize) or "reach" (any layout with the lowest)
	Worst   bool    `json:"worst"`
	Lowest  float64 `json:"lowest"`  // a spare to ask for at least
	Seconds int     `json:"seconds"` // of one call of the solver
}

type answer struct {
	Status     string // "done", "unsat" or "unknown"
	Spare      float64
	Margin     float64 // no layout has this much more than Spare
	Again      int     // how often Optimize had stopped too early
	Seconds    float64
	Optimize   float64 `json:"optimize_seconds"`
	Proof      float64 `json:"proof_seconds"`
	Placements []struct {
		Box       string
		Number    int
		Up, Front string
		Tilt      float64    `json:"tilt_deg"`
		Centre    [3]float64 `json:"centre_mm"`
	}
}

func startZ3(tb testing.TB) z3 {
	tb.Helper()
	if exec.Command(python, "-c", "import z3").Run() != nil {
		if os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") != "" {
			tb.Fatal("python3-z3 is missing")
		}
		tb.Skip("python3-z3 is missing")
	}
	cmd := exec.CommandContext(tb.Context(), python, "testdata/z3spare.py")
	cmd.Stderr = os.Stderr
	in, err := cmd.StdinPipe()
	require.NoError(tb, err)
	out, err := cmd.StdoutPipe()
	require.NoError(tb, err)
	require.NoError(tb, cmd.Start())
	tb.Cleanup(func() { _ = cmd.Wait() }) // the context has ended it
	scanner := bufio.NewScanner(out)
	scanner.Buffer(nil, 1<<20)
	return z3{in, scanner}
}

func (z z3) ask(tb testing.TB, q question) answer {
	tb.Helper()
	require.NoError(tb, json.NewEncoder(z.in).Encode(q))
	require.True(tb, z.out.Scan(), "z3 ended: %v", z.out.Err())
	var a answer
	require.NoError(tb, json.Unmarshal(z.out.Bytes(), &a))
	return a
}

// layout is z3's own one.
func (a answer) layout(tb testing.TB) pack.Layout {
	tb.Helper()
	var l pack.Layout
	for _, p := range a.Placements {
		up, err := pack.ParseFace(p.Up)
		require.NoError(tb, err)
		front, err := pack.ParseFace(p.Front)
		require.NoError(tb, err)
		l.Placements = append(l.Placements, pack.Placement{
			Box: p.Box, Number: p.Number,
			Orientation: pack.Orientation{Up: up, Front: front, Tilt: s1.Angle(p.Tilt) * s1.Degree},
			Centre:      r3.Vector{X: p.Centre[0], Y: p.Centre[1], Z: p.Centre[2]},
		})
	}
	return l
}

func TestAgainstZ3(t *testing.T) {
	z := startZ3(t)
	which := os.Getenv("RACKWRIGHT_Z3")
	if which == "" {
		for _, seed := range few {
			t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) {
				a, r := compare(t, z, seed, context.Background(), fewSeconds)
				require.Equal(t, "done", a.Status)
				require.True(t, r.Proven, "the search ends without a proof")
			})
		}
		return
	}
	from, to := uint64(1), uint64(allSeeds)
	if which != "all" {
		_, err := fmt.Sscanf(which, "%d-%d", &from, &to)
		require.NoError(t, err, "RACKWRIGHT_Z3 is all, or seeds such as 20-39")
	}
	for seed := from; seed <= to; seed++ {
		t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) {
			ctx, cancel := context.WithTimeout(context.Background(), ourLimit)
			defer cancel()
			compare(t, z, seed, ctx, z3Seconds)
		})
	}
}

// compare has both sides work on the opening of a seed, and compares what they say. z3
// begins a little below our layout, which the judge has seen: where z3 cannot reach
// that, the two do not agree.
func compare(t *testing.T, z z3, seed uint64, ctx context.Context, seconds int) (answer, search.Result) {
	t.Helper()
	f := randomFiles(seed, boxesOf(seed))
	problem := f.problem(t)
	start := time.Now()
	r, err := search.Fit(ctx, problem, search.Settings{AnyEntry: true, Workers: 1})
	require.NoError(t, err, f)
	require.NotEmpty(t, r.Layouts, "no layout at all\n%v", f)
	ours := time.Since(start)
	q := question{files: f, Ask: "optimize", Lowest: r.Spare - 0.1, Seconds: seconds}
	if boxesOf(seed) > 3 {
		q.Ask, q.Lowest = "climb", r.Spare-0.002
	}
	a := z.ask(t, q)
	t.Logf("seed %d, %d boxes: ours %.4f ≤ %.4f, proven %v in %.2f s (%v); z3 %.4f %s in %.2f s, again %d",
		seed, boxesOf(seed), r.Spare, r.Bound, r.Proven, ours.Seconds(), r.Verdict, a.Spare, a.Status, a.Seconds, a.Again)
	require.NotEqual(t, "unsat", a.Status, "z3 says that no layout has what ours has\n%v", f)
	if len(a.Placements) > 0 {
		requireWitness(t, problem, a, f)
		require.GreaterOrEqual(t, r.Bound, a.Spare-rounding, "z3 has a layout above our bound\n%v", f)
	}
	if a.Status == "done" {
		requireSame(t, r, a, f)
	}
	if f.unsure() && r.Verdict.Fits() {
		requireSure(t, z.ask(t, question{files: f, Ask: "reach", Worst: true, Lowest: -rounding, Seconds: seconds}), r, f)
	}
	return a, r
}

// requireWitness has the judge look at z3's own layout: z3's optimum is one that a
// layout has.
func requireWitness(t *testing.T, problem pack.Problem, a answer, f files) {
	t.Helper()
	report := pack.Check(problem, a.layout(t))
	require.Empty(t, report.Faults, f)
	require.InDelta(t, a.Spare, report.Spare, rounding, "the judge does not agree with z3 on z3's layout\n%v", f)
}

// requireSame compares our result with z3's.
func requireSame(t *testing.T, r search.Result, a answer, f files) {
	t.Helper()
	require.LessOrEqual(t, r.Spare, a.Spare+a.Margin+rounding, "more to spare than z3 says there can be\n%v", f)
	if !r.Proven {
		require.NotEqual(t, pack.ProvenNoFit, r.Verdict, f)
		return
	}
	if r.Bound >= 0 {
		require.InDelta(t, a.Spare, r.Spare, search.Closed+rounding, "not the greatest spare\n%v", f)
	}
	if math.Abs(a.Spare) > search.Closed {
		require.Equal(t, a.Spare >= 0, r.Verdict.Fits(), "verdict %v, z3 %v\n%v", r.Verdict, a.Spare, f)
		require.Equal(t, a.Spare < 0, r.Verdict == pack.ProvenNoFit, "verdict %v, z3 %v\n%v", r.Verdict, a.Spare, f)
	}
}

// requireSure compares the verdict with what z3 says of the problem at its worst. A
// layout that is sure shows that there is one; where ours is tight another may be sure.
func requireSure(t *testing.T, worst answer, r search.Result, f files) {
	t.Helper()
	require.NoError(t, r.AskSure(f.problem(t), outcome.Means{GoesIn: func(pack.Problem, pack.Layout) (entry.Answer, bool) {
		return entry.Answer{}, true
	}}))
	t.Logf("%v, at its worst z3 says %s in %.2f s", r.Verdict, worst.Status, worst.Seconds)
	if r.Verdict == pack.Sure {
		require.NotEqual(t, "unsat", worst.Status, "sure, and z3 says that at its worst nothing fits\n%v", f)
	}
}
