package improve

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/lp"
	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// dressing is a problem with boxes that have posts, and with the same bare.
type dressing struct{ m, bare *model.Model }

func dressingOf(p pack.Problem) dressing {
	m := withTools(p)
	return dressing{m, m.Bare()}
}

// lengthwise is the bare layout with one box behind the other.
func lengthwise(r dressing) *Improver {
	across, high := r.m.Room[1].Center(), r.m.Room[2].Center()
	pose := slices.IndexFunc(r.bare.Poses[0], func(p *model.Pose) bool { return r.bare.IsBare(p) && p.Parts[0].Half.X == 50 })
	v := New(r.bare, []model.Spot{{Pose: pose, At: r3.Vector{X: 66, Y: across, Z: high}}, {Pose: pose, At: r3.Vector{X: 194, Y: across, Z: high}}})
	v.Climb()
	return v
}

// Three spares share the 260 − 200 mm that bare boxes leave. Where the chest is wide enough they
// keep that: the posts look past the other box, 110/2 + 10 mm and the spare beside its middle.
func TestDressedBoxesMakeRoomForPosts(t *testing.T) {
	r := dressingOf(kit.InRow(260, 80))
	v := lengthwise(r)
	require.InDelta(t, 20, v.Spare, 1e-6)
	spots, ok := v.Dress(2.5, new(model.Effort))
	require.True(t, ok)
	require.InDelta(t, 20, r.m.SharpLeft(spots), 1e-6)
	require.True(t, roomy(r.m, spots))
}

// In a chest too narrow and too low for that, boxes have to look out of its open ends: their posts
// keep away from these as well, and 260 − 212 mm are to be shared.
func TestDressedBoxesLookWhereToolsReach(t *testing.T) {
	r := dressingOf(kit.InRow(150, 80))
	spots, ok := lengthwise(r).Dress(10, new(model.Effort))
	require.True(t, ok)
	require.InDelta(t, 16, r.m.SharpLeft(spots), 1e-6)
	require.True(t, roomy(r.m, spots))
	spots, ok = lengthwise(r).Dress(16.1, new(model.Effort))
	require.False(t, ok, "%v", spots)
}

// What is dressed has more to spare than asked for, by the model with posts, and geom measures that
// the tools have their room.
func TestDressedLayoutsHoldWithPosts(t *testing.T) {
	r := dressingOf(kit.InRow(150, 80))
	rng := rand.New(rand.NewPCG(9, 10))
	dressed, not := 0, 0
	for range 500 {
		v := New(r.bare, []model.Spot{r.bare.RandomSpot(0, rng), r.bare.RandomSpot(1, rng)})
		v.Climb()
		least := v.Spare * (0.5 + rng.Float64()/2)
		if least < 0 {
			continue
		}
		spots, ok := v.Dress(least, new(model.Effort))
		if !ok {
			not++
			continue
		}
		dressed++
		require.Greater(t, r.m.SharpLeft(spots), least)
		require.True(t, roomy(r.m, spots), "%v", spots)
	}
	t.Logf("%d dressed, %d not", dressed, not)
	require.Greater(t, min(dressed, not), 10)
}

// A tree without jumps and without memory, which takes relations as they come, finds the same
// greatest spare.
func TestDresserAgainstPlainTree(t *testing.T) {
	k := kit.Upright(kit.Boxes("block", 3, 60, 50, 40))
	k.Posts = []pack.Post{{Face: pack.Front, At: r2.Point{X: 15, Y: 20}, Diameter: 10, Height: 8}}
	f := kit.Chest(185, 118, 62)
	f.Opening.Open = []bool{true, true, true, true}
	r := dressingOf(kit.NoGaps(f, k))
	rng := rand.New(rand.NewPCG(13, 14))
	gains := 0
	for n := range 60 {
		v := New(r.bare, []model.Spot{r.bare.RandomSpot(0, rng), r.bare.RandomSpot(1, rng), r.bare.RandomSpot(2, rng)})
		v.Climb()
		if v.Spare < 1 {
			continue
		}
		v.chooseSides()
		v.keepFirm()
		p := &plainTree{m: r.bare, best: 0}
		p.dress(v.program(), v.Spots, 0)
		spots, ok := v.Dress(0, new(model.Effort))
		require.Equal(t, p.best > 0, ok, "layout %d: %v", n, p.best)
		if ok {
			gains++
			require.InDelta(t, p.best, r.m.SharpLeft(spots), 1e-6, "layout %d", n)
		}
	}
	t.Logf("%d layouts", gains)
	require.Greater(t, gains, 5)
}

// plainTree tries every pose for every box, and then every plane of every relation of two boxes.
type plainTree struct {
	m    *model.Model
	best float64
}

func (p *plainTree) with(program *lp.Solver, sides ...model.Side) (*lp.Solver, bool) {
	c := &lp.Solver{}
	c.CopyFrom(program)
	for _, s := range sides {
		c.Push(s.Row(len(p.m.Boxes)))
	}
	return c, c.Solve(p.best+LeastGain) == lp.Optimal
}

func (p *plainTree) dress(program *lp.Solver, spots []model.Spot, i int) {
	if i == len(spots) {
		p.clauses(program, spots, 1, 0, 0)
		return
	}
	for _, pose := range p.m.Dressed[0] {
		if !p.m.Poses[0][pose].SameCase(p.m.PoseOf(i, spots[i])) {
			continue
		}
		next := slices.Clone(spots)
		next[i].Pose = pose
		var sides []model.Side
		for w, f := range p.m.Walls[0][pose] {
			sides = append(sides, model.Side{Of: model.Relation{Sort: model.OfWall, I: i, Which: w}, Plane: f})
		}
		if c, ok := p.with(program, sides...); ok {
			p.dress(c, next, i+1)
		}
	}
}

func (p *plainTree) clauses(program *lp.Solver, spots []model.Spot, i, j, k int) {
	if i == len(spots) {
		p.best = max(p.best, program.Value())
		return
	}
	pair := p.m.PairingIn(j, spots[j], i, spots[i])
	var ways [][]model.Side
	if k < len(pair.Clauses) {
		for _, f := range pair.Clauses[k].Planes {
			ways = append(ways, []model.Side{{Of: model.Relation{Sort: model.OfBoxes, I: i, J: j, Which: k}, Plane: f}})
		}
	} else {
		for _, tools := range pair.Tools {
			for _, f := range tools[0].Planes {
				f.K = 0
				ways = append(ways, []model.Side{{Of: model.Relation{Sort: model.OfTool, I: i, J: j}, Plane: f}})
			}
		}
	}
	for _, sides := range ways {
		c, ok := p.with(program, sides...)
		switch {
		case !ok:
		case k < len(pair.Clauses):
			p.clauses(c, spots, i, j, k+1)
		case j+1 < i:
			p.clauses(c, spots, i, j+1, 0)
		default:
			p.clauses(c, spots, i+1, 0, 0)
		}
	}
}
