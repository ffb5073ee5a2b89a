package search

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/lp"
)

// inRow is a run with two boxes 100 by 110 by 40 mm in a chest 260 mm long, each with two posts,
// 6 mm high, beside each other, and the model of them bare.
func inRow(across, high float64) *run {
	k := upright(boxes("block", 2, 100, 110, 40))
	for _, y := range []float64{50, 60} {
		k.Posts = append(k.Posts, pack.Post{Face: pack.Front, At: r2.Point{X: y, Y: 20}, Diameter: 10, Height: 6})
	}
	f := chest(260, across, high)
	f.Opening.Open = []bool{true, true, true, true}
	r := runOf(testContext, bare(f, k), Settings{}.withDefaults())
	r.bare = r.m.bare()
	return r
}

// lengthwise is the bare layout with one box behind the other.
func lengthwise(r *run) *improver {
	across, high := r.m.room[1].Center(), r.m.room[2].Center()
	pose := slices.IndexFunc(r.bare.poses[0], func(p *pose) bool { return r.bare.isBare(p) && p.parts[0].half.X == 50 })
	v := newImprover(r.bare, []spot{{pose, r3.Vector{X: 66, Y: across, Z: high}}, {pose, r3.Vector{X: 194, Y: across, Z: high}}})
	v.climb()
	return v
}

// Three spares share the 260 − 200 mm that bare boxes leave. Where the chest is wide enough they
// keep that: the posts look past the other box, 110/2 + 10 mm and the spare beside its middle.
func TestDressedBoxesMakeRoomForPosts(t *testing.T) {
	r := inRow(260, 80)
	v := lengthwise(r)
	require.InDelta(t, 20, v.spare, 1e-6)
	spots, ok := v.dress(2.5, new(effort))
	require.True(t, ok)
	require.InDelta(t, 20, r.m.sharpLeft(spots), 1e-6)
	require.True(t, roomy(r, spots))
}

// In a chest too narrow and too low for that, boxes have to look out of its open ends: their posts
// keep away from these as well, and 260 − 212 mm are to be shared.
func TestDressedBoxesLookWhereToolsReach(t *testing.T) {
	r := inRow(150, 80)
	spots, ok := lengthwise(r).dress(10, new(effort))
	require.True(t, ok)
	require.InDelta(t, 16, r.m.sharpLeft(spots), 1e-6)
	require.True(t, roomy(r, spots))
	spots, ok = lengthwise(r).dress(16.1, new(effort))
	require.False(t, ok, "%v", spots)
}

// What is dressed has more to spare than asked for, by the model with posts, and geom measures that
// the tools have their room.
func TestDressedLayoutsHoldWithPosts(t *testing.T) {
	r := inRow(150, 80)
	rng := rand.New(rand.NewPCG(9, 10))
	dressed, not := 0, 0
	for range 500 {
		v := newImprover(r.bare, []spot{randomSpot(r.bare, 0, rng), randomSpot(r.bare, 1, rng)})
		v.climb()
		least := v.spare * (0.5 + rng.Float64()/2)
		if least < 0 {
			continue
		}
		spots, ok := v.dress(least, new(effort))
		if !ok {
			not++
			continue
		}
		dressed++
		require.Greater(t, r.m.sharpLeft(spots), least)
		require.True(t, roomy(r, spots), "%v", spots)
	}
	t.Logf("%d dressed, %d not", dressed, not)
	require.Greater(t, min(dressed, not), 10)
}

// A tree without jumps and without memory, which takes relations as they come, finds the same
// greatest spare.
func TestDresserAgainstPlainTree(t *testing.T) {
	k := upright(boxes("block", 3, 60, 50, 40))
	k.Posts = []pack.Post{{Face: pack.Front, At: r2.Point{X: 15, Y: 20}, Diameter: 10, Height: 8}}
	f := chest(185, 118, 62)
	f.Opening.Open = []bool{true, true, true, true}
	r := runOf(testContext, bare(f, k), Settings{}.withDefaults())
	r.bare = r.m.bare()
	rng := rand.New(rand.NewPCG(13, 14))
	gains := 0
	for n := range 60 {
		v := newImprover(r.bare, []spot{randomSpot(r.bare, 0, rng), randomSpot(r.bare, 1, rng), randomSpot(r.bare, 2, rng)})
		v.climb()
		if v.spare < 1 {
			continue
		}
		v.chooseSides()
		v.keepFirm()
		p := &plainTree{m: r.bare, best: 0}
		p.dress(v.program(), v.spots, 0)
		spots, ok := v.dress(0, new(effort))
		require.Equal(t, p.best > 0, ok, "layout %d: %v", n, p.best)
		if ok {
			gains++
			require.InDelta(t, p.best, r.m.sharpLeft(spots), 1e-6, "layout %d", n)
		}
	}
	t.Logf("%d layouts", gains)
	require.Greater(t, gains, 5)
}

// plainTree tries every pose for every box, and then every plane of every relation of two boxes.
type plainTree struct {
	m    *model
	best float64
}

func (p *plainTree) with(program *lp.Solver, sides ...side) (*lp.Solver, bool) {
	c := &lp.Solver{}
	c.CopyFrom(program)
	for _, s := range sides {
		c.Push(s.row(len(p.m.boxes)))
	}
	return c, c.Solve(p.best+enough) == lp.Optimal
}

func (p *plainTree) dress(program *lp.Solver, spots []spot, i int) {
	if i == len(spots) {
		p.clauses(program, spots, 1, 0, 0)
		return
	}
	for _, pose := range p.m.dressed[0] {
		if !p.m.poses[0][pose].sameCase(p.m.poseOf(i, spots[i])) {
			continue
		}
		next := slices.Clone(spots)
		next[i].pose = pose
		var sides []side
		for w, f := range p.m.walls[0][pose] {
			sides = append(sides, side{relation{sort: ofWall, i: i, which: w}, f})
		}
		if c, ok := p.with(program, sides...); ok {
			p.dress(c, next, i+1)
		}
	}
}

func (p *plainTree) clauses(program *lp.Solver, spots []spot, i, j, k int) {
	if i == len(spots) {
		p.best = max(p.best, program.Value())
		return
	}
	pair := p.m.pairingIn(j, spots[j], i, spots[i])
	var ways [][]side
	if k < len(pair.clauses) {
		for _, f := range pair.clauses[k].planes {
			ways = append(ways, []side{{relation{sort: ofBoxes, i: i, j: j, which: k}, f}})
		}
	} else {
		for _, tools := range pair.tools {
			for _, f := range tools[0].planes {
				f.k = 0
				ways = append(ways, []side{{relation{sort: ofTool, i: i, j: j}, f}})
			}
		}
	}
	for _, sides := range ways {
		c, ok := p.with(program, sides...)
		switch {
		case !ok:
		case k < len(pair.clauses):
			p.clauses(c, spots, i, j, k+1)
		case j+1 < i:
			p.clauses(c, spots, i, j+1, 0)
		default:
			p.clauses(c, spots, i+1, 0, 0)
		}
	}
}

// A start without posts gives a layout with more to spare than the best answer, or none; what is
// dressed anew has more than it had as well.
func TestUndressedBeatsTheBest(t *testing.T) {
	r := inRow(150, 120)
	rng := rand.New(rand.NewPCG(11, 12))
	undressed, redressed := 0, 0
	for range 300 {
		v := newImprover(r.m, []spot{randomSpot(r.m, 0, rng), randomSpot(r.m, 1, rng)})
		v.forTools()
		c := r.improved(0, v, new(effort))
		if v.lacking || c.spare < 0 {
			continue
		}
		better := func(to candidate) int {
			if to.spots == nil {
				return 0
			}
			require.Greater(t, to.spare, c.spare)
			require.True(t, roomy(r, to.spots))
			return 1
		}
		r.pool.best = []candidate{c}
		to, bare := r.undressed(perStart, c, rng, new(effort))
		require.InDelta(t, bare.spare, r.bare.sharpLeft(bare.spots), 1e-9)
		undressed += better(to)
		redressed += better(r.redressed(perStart+perStart/2, c, new(effort)))
	}
	t.Logf("%d undressed, %d redressed", undressed, redressed)
	require.Greater(t, min(undressed, redressed), 5)
}
