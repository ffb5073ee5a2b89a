package limit_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/limit"
)

// A box of 50 stands 0.2 above the floor of an opening 52 high. No box moved, the floor further
// out gives what it gives, the top gives nothing, and a box that is taller grows half downwards
// (derived).
func TestStandingOfABoxNearTheFloor(t *testing.T) {
	p := bare(chest(110, 80, 52), upright("box", 1, 100, 70, 50))
	layout := pack.Layout{Placements: []pack.Placement{{Box: "box", Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}}}}
	layout.Placements[0].Centre.X, layout.Placements[0].Centre.Y, layout.Placements[0].Centre.Z = 55, 40, 25.25
	a, err := limit.Standing(p, layout)
	require.NoError(t, err)
	require.InDelta(t, 0.25, a.Spare, 1e-9)
	got := map[string][2]float64{}
	for _, e := range a.Effects {
		got[e.Measured.MoreWords()] = [2]float64{e.More, e.Less}
	}
	require.Equal(t, map[string][2]float64{"one further out": {1, -1}, "box height": {-0.5, 0.5}, "gap wall": {-1, 1}}, got)
}

// What a size or a gap does to a layout as it stands is what the judge says of it changed so, no
// box moved: random layouts, each size and gap more and less by a 64th of a millimetre.
func TestStandingAgainstTheJudge(t *testing.T) {
	const step = 1.0 / 64
	compared := 0
	for seed := uint64(0); seed < 200; seed++ {
		p, layout := generator{rand.New(rand.NewPCG(seed, 25))}.problem()
		a, err := limit.Standing(p, layout)
		require.NoError(t, err)
		report := pack.Check(p, layout)
		require.InDelta(t, report.Spare, a.Spare, 1e-6, seed)
		change := map[string]func(*pack.Pack, float64){}
		for k, kind := range p.Pack.Kinds {
			change[kind.Name+" length"] = func(q *pack.Pack, d float64) { q.Kinds[k].Size.X += d }
			change[kind.Name+" width"] = func(q *pack.Pack, d float64) { q.Kinds[k].Size.Y += d }
			change[kind.Name+" height"] = func(q *pack.Pack, d float64) { q.Kinds[k].Size.Z += d }
		}
		change["gap beside"] = func(q *pack.Pack, d float64) { q.Gaps.Beside += d }
		change["gap rail"] = func(q *pack.Pack, d float64) { q.Gaps.Rail += d }
		for what, change := range change {
			by := func(d float64) float64 {
				q := *p.Pack
				q.Kinds = slices.Clone(q.Kinds)
				change(&q, d)
				return (pack.Check(pack.Problem{Frame: p.Frame, Pack: &q}, layout).Spare - report.Spare) / step
			}
			i := slices.IndexFunc(a.Effects, func(e limit.Effect) bool { return e.Measured.MoreWords() == what })
			var want limit.Effect
			if i >= 0 {
				want = a.Effects[i]
				compared++
			}
			require.InDelta(t, want.More, by(step), 1e-3, "seed %d: more %s", seed, what)
			require.InDelta(t, want.Less, by(-step), 1e-3, "seed %d: less %s", seed, what)
		}
	}
	require.Greater(t, compared, 100)
}
