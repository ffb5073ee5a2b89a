package search_test

import (
	"bytes"
	"context"
	"fmt"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/internal/secondjudge"
	"rackwright/pack/search"
)

// cage is a random opening that is hard to get into and to reach into: few open sides, rails along both
// flanks, a seat overhead; and one box, mostly with posts.
func cage(tb testing.TB, seed uint64) pack.Problem {
	tb.Helper()
	frameFile, packFile := cageFiles(seed, 1)
	return secondjudge.Problem(tb, frameFile, packFile)
}

// cageFiles are the two files of a cage with so many boxes, beside one another, which then may have posts
// on more of their faces.
func cageFiles(seed uint64, count int) (frameFile, packFile []byte) {
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
	size := [3]int{(w - g.between(20, 110)) / count, across - g.between(10, 60), h - g.between(15, 90)}
	load := fmt.Sprintf("format: 1\npack: load\nboxes: [{name: b, count: %d, size: [%d, %d, %d], stand: [upright, on-side], posts: [", count, size[0], size[1], size[2])
	faces := []string{"top", "front", "left"}
	if !g.oneIn(3) {
		load += fmt.Sprintf("{name: plus, face: %s, at: [25, %d], diameter: 12, height: 8}", faces[g.IntN(3)], g.between(20, size[1]/2))
		if count > 1 && g.oneIn(2) {
			load += fmt.Sprintf(", {name: minus, face: %s, at: [%d, %d], diameter: 10, height: 8}", append(faces, "back")[g.IntN(4)], g.between(12, 40), g.between(12, 40))
		}
	}
	return []byte(text), []byte(load + "]}]")
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

// The same claims, and bounds on what goes in, held by a program that shares nothing with the planner or
// the search: secondjudge's entering.py looks at the layouts of a grid one by one, of one to three boxes.
// Where it is proven that none goes in it finds none; where there is a bound, none with more to spare; and
// what it says goes in the planner, too, says goes in. RACKWRIGHT_STRANDED=N (or a-b) tries more.
func TestNoneGoesInByTheSecondJudge(t *testing.T) {
	judge := secondjudge.StartEntering(t)
	seeds := seedsOf(t, "RACKWRIGHT_STRANDED")
	if seeds == nil {
		seeds = []uint64{1, 3, 11}
	}
	var n struct{ proven, places, layouts, in int }
	for _, seed := range seeds {
		frameFile, packFile := cageFiles(seed, 1+int(seed%3))
		problem := secondjudge.Problem(t, frameFile, packFile)
		r, err := search.Fit(context.Background(), problem, search.Settings{Seed: seed, Work: 3e8})
		require.NoError(t, err)
		a := judge.Ask(t, frameFile, packFile, enteringGrid)
		if r.Verdict == pack.ProvenNoFit && r.Spare >= 0 {
			n.proven++
			n.places += a.Alone
		}
		n.layouts, n.in = n.layouts+a.Room, n.in+min(1, a.In)
		require.NoError(t, contradicts(t, problem, r, a), "seed %d\n%s%s", seed, frameFile, packFile)
		t.Logf("seed %d, %d boxes: %v, %.3f ≤ %.3f; of %d places and %d layouts %d go in", seed, 1+seed%3, r.Verdict, r.Spare, r.Bound, a.Alone, a.Room, a.In)
	}
	t.Logf("of %d problems %d proven so, with %d places that hold; in %d a layout goes in", len(seeds), n.proven, n.places, n.in)
	require.Positive(t, n.proven)
	require.Positive(t, n.places)
	require.Positive(t, n.in)
}

var enteringGrid = secondjudge.Grid{Steps: 4, Most: 60, Diameter: 30, Length: 80}

// contradicts is what a layout that goes in has against an answer; nil for nothing.
func contradicts(t *testing.T, problem pack.Problem, r search.Result, a secondjudge.Entered) error {
	t.Helper()
	if a.Spare == nil {
		return nil
	}
	require.Greater(t, *a.Spare, -exactly, "by the second judge in decimals")
	switch in, err := entry.Holds(context.Background(), problem, a.Layout, entry.Settings{}); {
	case r.Verdict == pack.ProvenNoFit:
		return fmt.Errorf("proven that none goes in, but this does: %v", a.Layout)
	case *a.Spare > r.Bound+exactly:
		return fmt.Errorf("%v mm to spare and goes in, where there is at most %v: %v", *a.Spare, r.Bound, a.Layout)
	case err != nil || !in:
		return fmt.Errorf("the planner finds no way in (%v): %v", err, a.Layout)
	}
	return nil
}

// Mistakes put in on purpose: a proof about a tool that is longer, and about an opening of which no side is
// open, is contradicted where a layout goes in.
func TestWrongClaimsOfNoneAreContradicted(t *testing.T) {
	judge := secondjudge.StartEntering(t)
	long := entry.Settings{Tool: entry.Tool{Diameter: 30, Length: 400}}
	for _, one := range []struct {
		seed       uint64
		long, shut bool
	}{{3, true, false}, {40, false, true}, {53, true, false}} {
		frameFile, packFile := cageFiles(one.seed, 1+int(one.seed%3))
		a := judge.Ask(t, frameFile, packFile, enteringGrid)
		require.Positive(t, a.In)
		refuted := func(frameFile []byte, tool entry.Settings) {
			problem := secondjudge.Problem(t, frameFile, packFile)
			r, err := search.Fit(context.Background(), problem, search.Settings{Seed: one.seed, Work: 3e8, Tool: tool})
			require.NoError(t, err)
			require.Equal(t, pack.ProvenNoFit, r.Verdict)
			require.ErrorContains(t, contradicts(t, problem, r, a), "but this does", "seed %d", one.seed)
		}
		if one.long {
			refuted(frameFile, long)
		}
		if one.shut {
			refuted(bytes.Replace(frameFile, []byte("open: [top], "), nil, 1), entry.Settings{})
		}
	}
}
