package search

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
)

// faceToFace is two boxes 100 by 110 by 40 mm in a chest 260 mm long, each with two posts, 6 mm
// high, that look at the other.
func faceToFace(across, high float64) (*run, []spot) {
	k := upright(boxes("block", 2, 100, 110, 40))
	for _, y := range []float64{50, 60} {
		k.Posts = append(k.Posts, pack.Post{Face: pack.Front, At: r2.Point{X: y, Y: 20}, Diameter: 10, Height: 6})
	}
	f := chest(260, across, high)
	f.Opening.Open = []bool{true, true, true, true}
	r := newRun(testContext, bare(f, k), Settings{}.withDefaults())
	towards := func(way float64) int {
		return slices.IndexFunc(r.poses[0], func(p *pose) bool { return p.parts[1].offset.X*way > 50 })
	}
	return r, []spot{
		{towards(1), r3.Vector{X: 66, Y: across / 2, Z: high / 2}},
		{towards(-1), r3.Vector{X: 194, Y: across / 2, Z: high / 2}},
	}
}

// Tools, 30 mm in diameter, need the boxes 35 mm one above the other, for which a chest 80 mm high
// has room that leaves (80 − 75) / 2, or 75 mm beside each other: then three spares share
// 260 − 106 − 100 mm, for the posts still look at the other box.
func TestRestoreFindsTheBetterWay(t *testing.T) {
	r, spots := faceToFace(260, 80)
	v := r.newImprover(spots)
	v.forTools()
	require.True(t, v.lacking)
	v.climb()
	require.InDelta(t, 2.5, v.spare, 1e-6, "what is nearest")
	w := r.newImprover(spots)
	w.forTools()
	require.True(t, w.restore(2.5))
	require.True(t, roomy(r, w.spots))
	require.False(t, w.lacking)
	w.climb()
	require.InDelta(t, 18, w.spare, 1e-6)
}

// In a chest that is too narrow for that one of the boxes has to look the other way, out of an
// open side: 260 − 106 − 106 mm are to be shared, for its posts keep away from the side as well.
func TestRestoreTurnsBoxes(t *testing.T) {
	r, spots := faceToFace(150, 80)
	w := r.newImprover(spots)
	w.forTools()
	require.True(t, w.lacking)
	require.True(t, w.restore(10))
	require.True(t, roomy(r, w.spots))
	require.InDelta(t, 16, w.spare, 1e-6)
}

// More than there is, is not found, and nothing has changed then.
func TestRestoreLeavesWhatItCannotGive(t *testing.T) {
	r, spots := faceToFace(260, 80)
	w := r.newImprover(spots)
	w.forTools()
	spare := w.spare
	require.False(t, w.restore(18.5))
	require.Equal(t, spots, w.spots)
	require.Equal(t, spare, w.spare)
	require.True(t, w.tools && w.lacking)
}

// What is restored has more to spare than asked for, and geom measures that the tools have their
// room.
func TestRestoredToolsHaveRoom(t *testing.T) {
	r, _ := faceToFace(140, 90)
	rng := rand.New(rand.NewPCG(9, 10))
	restored, not := 0, 0
	for range 1500 {
		free := r.newImprover([]spot{r.randomSpot(0, rng), r.randomSpot(1, rng)})
		free.run(math.Inf(-1))
		v := r.newImprover(free.spots)
		if v.forTools(); !v.lacking {
			continue
		}
		least := 1.2 * v.spare * rng.Float64()
		if !v.restore(least) {
			require.Equal(t, free.spots, v.spots)
			not++
			continue
		}
		restored++
		require.Greater(t, v.spare, least)
		require.True(t, roomy(r, v.spots), "%v", v.spots)
	}
	t.Logf("%d restored, %d not", restored, not)
	require.Greater(t, min(restored, not), 10)
}

// A start gives no less than the layout it has reached with room for tools, and more only with it.
func TestRelaxedIsNoWorse(t *testing.T) {
	r, _ := faceToFace(140, 90)
	rng := rand.New(rand.NewPCG(11, 12))
	better := 0
	for range 3000 {
		v := r.newImprover([]spot{r.randomSpot(0, rng), r.randomSpot(1, rng)})
		v.forTools()
		c := r.improved(0, v, new(effort))
		to := r.relaxed(c, v, new(effort))
		require.GreaterOrEqual(t, to.spare, c.spare)
		if to.spare > c.spare+enough {
			better++
			require.True(t, roomy(r, to.spots))
			before := to.early
			for !slices.Equal(before.spots, c.spots) {
				before = before.early
				require.NotNil(t, before, "what it was is lost")
			}
			require.NotEqual(t, to.start, before.start)
		}
	}
	t.Logf("%d better", better)
	require.Greater(t, better, 5)
}
