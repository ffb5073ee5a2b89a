package whatif_test

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/outcome"
	"rackwright/pack/search"
	"rackwright/pack/whatif"
)

// read makes a problem of two files.
func read(t *testing.T, frameText, packText string) pack.Problem {
	t.Helper()
	f, err := frame.Read(strings.NewReader("format: 1\nframe: cage\n"+frameText), "frame.yaml")
	require.NoError(t, err)
	p, err := pack.Read(strings.NewReader("format: 1\npack: load\n"+packText), "pack.yaml")
	require.NoError(t, err)
	problem, err := pack.NewProblem(f, p)
	require.NoError(t, err)
	return problem
}

// eased searches a problem that layouts fit but none goes into, with its tool, and asks which one thing
// would give an answer. What is given is asked of the judge and of the planner again, and is none as
// things are.
func eased(t *testing.T, problem pack.Problem) *whatif.Eased {
	t.Helper()
	s := whatif.Settings{Search: search.Settings{Seed: 1, Work: 1e9}}
	r, err := search.Fit(context.Background(), problem, s.Search)
	require.NoError(t, err)
	e, err := whatif.Ease(context.Background(), problem, r, s)
	require.NoError(t, err)
	if e == nil {
		return nil
	}
	for _, one := range e.Gives {
		tool := entry.Settings{Tool: one.Tool}
		require.True(t, pack.Check(one.Problem, one.Layout).Holds(), one.Name)
		a, err := entry.Plan(context.Background(), one.Problem, one.Layout, tool)
		require.NoError(t, err)
		require.True(t, a.Holds(), one.Name)
		a, err = entry.Plan(context.Background(), problem, one.Layout, entry.Settings{})
		require.NoError(t, err)
		require.False(t, a.Holds(), "%s is not needed", one.Name)
	}
	return e
}

func gives(e *whatif.Eased) map[string]whatif.Easing {
	all := map[string]whatif.Easing{}
	for _, one := range e.Gives {
		all[one.Name] = one
	}
	return all
}

const standing = `
boxes:
  - {name: battery, size: [130, 160, 130], posts: [
      {name: plus, face: top, at: [25, 80], diameter: 12, height: 5},
      {name: minus, face: top, at: [65, 80], diameter: 12, height: 5}]}
`

// Posts end 135 mm above the floor where the box stands on it, and the seat begins at 205: a tool of 70 mm
// is the longest that has room (derived), and with the seat away any has.
func TestTheLongestToolThatReaches(t *testing.T) {
	e := eased(t, read(t, `
opening: {outline: [[0, 0], [300, 0], [300, 200], [0, 200]], sides: [floor, front, top, back], open: [top], across: 200}
keepouts: [{name: seat, outline: [[-20, 205], [320, 205], [320, 280], [-20, 280]], across: 200, metal: false}]
`, standing))
	all := gives(e)
	require.Len(t, all, 2)
	require.Equal(t, entry.Tool{Diameter: 30, Length: 70}, all["a shorter tool"].Tool)
	require.True(t, all["a shorter tool"].Longest)
	require.Equal(t, whatif.LiftsOff, all["seat"].By)
	require.Subset(t, e.Hopeless, []string{"battery plus", "battery minus", "floor", "front", "back"})
}

// Bars over both ends leave a tool room in the middle alone: whichever way the box looks, its plus is under
// one of them. Its cable may be joined first, or one bar taken off.
func TestACableJoinedFirst(t *testing.T) {
	problem := read(t, `
opening: {outline: [[0, 0], [140, 0], [140, 200], [0, 200]], sides: [floor, front, top, back], open: [top], across: 200}
rails:
  - {name: rear bar, path: [[20, -120, 195], [20, 120, 195]], diameter: 20}
  - {name: front bar, path: [[120, -120, 195], [120, 120, 195]], diameter: 20}
`, standing)
	all := gives(eased(t, problem))
	require.Equal(t, []pack.Part{{Box: "battery", Number: 1, Post: "plus"}}, all["battery plus"].Posts)
	require.Equal(t, whatif.ComesOff, all["rear bar"].By)
	require.Contains(t, all, "front bar")
	require.NotContains(t, all, "battery minus")

	// What the builder then writes into the file is an answer.
	joined := read(t, `
opening: {outline: [[0, 0], [140, 0], [140, 200], [0, 200]], open: [side 3], across: 200}
rails:
  - {name: rear bar, path: [[20, -120, 195], [20, 120, 195]], diameter: 20}
  - {name: front bar, path: [[120, -120, 195], [120, 120, 195]], diameter: 20}
`, strings.Replace(standing, "{name: plus,", "{name: plus, joined_first: true,", 1))
	r, err := search.Fit(context.Background(), joined, search.Settings{Work: 1e9})
	require.NoError(t, err)
	require.True(t, r.Verdict.Fits())
	require.Equal(t, "connect battery 1 plus before battery 1 goes in", r.Layouts[0].Entry.Reach[0].Words())
}

// Rails along both sides and closed ends let a box out by the top alone.
func TestASideThatHasToBeOpen(t *testing.T) {
	e := eased(t, read(t, `
opening: {outline: [[0, 0], [300, 0], [300, 200], [0, 200]], sides: [floor, front, top, back], across: 180}
rails:
  - {name: low, path: [[-20, 110, 60], [320, 110, 60]], diameter: 20, mirror: true}
  - {name: high, path: [[-20, 110, 140], [320, 110, 140]], diameter: 20, mirror: true}
`, "boxes: [{name: crate, size: [280, 160, 140]}]"))
	all := gives(e)
	require.Equal(t, whatif.OpenSide, all["top"].By)
	require.Contains(t, all, "floor", "from below as well")
	require.ElementsMatch(t, e.Hopeless, []string{"low", "high"})
	require.Empty(t, e.Open)
}

// What fits, and what does not even without a way in, has no such thing.
func TestNothingToEase(t *testing.T) {
	require.Nil(t, eased(t, problem(chest(200, 200, 150), kind("b", 1, 100, 80, 90))))
	require.Nil(t, eased(t, problem(chest(200, 200, 150), kind("b", 1, 300, 80, 90))))
	some, err := whatif.Ease(context.Background(), problem(chest(200, 200, 150), kind("b", 1, 100, 80, 90)), outcome.Result{}, settings())
	require.NoError(t, err)
	require.Nil(t, some)
}
