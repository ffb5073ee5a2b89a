package search_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack/search"
)

// The search beside the better of two other solvers: z3, and HiGHS (Huangfu & Hall, Mathematical
// Programming Computation 10 (2018); Debian's python3-scipy) on a mixed-integer program whose constants
// are tightened from a first layout. All three have the same files, and prove the same greatest spare,
// to 0.01 mm. What counts is processor time, so that a busy machine does no harm; the time that the
// others take to read the question is left out.

// solved is what a solver says.
type solved struct {
	Status    string
	Spare     float64
	Processor float64 `json:"processor_seconds"`
}

// asked asks a solver in a process of its own.
func asked(tb testing.TB, script string, f files, lowest float64, seconds int) solved {
	tb.Helper()
	q, err := json.Marshal(question{files: f, Ask: "optimize", Lowest: lowest, Seconds: seconds})
	require.NoError(tb, err)
	cmd := exec.CommandContext(tb.Context(), python, "testdata/"+script)
	in, err := cmd.StdinPipe()
	require.NoError(tb, err)
	go func() {
		_, _ = in.Write(append(q, '\n'))
		_ = in.Close()
	}()
	out, err := cmd.Output()
	require.NoError(tb, err, script)
	var a solved
	require.NoError(tb, json.Unmarshal(out, &a))
	return a
}

// bareFiles are random bare boxes in any rotation: loose or tight, of one kind or two, in the slanted
// opening or, with a corner that points inward and a keep-out, in a stepped one.
func bareFiles(seed uint64, count int) files {
	g := generatorFor(seed ^ uint64(count)<<32)
	volume := 57e6 * (0.22 + 0.25*g.Float64()) / float64(count)
	kinds := 1 + g.IntN(2)
	sizes := make([][4]int, kinds)
	for i := range sizes {
		side := math.Cbrt(volume * (0.7 + 0.6*g.Float64()))
		a, b := 0.8+0.5*g.Float64(), 0.8+0.4*g.Float64()
		sizes[i] = [4]int{count / kinds, int(side * a), int(side * b), int(side / a / b)}
	}
	sizes[0][0] += count - kinds*(count/kinds)
	f := slantedFiles(sizes...)
	if g.oneIn(2) {
		f.Frame.Opening.Outline = [][2]int{{0, 120}, {150, 120}, {150, 0}, {560, 0}, {600, 420}, {0, 440}}
		f.Frame.KeepOuts = []keepOutJSON{{Name: "block", Box: &cornJSON{Low: [3]int{480, -140, 340}, High: [3]int{600, -20, 440}}, Metal: true}}
	}
	return f
}

// TestBesideOtherSolvers holds in every run that all three agree on two small problems, and with
// RACKWRIGHT_RATIOS=N tells the ratios of N problems of each number of boxes from 4 to 8
// (RACKWRIGHT_RATIOS_SECONDS for each solver, 120 where it is not given). Where the one does not end
// before the other has, or neither does, the ratio is at least that of the processor time that it had.
func TestBesideOtherSolvers(t *testing.T) {
	startZ3(t) // skips where it is missing
	if exec.Command(python, "-c", "import scipy.optimize").Run() != nil {
		if os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") != "" {
			t.Fatal("python3-scipy is missing")
		}
		t.Skip("python3-scipy is missing")
	}
	number, seconds := 0, 120
	if s := os.Getenv("RACKWRIGHT_RATIOS"); s != "" {
		_, err := fmt.Sscan(s, &number)
		require.NoError(t, err)
	}
	if s := os.Getenv("RACKWRIGHT_RATIOS_SECONDS"); s != "" {
		_, err := fmt.Sscan(s, &seconds)
		require.NoError(t, err)
	}
	for _, seed := range []uint64{1, 2} {
		ratioOf(t, seed, 3, 600)
	}
	for count := 4; count <= 8 && number > 0; count++ {
		var ratios []float64
		for seed := range uint64(number) {
			if ratio, ok := ratioOf(t, seed, count, seconds); ok {
				ratios = append(ratios, ratio)
			}
		}
		slices.Sort(ratios)
		t.Logf("%d boxes: ratio to the better of both at least %.1f, median %.1f, of %d", count, ratios[0], ratios[len(ratios)/2], len(ratios))
	}
}

// ratioOf is how many times as long the better of the others takes as the search; false for a problem
// in which nothing fits.
func ratioOf(t *testing.T, seed uint64, count, seconds int) (float64, bool) {
	t.Helper()
	f := bareFiles(seed, count)
	problem := f.problem(t)
	first := math.Inf(-1)
	from := processorTime()
	r, err := search.Fit(context.Background(), problem, search.Settings{AnyEntry: true, Work: 60e9, Progress: func(p search.Progress) {
		if math.IsInf(first, -1) && p.Spare >= 0 {
			first = p.Spare
		}
	}})
	ours := processorTime() - from
	require.NoError(t, err)
	if r.Spare < 0 {
		return 0, false
	}
	z, h := asked(t, "z3spare.py", f, first, seconds), asked(t, "highs.py", f, first, seconds)
	for _, a := range []solved{z, h} {
		if a.Status == "done" {
			require.LessOrEqual(t, a.Spare, r.Bound+rounding, "seed %d of %d boxes: above our bound", seed, count)
			require.True(t, !r.Proven || a.Spare >= r.Spare-search.Closed-rounding, "seed %d of %d boxes: less than ours", seed, count)
		}
	}
	better := min(z.Processor, h.Processor)
	t.Logf("%d boxes, seed %d: ours %.3f mm in %.2f s (proven %v), z3 %s in %.2f s, HiGHS %s in %.2f s: ratio at least %.1f",
		count, seed, r.Spare, ours, r.Proven, z.Status, z.Processor, h.Status, h.Processor, better/ours)
	return better / ours, true
}
