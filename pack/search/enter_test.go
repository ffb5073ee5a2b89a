package search

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// closed is a chest with plates at both ends across, so that nothing slides in.
func closed(x, y, z float64) *frame.Frame {
	f := kit.Chest(x, y, z)
	plate := func(name string, lo, hi float64) frame.KeepOut {
		return frame.KeepOut{Name: name, Box: &frame.Corners{Low: r3.Vector{X: -50, Y: lo, Z: -50}, High: r3.Vector{X: x + 50, Y: hi, Z: z + 50}}}
	}
	f.KeepOuts = []frame.KeepOut{plate("right plate", -10, 0), plate("left plate", y, y+10)}
	f.Opening.Sides = []string{"floor", "front", "top", "rear"}
	f.Opening.Open = []bool{false, false, false, false}
	return f
}

// An opening closed on all sides takes no box, and that is proven; the layout that would fit is told of.
func TestClosedOnAllSides(t *testing.T) {
	p := kit.NoGaps(closed(100, 100, 100), kit.Upright(kit.Boxes("box", 1, 40, 40, 40)))
	p.Pack.Gaps.Entry = 2
	r := fit(t, p)
	require.Equal(t, pack.ProvenNoFit, r.Verdict)
	require.InDelta(t, 30, r.Spare, 1e-6, "(100 − 40)/2 on all sides")
	require.Negative(t, r.Bound)
	require.Contains(t, r.Reason, "put in")
	require.NotEmpty(t, r.Layouts[0].Entry.Stuck.Words())

	all, err := Fit(context.Background(), p, Settings{AnyEntry: true})
	require.NoError(t, err)
	require.Equal(t, pack.Fits, all.Verdict)
	require.True(t, all.Proven)

	p.Frame.Opening.Open[2] = true
	r = fit(t, p)
	require.Equal(t, pack.Fits, r.Verdict)
	require.True(t, r.Layouts[0].Entry.Holds())
	require.Nil(t, r.Barred)
	requireOrder(t, p, r.Layouts[0])
}

// Derived: under the shelf (z from 0 to 50) the box has 7 mm to spare, above it (z from
// 60 to 100) 2 mm; the slot beside the shelf is 38 mm wide, and the box needs 36 + 2·2.
func TestTheBestThatGoesIn(t *testing.T) {
	f := closed(100, 100, 100)
	f.Opening.Open[2] = true
	f.KeepOuts = append(f.KeepOuts, frame.KeepOut{
		Name: "shelf", Box: &frame.Corners{Low: r3.Vector{X: 0, Y: 0, Z: 50}, High: r3.Vector{X: 62, Y: 100, Z: 60}},
	})
	p := kit.NoGaps(f, kit.Upright(kit.Boxes("box", 1, 36, 36, 36)))
	p.Pack.Gaps.Entry = 2
	r, err := Fit(context.Background(), p, Settings{})
	require.NoError(t, err)
	require.InDelta(t, 2, r.Spare, 1e-6)
	require.InDelta(t, 2, r.Bound, 1e-3, "true of every layout that goes in")
	require.True(t, r.Proven)
	require.NotNil(t, r.Barred)
	require.InDelta(t, 7, r.Barred.Report.Spare, 1e-6)
	require.Contains(t, r.Barred.Entry.Stuck.Words(), "shelf")
	requireOrder(t, p, r.Layouts[0])
	for _, l := range r.Layouts {
		require.True(t, l.Report.Spare < 0 || l.Entry.Holds())
	}
}

// A post that looks at the floor from 10 mm above it has no room for a tool; the box
// can stand the other way up.
func TestPostsHaveRoomForATool(t *testing.T) {
	k := kit.Boxes("box", 1, 60, 60, 60)
	k.Stands = []pack.Stand{pack.Upright, pack.Inverted}
	k.Posts = []pack.Post{{Name: "plus", Face: pack.Bottom, At: r2.Point{X: 30, Y: 30}, Diameter: 10, Height: 5}}
	p := kit.NoGaps(kit.Chest(300, 100, 100), k)
	p.Frame.Opening.Sides = []string{"floor", "front", "top", "rear"}
	p.Frame.Opening.Open = []bool{false, false, true, false}
	r := fit(t, p)
	require.Equal(t, pack.Bottom, r.Layouts[0].Layout.Placements[0].Up)
	require.True(t, r.Layouts[0].Entry.Holds())
}

func requireOrder(t *testing.T, p pack.Problem, f Found) {
	t.Helper()
	faults, err := entry.Verify(p, f.Layout, f.Entry.Order)
	require.NoError(t, err)
	require.Empty(t, faults)
}

// Starts build on more layouts than a result tells of.
func TestResultsTellOfNoMoreThanAsked(t *testing.T) {
	r := runOf(testContext, kit.WithPosts(), Settings{AnyEntry: true}.withDefaults())
	for n := range 4 {
		r.tryBatch(4*n, 4*n+4)
	}
	require.Greater(t, len(r.any.best), r.settings.Layouts)
	best := r.any.spare()
	r.tidyAll()
	require.Len(t, r.any.best, r.settings.Layouts)
	require.InDelta(t, best, r.any.spare(), Closed)
}

// An error of the planner is told, not taken for a layout that does not go in. (Two kinds of one
// name cannot be read from a file; the planner refuses a layout that has a box twice.)
func TestErrorsOfTheEntryAreTold(t *testing.T) {
	p := kit.NoGaps(kit.Chest(300, 100, 100), kit.Upright(kit.Boxes("same", 1, 40, 40, 40)), kit.Upright(kit.Boxes("same", 1, 50, 50, 50)))
	_, err := Fit(context.Background(), p, Settings{})
	require.ErrorContains(t, err, "has same 1 twice")
}

// Once the search has to end, whether a layout goes in is found out in little more work or stays
// unknown, and is not taken for a no.
func TestEntryEndsWithTheSearch(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	p := kit.NoGaps(kit.Chest(300, 100, 100), kit.Upright(kit.Boxes("box", 2, 40, 40, 40)))
	r, err := newRun(ctx, p, Settings{}.withDefaults())
	require.NoError(t, err)
	c := r.startFrom(0, nil, rand.New(rand.NewPCG(1, 2)), new(model.Effort))
	require.Positive(t, c.spare)
	cancel()
	r.late = entry.Late(ctx, 0)
	r.isAnswer(&c, new(model.Effort))
	require.Equal(t, unasked, c.entry)
	r.any.add(c)
	res, err := r.result()
	require.NoError(t, err)
	require.Equal(t, pack.NoFitFound, res.Verdict)
	require.True(t, res.Layouts[0].Entry.Unknown)
	r.late = entry.Late(ctx, lateEntries)
	require.True(t, r.isAnswer(&c, new(model.Effort)))

	// What is known to go in is told so, though nothing is left to look with.
	r.pool.add(c)
	r.late = entry.Late(ctx, 0)
	res, err = r.result()
	require.NoError(t, err)
	require.Equal(t, pack.Fits, res.Verdict)
}
