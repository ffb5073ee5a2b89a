package proof

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/lp"
	"rackwright/pack/search/model"
)

// Bounds rest on what every answer keeps to: of random layouts that the planner of ways in finds an order
// for, each step's legs satisfy the clauses of a way past the frame and past all boxes that come out later,
// and its tools those of an order. Of the clauses many are broken by other legs.
func TestAnswersKeepToTheClausesOfWays(t *testing.T) {
	steps, turned, others := 0, 0, 0
	for seed := range uint64(12) {
		rng := rand.New(rand.NewPCG(seed, 31))
		problem := posted(rng)
		for i := range problem.Pack.Kinds {
			k := &problem.Pack.Kinds[i]
			k.Size = k.Size.Mul(0.6)
		}
		if seed%3 > 0 {
			problem.Frame.KeepOuts = append(problem.Frame.KeepOuts, plates(rng, problem.Frame)...)
		}
		problem.Pack.Gaps.Entry = float64(rng.IntN(4))
		problem.Pack.Gaps.Rail, problem.Pack.Gaps.Beside = float64(rng.IntN(3)), float64(rng.IntN(3))
		settings := entry.Settings{Tool: entry.Tool{Diameter: 30, Length: 40 + 60*rng.Float64()}}
		m, err := model.New(problem, model.Options{Tool: &settings.Tool})
		require.NoError(t, err)
		w := newWays(m, 0)
		rel := newRelaxation(m, nil)
		rel.tools = newTools(m)
		for range 300 {
			spots := make([]model.Spot, len(m.Boxes))
			for i := range spots {
				spots[i] = m.RandomSpot(i, rng)
			}
			if m.SharpLeft(spots) < 1e-6 {
				continue
			}
			layout := m.Layout(spots)
			a, err := entry.Plan(context.Background(), problem, layout, settings)
			require.NoError(t, err)
			if !a.Holds() {
				continue
			}
			in := map[pack.Part]bool{}
			for _, step := range a.Order.Steps {
				i := slices.IndexFunc(layout.Placements, func(p pack.Placement) bool { return p.Part() == step.Part() })
				p := m.PoseOf(i, spots[i])
				if of, legs, ok := wayOfSteps(step.Legs); ok && p.Axes == model.AxesOfVehicle {
					steps++
					if of.legs > 1 {
						turned++
					}
					require.True(t, w.leads[m.Boxes[i].Kind][spots[i].Pose])
					open, known := w.waysOf(m.Boxes[i].Kind, spots[i].Pose)
					require.True(t, known)
					require.Contains(t, open, of, "seed %d: a way that the proof would leave out", seed)
					for _, c := range w.past(m.Boxes[i].Kind, spots[i].Pose, of) {
						require.LessOrEqual(t, c.lack(spots[i].At, legs), 1e-6, "seed %d: %v past the frame by %v", seed, layout.Placements[i], step.Legs)
						if slices.ContainsFunc(allWays[:6], func(o way) bool {
							return slices.ContainsFunc(w.past(m.Boxes[i].Kind, spots[i].Pose, o), func(c passings) bool { return c.lack(spots[i].At, legs) > 1 })
						}) {
							others++
						}
					}
					for j, at := range layout.Placements {
						if !in[at.Part()] {
							continue
						}
						q := m.PoseOf(j, spots[j])
						for _, c := range w.pastBox(p, q, of) {
							require.LessOrEqual(t, c.lack(spots[i].At.Sub(spots[j].At), legs), 1e-6, "seed %d: %v past %v by %v", seed, layout.Placements[i], at, step.Legs)
						}
						for _, c := range rel.reaching(p, q) {
							require.LessOrEqual(t, c.lack(spots[i].At.Sub(spots[j].At), legs), 1e-6, "seed %d: tools of %v past %v", seed, layout.Placements[i], at)
						}
					}
				}
				in[step.Part()] = true
			}
		}
	}
	t.Logf("%d steps, %d with turns, %d of places from which some straight way is barred", steps, turned, others)
	require.Greater(t, steps, 60)
	require.Greater(t, turned, 5)
	require.Greater(t, others, 200)
}

// wayOfSteps is the way out that is a way in backwards, and the lengths of its legs before the last.
func wayOfSteps(in []r3.Vector) (of way, legs [mostLegs - 1]float64, ok bool) {
	of.legs = len(in)
	for k := range in {
		out := in[len(in)-1-k].Mul(-1)
		at := slices.IndexFunc(axisWays[:], func(u r3.Vector) bool { return math.Abs(u.Dot(out)-out.Norm()) < 1e-9 })
		if at < 0 {
			return of, legs, false
		}
		of.dirs[k] = int8(at)
		if k < len(in)-1 {
			legs[k] = out.Norm()
		}
	}
	return of, legs, true
}

// Among flat things the clauses are exact: from a place from which some way keeps them, by a hundredth of a
// millimetre to spare, the planner finds one for the box alone, and from others it finds none. Gaps are
// wider than the air on the way, so that this is the same wherever a box is.
func TestWaysAreThosePlanned(t *testing.T) {
	free, barred, near := 0, 0, 0
	for seed := range uint64(12) {
		rng := rand.New(rand.NewPCG(seed, 99))
		problem := posted(rng)
		problem.Frame.Rails = nil
		problem.Pack.Kinds = problem.Pack.Kinds[:1]
		problem.Pack.Kinds[0].Count = 1
		problem.Pack.Kinds[0].Tilts = problem.Pack.Kinds[0].Tilts[:1]
		problem.Pack.Gaps = pack.Gaps{Beside: 2, Above: 2, Wall: 2, Rail: 2, KeepOut: 2, Post: 2, Boot: 2, Entry: 2}
		for i := range problem.Frame.Opening.Open {
			problem.Frame.Opening.Open[i] = problem.Frame.Opening.Open[i] && rng.IntN(2) == 0
		}
		// Plates on both flanks, with a hole in one of them where the block is.
		problem.Frame.KeepOuts = append(problem.Frame.KeepOuts, plates(rng, problem.Frame)...)
		m, err := model.New(problem, model.Options{})
		require.NoError(t, err)
		w := newWays(m, 0)
		for range 300 {
			spot := m.RandomSpot(0, rng)
			if m.SharpLeft([]model.Spot{spot}) < 1e-6 {
				continue
			}
			in, _, err := entry.GoesIn(context.Background(), problem, m.Layout([]model.Spot{spot}))
			require.NoError(t, err)
			open, known := w.waysOf(0, spot.Pose)
			require.True(t, known)
			sure := slices.ContainsFunc(open, func(of way) bool { return clearFrom(w, spot, of, 0.01) })
			some := slices.ContainsFunc(open, func(of way) bool { return clearFrom(w, spot, of, 0) })
			switch {
			case sure:
				free++
				require.True(t, in, "seed %d: no way from %v", seed, spot)
			case some:
				near++
			default:
				barred++
				require.False(t, in, "seed %d: a way from %v that the proof would leave out", seed, spot)
			}
		}
	}
	t.Logf("%d free, %d barred, %d in between", free, barred, near)
	require.Greater(t, free, 200)
	require.Greater(t, barred, 60)
	require.Less(t, near, 20)
}

// clearFrom tells whether from a place a way keeps all clauses with some margin for some lengths of its legs.
func clearFrom(w *ways, spot model.Spot, of way, margin float64) bool {
	clauses := w.past(0, spot.Pose, of)
	lo, hi := w.m.Lows(1), w.m.Highs(1)
	lo[0], lo[1], lo[2] = spot.At.X, spot.At.Y, spot.At.Z
	hi[0], hi[1], hi[2] = spot.At.X, spot.At.Y, spot.At.Z
	for range mostLegs - 1 {
		lo, hi = append(lo, 0), append(hi, w.longest)
	}
	var wider []passings
	for _, c := range clauses {
		c = slices.Clone(c)
		for k := range c {
			c[k].d += margin
		}
		wider = append(wider, c)
	}
	left := 100000
	return w.below(lp.New(make([]float64, len(lo)), lo, hi), wider, &left)
}
