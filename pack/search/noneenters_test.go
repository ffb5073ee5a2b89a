package search_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/search"
)

// cage is a random opening that is hard to get into and to reach into: few open sides, rails along both
// flanks, a seat overhead; and one box, mostly with posts.
func cage(tb testing.TB, seed uint64) pack.Problem {
	tb.Helper()
	g := generatorFor(seed ^ 0xca6e)
	w, h, across := g.between(200, 320), g.between(180, 260), 2*g.between(80, 110)
	open := ""
	if g.oneIn(2) {
		open = "open: [top], "
	}
	text := fmt.Sprintf("format: 1\nframe: cage\nopening: {outline: [[0, 0], [%d, 0], [%d, %d], [0, %d]], sides: [floor, front, top, back], %sacross: %d}\n", w, w, h, h, open, across)
	text += "rails:\n"
	for i, z := range []int{g.between(20, h/3), g.between(h/3, 2*h/3), g.between(2*h/3, h)} {
		y := across/2 + g.between(0, 20)
		text += fmt.Sprintf("  - {name: rail %d, path: [[-30, %d, %d], [%d, %d, %d]], diameter: %d, mirror: true}\n", i, y, z, w+30, y, z, g.between(16, 30))
	}
	if g.oneIn(2) {
		z := h + g.between(0, 40)
		text += fmt.Sprintf("keepouts: [{name: seat, outline: [[-20, %d], [%d, %d], [%d, %d], [-20, %d]], across: %d, metal: false}]\n", z, w+20, z, w+20, z+60, z+60, across)
	}
	size := [3]int{w - g.between(20, 110), across - g.between(10, 60), h - g.between(15, 90)}
	load := fmt.Sprintf("format: 1\npack: load\nboxes: [{name: b, size: [%d, %d, %d], stand: [upright, on-side], posts: [", size[0], size[1], size[2])
	if !g.oneIn(3) {
		load += fmt.Sprintf("{name: plus, face: %s, at: [25, %d], diameter: 12, height: 8}", []string{"top", "front", "left"}[g.IntN(3)], g.between(20, size[1]/2))
	}
	f, err := frame.Read(strings.NewReader(text), "frame.yaml")
	require.NoError(tb, err, text)
	p, err := pack.Read(strings.NewReader(load+"]}]"), "pack.yaml")
	require.NoError(tb, err, load)
	problem, err := pack.NewProblem(f, p)
	require.NoError(tb, err)
	return problem
}

// Where it is proven that in no layout with room all boxes go in and tools reach their posts, the planner
// finds none that does on a grid of all orientations and places, the ends of each range among them. It
// looks at one layout at a time, the proof at sets of them. RACKWRIGHT_STRANDED=N (or a-b) tries more.
func TestNoneGoesInWhereThatIsProven(t *testing.T) {
	seeds := seedsOf(t, "RACKWRIGHT_STRANDED")
	if seeds == nil {
		seeds = []uint64{0, 1, 2, 3, 4, 5}
	}
	const steps = 4
	proven, looked := 0, 0
	for _, seed := range seeds {
		problem := cage(t, seed)
		r, err := search.Fit(context.Background(), problem, search.Settings{Seed: seed, Layouts: 1, Work: 3e8})
		require.NoError(t, err)
		if r.Verdict != pack.ProvenNoFit || r.Spare < 0 {
			continue
		}
		proven++
		room := geom.Prism{Profile: problem.Frame.Opening.Outline.Hull(), Depth: problem.Frame.Opening.Widest()}
		for _, o := range problem.Pack.Kinds[0].Orientations() {
			at := pack.Placement{Box: "b", Number: 1, Orientation: o}
			bodies, err := problem.Bodies(at)
			require.NoError(t, err)
			var free [3]r1.Interval // for the middle of the case
			for axis, u := range []r3.Vector{{X: 1}, {Y: 1}, {Z: 1}} {
				in, half := room.Extent(u), bodies.Case.Extent(u)
				free[axis] = r1.Interval{Lo: in.Lo - half.Lo, Hi: in.Hi - half.Hi}
			}
			if free[0].IsEmpty() || free[1].IsEmpty() || free[2].IsEmpty() {
				continue
			}
			for n := range (steps + 1) * (steps + 1) * (steps + 1) {
				part := func(axis, k int) float64 {
					return free[axis].Lo + free[axis].Length()*float64(k)/steps
				}
				at.Centre = r3.Vector{X: part(0, n%(steps+1)), Y: part(1, n/(steps+1)%(steps+1)), Z: part(2, n/(steps+1)/(steps+1))}
				layout := pack.Layout{Placements: []pack.Placement{at}}
				if !pack.Check(problem, layout).Holds() {
					continue
				}
				looked++
				in, err := entry.Holds(context.Background(), problem, layout, entry.Settings{})
				require.NoError(t, err)
				require.False(t, in, "seed %d is proven not to go in, but does at %v", seed, at)
			}
		}
	}
	t.Logf("of %d problems %d proven so, %d layouts with room looked at", len(seeds), proven, looked)
	require.Positive(t, proven)
	require.Greater(t, looked, 20*proven)
}
