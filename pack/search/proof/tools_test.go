package proof

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// posted is a chest with a rail, a block and a step, and two kinds of boxes with posts.
func posted(rng *rand.Rand) pack.Problem {
	n := func(lo, hi int) float64 { return float64(lo + rng.IntN(hi-lo+1)) }
	f := kit.Chest(n(200, 400), n(200, 300), n(150, 300))
	for i := range f.Opening.Open {
		f.Opening.Open[i] = rng.IntN(3) == 0
	}
	x := n(20, 180)
	f.Rails = []frame.Rail{{Name: "rail", Path: []r3.Vector{{X: x, Y: -20, Z: n(0, 200)}, {X: x + n(-40, 40), Y: 320, Z: n(0, 200)}}, Diameter: n(10, 40)}}
	low := r3.Vector{X: n(0, 150), Y: n(0, 150), Z: n(0, 100)}
	f.KeepOuts = []frame.KeepOut{{Name: "block", Box: &frame.Corners{Low: low, High: low.Add(r3.Vector{X: n(20, 60), Y: n(20, 60), Z: n(20, 60)})}}}
	p := kit.NoGaps(f, kit.Boxes("a", 2, n(50, 110), n(50, 110), n(50, 110)), kit.Boxes("b", 1, n(40, 90), n(40, 90), n(40, 90)))
	faces := []pack.Face{pack.Top, pack.Front, pack.Right}
	for i := range p.Pack.Kinds {
		k := &p.Pack.Kinds[i]
		k.Posts = []pack.Post{{Name: "+", Face: faces[rng.IntN(3)], At: r2.Point{X: 20, Y: 20}, Diameter: 8, Height: n(0, 12)}}
		if rng.IntN(2) == 0 {
			k.Posts = append(k.Posts, pack.Post{Name: "-", Face: faces[rng.IntN(3)], At: r2.Point{X: 28, Y: 30}, Diameter: 8, Height: n(0, 12)})
		}
		if rng.IntN(3) == 0 {
			k.Tilts = []s1.Angle{0, 12 * s1.Degree}
		}
	}
	return p
}

// Bounds rest on what every answer keeps to. Of random layouts with nothing less than nothing to spare
// each that the planner of ways in calls an answer satisfies all clauses of tools and those with the
// frame that are left when the planes beyond the walls are taken out; and of the others many do not.
func TestAnswersKeepToTheRoomOfTools(t *testing.T) {
	answers, others, refuted := 0, 0, 0
	for seed := range uint64(25) {
		rng := rand.New(rand.NewPCG(seed, 77))
		problem := posted(rng)
		settings := entry.Settings{Tool: entry.Tool{Diameter: 30, Length: 40 + 60*rng.Float64()}}
		m, err := model.New(problem, model.Options{Tool: &settings.Tool})
		require.NoError(t, err)
		room := newTools(m)
		frame := NewInside(m).within(0)
		for range 2500 {
			spots := make([]model.Spot, len(m.Boxes))
			for i := range spots {
				spots[i] = m.RandomSpot(i, rng)
			}
			spare := m.SharpLeft(spots)
			if spare < 1e-6 {
				continue
			}
			layout := m.Layout(spots)
			holds, err := entry.Holds(context.Background(), problem, layout, settings)
			require.NoError(t, err)
			kept := keeps(m, room, frame, spots, spare)
			if holds {
				answers++
				require.True(t, kept, "seed %d: an answer that the proof would leave out: %v", seed, layout.Placements)
				continue
			}
			others++
			if !kept {
				refuted++
			}
		}
	}
	t.Logf("%d answers, %d others, of which the clauses bar %d", answers, others, refuted)
	require.Greater(t, answers, 40)
	require.Greater(t, refuted, others/2)
}

// keeps tells whether spots with a spare satisfy the clauses.
func keeps(m *model.Model, room *tools, frame [][][]model.Clause, spots []model.Spot, spare float64) bool {
	for i, s := range spots {
		kind := m.Boxes[i].Kind
		for _, c := range append(frame[kind][s.Pose], room.reach[kind][s.Pose]...) {
			if len(c.Planes) > 0 && lackOf(&c, s.At, spare) > 1e-7 {
				return false
			}
		}
		for j := range i {
			for _, c := range room.pair(m.PoseOf(j, spots[j]), m.PoseOf(i, s)) {
				if lackOf(&c, s.At.Sub(spots[j].At), spare) > 1e-7 {
					return false
				}
			}
		}
	}
	return true
}

// A post that stands beside a higher one of its own box, nearer than the tool is wide, is reached in no
// layout, as entry.HiddenPosts says: every pose of such a box is left without a place, and of other boxes none
// for that.
func TestPostsThatHideEachOther(t *testing.T) {
	hidden, open := 0, 0
	for seed := range uint64(60) {
		problem := posted(rand.New(rand.NewPCG(seed, 8)))
		problem.Frame.Rails, problem.Frame.KeepOuts = nil, nil
		settings := entry.Settings{Tool: entry.Tool{Diameter: 10 + float64(seed%4)*10, Length: 40}}
		m, err := model.New(problem, model.Options{Tool: &settings.Tool})
		require.NoError(t, err)
		list, err := entry.HiddenPosts(problem, settings)
		require.NoError(t, err)
		room := newTools(m)
		for kind, poses := range m.Poses {
			hides := slices.ContainsFunc(list, func(h entry.Hidden) bool { return h.Kind == m.Kinds[kind].Name })
			for _, p := range poses {
				require.Equal(t, hides, room.hidden(p), "seed %d: %v", seed, m.Kinds[kind])
			}
			if hides {
				hidden++
			} else {
				open++
			}
		}
	}
	require.Greater(t, hidden, 10)
	require.Greater(t, open, 10)
}

// A place near a round solid is past an end of it, or in one of the two halves of an arc, past the chord of
// that half, all the way down: held against the exact distance.
func TestHalvesOfAnArcHoldAllPlaces(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 9))
	looked := 0
	for range 200 {
		solid, _ := randomRound(rng)
		kind := pack.Kind{Name: "box", Count: 1, Size: r3.Vector{X: 10 + 90*rng.Float64(), Y: 10 + 90*rng.Float64(), Z: 10 + 90*rng.Float64()}}
		p := model.NewPose(0, kind, false, pack.Top, pack.Front, s1.Angle(rng.IntN(2))*0.2)
		c := p.AgainstSolid(0, solid, float64(rng.IntN(3))*4)
		coarse := faceted{}.clause(p, c, cornerAngles(p, c))
		for range 40 {
			at := r3.Vector{X: 250 * (rng.Float64() - 0.5), Y: 250 * (rng.Float64() - 0.5), Z: 250 * (rng.Float64() - 0.5)}
			signed, _ := geom.SheetGap(p.Solid(0, at), solid)
			spare := signed - c.Gap
			_, towards := c.Sharp(p, at)
			if spare <= 0 {
				continue
			}
			require.GreaterOrEqual(t, coarse.Left(at), spare-1e-9)
			for _, f := range coarse.Planes {
				a, ok := arcOf(p, c, f.N)
				if !ok || f.Left(at) < spare {
					continue
				}
				if ends := a.ends(); ends[0].LeftAlone(at) >= 0 || ends[1].LeftAlone(at) >= 0 {
					continue
				}
				require.InDelta(t, f.D, a.chord().D, 1e-6)
				require.InDelta(t, f.K, a.chord().K, 1e-9)
				for range 12 {
					below, above, up := a.halves(a.middle(towards.N))
					if up.LeftAlone(at) >= 0 {
						a = above
					} else {
						a = below
					}
					require.GreaterOrEqual(t, a.chord().Left(at), spare-1e-6)
					require.InDelta(t, a.low, a.narrowed(a.chord()).low, 1e-6)
				}
				looked++
			}
		}
	}
	require.Greater(t, looked, 1000)
}
