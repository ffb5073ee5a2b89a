package search

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What square planes lack is the same question as how much they leave, whichever plane is
// looked at first.
func TestSquareLacksWhatItDoesNotLeave(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) float64 { return float64(rapid.IntRange(-20, 20).Draw(t, name)) }
		var d [6]float64
		for k := range d {
			d[k] = draw("d")
		}
		p, enough := r3.Vector{X: draw("x"), Y: draw("y"), Z: draw("z")}, draw("enough")
		left, _ := squareBest(&d, p)
		o, held := offsetOf(p), uint8(rapid.IntRange(0, 6).Draw(t, "held"))
		require.Equal(t, max(0, enough-left), squareLack(&d, &o.ways, &held, enough))
	})
}

// A relation weighs more from sweep to sweep while it is broken, and less, down to 1, when it
// is not.
func TestWeightsAreForgotten(t *testing.T) {
	m := modelOf(bare(chest(300, 300, 300), upright(boxes("a", 2, 100, 100, 100))))
	in, out := spot{at: r3.Vector{X: 60, Y: 60, Z: 60}}, spot{at: r3.Vector{X: 200, Y: 200, Z: 200}}
	s := newSeparator(m, []spot{in, in}, 0, rand.New(rand.NewPCG(1, 2)))
	require.InDelta(t, 100, s.raiseWeights(), 1e-6)
	s.raiseWeights()
	require.Equal(t, 4.0, s.weight[1][0])
	require.Equal(t, 1.0, s.weight[0][0])
	s.spots[1] = out
	require.Zero(t, s.raiseWeights())
	require.Equal(t, 4*forgotten, s.weight[1][0])
	for range 50 {
		s.raiseWeights()
	}
	require.Equal(t, 1.0, s.weight[1][0])
}

// What a small box lacks counts for little at first: by the third power of its part of the largest.
func TestSmallBoxesCountForLittle(t *testing.T) {
	m := modelOf(bare(chest(300, 300, 300), upright(boxes("a", 2, 100, 100, 100)), upright(boxes("b", 1, 50, 100, 100))))
	s := newSeparator(m, make([]spot, 3), 0, rand.New(rand.NewPCG(1, 2)))
	require.Equal(t, [][]float64{{1}, {1, 1}, {0.125, 0.125, 0.125}}, s.weight)
	s.spots[0].at, s.spots[1].at = r3.Vector{X: 60, Y: 60, Z: 60}, r3.Vector{X: 200, Y: 200, Z: 200}
	s.raiseWeights()
	require.Equal(t, 0.25, s.weight[2][2], "at the corner it is half outside")
	s.spots[2].at = r3.Vector{X: 60, Y: 60, Z: 200}
	for range 10 {
		s.raiseWeights()
	}
	require.Equal(t, [][]float64{{1}, {1, 1}, {0.125, 0.125, 0.125}}, s.weight)
}

// Where two cases are in each other, only moves that part the cases are tried: the posts come
// along, and what they alone ask for is too little.
func TestCasesAreMovedFirst(t *testing.T) {
	m := modelOf(withPosts())
	at := r3.Vector{X: 300, Y: 200, Z: 150}
	s := newSeparator(m, []spot{{at: at}, {at: at.Add(r3.Vector{X: 5})}}, 0, rand.New(rand.NewPCG(1, 2)))
	for _, move := range s.moves(0, s.spots[0]) {
		to := spot{at: at.Add(move)}
		cases := m.pairClauses(1, s.spots[1], 0, to)[0]
		require.GreaterOrEqual(t, cases.left(to.at.Sub(s.spots[1].at)), -1e-9)
	}
	require.NotEmpty(t, s.moves(0, s.spots[0]))
}

// The spots that a box may move on from are the cheapest of those drawn, with what they cost.
func TestDrawnSpotsAreTheBest(t *testing.T) {
	m := modelOf(withPosts())
	at := r3.Vector{X: 300, Y: 200, Z: 150}
	for seed := range uint64(50) {
		s := newSeparator(m, []spot{{at: at}, {at: at}}, 5, rand.New(rand.NewPCG(seed, 2)))
		got := s.drawn(1)
		require.Len(t, got, kept)

		s.rng = rand.New(rand.NewPCG(seed, 2))
		var all []tried
		for range draws {
			at := randomSpot(s.m, 1, s.rng)
			if s.rng.IntN(2) == 0 {
				at.pose = s.spots[1].pose
			}
			all = append(all, tried{at, s.cost(1, at, math.Inf(1))})
		}
		slices.SortStableFunc(all, func(a, b tried) int { return cmp.Compare(a.cost, b.cost) })
		for k, d := range got {
			require.InDelta(t, all[k].cost, d.cost, 1e-9)
			require.InDelta(t, s.cost(1, d.spot, math.Inf(1)), d.cost, 1e-9)
		}
	}
}

// Guards lack what the clauses do not leave, whichever planes left enough before.
func TestGuardsLackWhatClausesDoNotLeave(t *testing.T) {
	m := modelOf(withPosts())
	rng := rand.New(rand.NewPCG(3, 4))
	lacking := 0
	for k := range m.poses[0] {
		clauses := m.solids[0][k]
		g := guardsOf(clauses)
		for range 300 {
			p, enough := randomSpot(m, 0, rng).at, 20*rng.Float64()
			sum, most := 0.0, 0.0
			for c := range clauses {
				lack := max(0, enough-clauses[c].left(p))
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
