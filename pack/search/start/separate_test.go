package start

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// A relation weighs more from sweep to sweep while it is broken, and less, down to 1, when it
// is not.
func TestWeightsAreForgotten(t *testing.T) {
	m := modelOf(kit.NoGaps(kit.Chest(300, 300, 300), kit.Upright(kit.Boxes("a", 2, 100, 100, 100))))
	in, out := model.Spot{At: r3.Vector{X: 60, Y: 60, Z: 60}}, model.Spot{At: r3.Vector{X: 200, Y: 200, Z: 200}}
	s := newSeparator(m, []model.Spot{in, in}, 0, rand.New(rand.NewPCG(1, 2)))
	require.InDelta(t, 100, s.raiseWeights(), 1e-6)
	s.raiseWeights()
	require.Equal(t, 4.0, s.weight[1][0])
	require.Equal(t, 1.0, s.weight[0][0])
	s.spots[1] = out
	require.Zero(t, s.raiseWeights())
	require.Equal(t, 4*keptWeight, s.weight[1][0])
	for range 50 {
		s.raiseWeights()
	}
	require.Equal(t, 1.0, s.weight[1][0])
}

// What a small box lacks counts for little at first: by the third power of its part of the largest.
func TestSmallBoxesCountForLittle(t *testing.T) {
	m := modelOf(kit.NoGaps(kit.Chest(300, 300, 300), kit.Upright(kit.Boxes("a", 2, 100, 100, 100)), kit.Upright(kit.Boxes("b", 1, 50, 100, 100))))
	s := newSeparator(m, make([]model.Spot, 3), 0, rand.New(rand.NewPCG(1, 2)))
	require.Equal(t, [][]float64{{1}, {1, 1}, {0.125, 0.125, 0.125}}, s.weight)
	s.spots[0].At, s.spots[1].At = r3.Vector{X: 60, Y: 60, Z: 60}, r3.Vector{X: 200, Y: 200, Z: 200}
	s.raiseWeights()
	require.Equal(t, 0.25, s.weight[2][2], "at the corner it is half outside")
	s.spots[2].At = r3.Vector{X: 60, Y: 60, Z: 200}
	for range 10 {
		s.raiseWeights()
	}
	require.Equal(t, [][]float64{{1}, {1, 1}, {0.125, 0.125, 0.125}}, s.weight)
}

// Where two cases are in each other, only moves that part the cases are tried: the posts come
// along, and what they alone ask for is too little.
func TestCasesAreMovedFirst(t *testing.T) {
	m := modelOf(kit.WithPosts())
	at := r3.Vector{X: 300, Y: 200, Z: 150}
	s := newSeparator(m, []model.Spot{{At: at}, {At: at.Add(r3.Vector{X: 5})}}, 0, rand.New(rand.NewPCG(1, 2)))
	for _, move := range s.moves(0, s.spots[0]) {
		to := model.Spot{At: at.Add(move)}
		cases := m.PairClauses(1, s.spots[1], 0, to)[0]
		require.GreaterOrEqual(t, cases.Left(to.At.Sub(s.spots[1].At)), -1e-9)
	}
	require.NotEmpty(t, s.moves(0, s.spots[0]))
}

// The spots that a box may move on from are the cheapest of those drawn, with what they cost.
func TestDrawnSpotsAreTheBest(t *testing.T) {
	m := modelOf(kit.WithPosts())
	at := r3.Vector{X: 300, Y: 200, Z: 150}
	for seed := range uint64(50) {
		s := newSeparator(m, []model.Spot{{At: at}, {At: at}}, 5, rand.New(rand.NewPCG(seed, 2)))
		got := s.drawn(1)
		require.Len(t, got, keptSpots)

		s.rng = rand.New(rand.NewPCG(seed, 2))
		var all []tried
		for range drawnSpots {
			at := s.m.RandomSpot(1, s.rng)
			if s.rng.IntN(2) == 0 {
				at.Pose = s.spots[1].Pose
			}
			all = append(all, tried{at, s.cost(1, at, math.Inf(1))})
		}
		slices.SortStableFunc(all, func(a, b tried) int { return cmp.Compare(a.cost, b.cost) })
		for k, d := range got {
			require.InDelta(t, all[k].cost, d.cost, 1e-9)
			require.InDelta(t, s.cost(1, d.Spot, math.Inf(1)), d.cost, 1e-9)
		}
	}
}

// Guards lack what the clauses do not leave, whichever planes left enough before.
func TestGuardsLackWhatClausesDoNotLeave(t *testing.T) {
	m := modelOf(kit.WithPosts())
	rng := rand.New(rand.NewPCG(3, 4))
	lacking := 0
	for k := range m.Poses[0] {
		clauses := m.Solids[0][k]
		g := guardsOf(clauses)
		for range 300 {
			p, enough := m.RandomSpot(0, rng).At, 20*rng.Float64()
			sum, most := 0.0, 0.0
			for c := range clauses {
				lack := max(0, enough-clauses[c].Left(p))
				sum, most = sum+lack, max(most, lack)
			}
			require.InDelta(t, sum, g.lack(p, enough, math.Inf(1)), 1e-9)
			require.Equal(t, most, g.most(p, enough))
			require.Equal(t, sum > 0, g.lack(p, enough, 0) > 0)
			if sum > 0 {
				lacking++
			}
		}
	}
	require.Greater(t, lacking, 1000)
}

// Something is lacking of the room for the tools of two boxes just where that is what the
// relations leave.
func TestToolsLackWhatTheyAreNotLeft(t *testing.T) {
	m := withTools(kit.WithPosts())
	rng := rand.New(rand.NewPCG(5, 6))
	s := newSeparator(m, []model.Spot{{}, {}}, 0, rng)
	lacking := 0
	for range 20000 {
		a, b := m.RandomSpot(0, rng), m.RandomSpot(1, rng)
		pair, o := m.PairingIn(0, a, 1, b), model.OffsetOf(b.At.Sub(a.At))
		lack, _ := toolLack(pair, &o, &s.beside[1][0])
		left, _ := pair.ToolsLeft(b.At.Sub(a.At))
		require.Equal(t, left < 0, lack > 0, "%v %v", a, b)
		if lack > 0 {
			lacking++
		}
	}
	require.Greater(t, lacking, 200)
}
