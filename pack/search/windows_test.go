package search_test

import (
	"context"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/search"
)

// window is a random opening between plates on both flanks, one with a window, the top open or closed by
// a plate that leaves a slot: one to three boxes, some with posts, go in by turning a corner or not at all,
// and which of them goes in first matters.
func window(tb testing.TB, seed uint64) pack.Problem {
	tb.Helper()
	g := generatorFor(seed ^ 0x817d)
	w, h, across := g.between(220, 420), g.between(180, 300), g.between(150, 240)
	var plates []string
	plate := func(x0, x1, y0, y1, z0, z1 int) {
		if x0 < x1 && z0 < z1 {
			plates = append(plates, fmt.Sprintf("{name: plate %d, box: {low: [%d, %d, %d], high: [%d, %d, %d]}}", len(plates)+1, x0, y0, z0, x1, y1, z1))
		}
	}
	a, b := g.between(0, w/3), g.between(0, h/3)
	c, d := a+g.between(70, w), b+g.between(60, h)
	half := across / 2
	plate(-50, w+50, -half-8, -half, -50, h+50)
	plate(-50, a, half, half+8, -50, h+50)
	plate(c, w+50, half, half+8, -50, h+50)
	plate(a, c, half, half+8, -50, b)
	plate(a, c, half, half+8, d, h+50)
	if g.oneIn(2) {
		x := g.between(0, w/2)
		plate(-50, x, -half, half, h, h+8)
		plate(x+g.between(60, 200), w+50, -half, half, h, h+8)
	} else {
		plate(-50, w+50, -half, half, h, h+8)
	}
	if g.oneIn(2) {
		z := g.between(h/4, h/2)
		plates = append(plates, fmt.Sprintf("{name: bar, round: {from: [%d, %d, %d], to: [%d, %d, %d], diameter: %d}}", w/2, -half, z, w/2+g.between(-20, 20), half, z, g.between(10, 30)))
	}
	text := fmt.Sprintf("format: 1\nframe: window\nopening: {outline: [[0, 0], [%d, 0], [%d, %d], [0, %d]], sides: [floor, front, top, back], open: [top], across: %d}\nkeepouts:\n  - %s\n", w, w, h, h, across, strings.Join(plates, "\n  - "))
	count := 1 + g.IntN(3)
	posts := ""
	if g.oneIn(2) {
		posts = fmt.Sprintf("{name: plus, face: %s, at: [15, 15], diameter: 10, height: 6}", []string{"top", "front", "left"}[g.IntN(3)])
	}
	load := fmt.Sprintf("format: 1\npack: load\ngaps: {beside: %d, above: 2, wall: 1, keepout: %d, entry: %d}\nboxes: [{name: b, count: %d, size: [%d, %d, %d], stand: [upright, on-side], posts: [%s]}]",
		g.between(0, 3), g.between(0, 3), g.between(1, 3), count, g.between(50, 3*w/(count+3)), g.between(50, across-20), g.between(50, 2*h/3), posts)
	f, err := frame.Read(strings.NewReader(text), "frame.yaml")
	require.NoError(tb, err, text)
	p, err := pack.Read(strings.NewReader(load), "pack.yaml")
	require.NoError(tb, err, load)
	problem, err := pack.NewProblem(f, p)
	require.NoError(tb, err)
	return problem
}

// No layout that goes in has more to spare than an earlier search said is possible, of problems in which the
// way in decides; see TestNoWrongBound. RACKWRIGHT_BOUNDS tries more.
func TestNoWrongBoundWhereWaysDecide(t *testing.T) {
	seeds := seedsOf(t, "RACKWRIGHT_BOUNDS")
	if seeds == nil {
		seeds = []uint64{10, 16, 25}
	}
	for _, seed := range seeds {
		problem := window(t, seed)
		a := searched(t, problem, seed, 5e7)
		b := searched(t, problem, seed+500, 2e8)
		notAbove(t, seed, a, b)
		notAbove(t, seed, b, a)
	}
}

// Problems in which the way in decides are proven with little work, some tenths of a second: the programs of
// the proof know of ways, and do not close in on the edge of what goes in by halves. RACKWRIGHT_WINDOWS=N (or
// a-b) tries others, of which about five in six are proven with as much.
func TestWaysInAreProven(t *testing.T) {
	seeds := seedsOf(t, "RACKWRIGHT_WINDOWS")
	if seeds == nil {
		seeds = []uint64{1, 3, 4, 5, 13, 16, 19, 29}
	}
	proven, barred, none := 0, 0, 0
	for _, seed := range seeds {
		problem := window(t, seed)
		r, err := search.Fit(context.Background(), problem, search.Settings{Seed: seed, Layouts: 1, Work: 6e7})
		require.NoError(t, err)
		if r.Proven || r.Verdict == pack.ProvenNoFit {
			proven++
		}
		if r.Barred != nil {
			barred++
		}
		if r.Verdict == pack.ProvenNoFit && r.Spare >= 0 {
			none++
		}
		t.Logf("seed %3d, %d boxes: %-12v %8.3f ≤ %8.3f proven %v%s", seed, boxCount(problem), r.Verdict, r.Spare, r.Bound, r.Proven || r.Verdict == pack.ProvenNoFit, barredWords(r))
	}
	if os.Getenv("RACKWRIGHT_WINDOWS") == "" {
		require.Equal(t, len(seeds), proven)
	}
	t.Logf("of %d problems %d proven; %d where more would fit but not go in, %d where nothing goes in", len(seeds), proven, barred, none)
}
