package survey

import (
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"
)

// After the planned distances everything is checked, and with one fewer nothing does that:
// all sets of them are tried, each judged by the adjustment, not by the planner.
func TestPlansAreTheFewest(t *testing.T) {
	g := rand.New(rand.NewPCG(3, 3))
	judged := 0
	for range 60 {
		n, at := rough(g, 4+g.IntN(2))
		pairs := n.untaped()
		g.Shuffle(len(pairs), func(i, k int) { pairs[i], pairs[k] = pairs[k], pairs[i] })
		for _, p := range pairs[:g.IntN(5)] {
			n.Measurements = append(n.Measurements, taken(at, p))
		}
		plan, ok := n.Plan(at, 1)
		if !ok {
			continue // all distances together leave one unchecked
		}
		judged++
		require.True(t, plan.Fewest)
		require.True(t, everythingChecked(n, at, plan.Pairs))
		require.False(t, anyChecks(n, at, len(plan.Pairs)-1), "%d marks, %d taken", len(n.Marks), len(n.Measurements))
	}
	require.Greater(t, judged, 20)
}

// A plan for many marks takes two distances for each, less three, and one more.
func TestPlansForManyMarks(t *testing.T) {
	g := rand.New(rand.NewPCG(4, 4))
	for _, count := range []int{6, 8, 10, 24} {
		n, at := rough(g, count)
		plan, ok := n.Plan(at, 1)
		require.True(t, ok)
		require.True(t, everythingChecked(n, at, plan.Pairs))
		require.GreaterOrEqual(t, len(plan.Pairs), 2*count-2)
		require.LessOrEqual(t, len(plan.Pairs), 2*count-2+count/2, "few more than that")
		t.Log(count, len(plan.Pairs), plan.Fewest, plan.Least)
	}
}

// rough is marks with no measurements.
func rough(g *rand.Rand, count int) (*Network, []r2.Point) {
	s := some{Network: &Network{Datum: Datum{From: 0, To: 1}}}
	for i := range count {
		s.truth = append(s.truth, r2.Point{X: g.Float64() * 900, Y: g.Float64() * 600})
		s.Marks = append(s.Marks, Mark{Name: string(rune('A' + i)), Y: float64(g.IntN(3) * 40)})
	}
	s.set()
	for i := range s.Marks {
		s.Marks[i].Near = &s.truth[i]
	}
	return s.Network, s.truth
}

func taken(at []r2.Point, p Pair) Measurement { return Measurement{From: p.From, To: p.To, SD: 1} }

// everythingChecked tells it of a network with distances that are exact.
func everythingChecked(n *Network, at []r2.Point, pairs []Pair) bool {
	full := *n
	full.Measurements = append([]Measurement{}, n.Measurements...)
	for _, p := range pairs {
		full.Measurements = append(full.Measurements, taken(at, p))
	}
	for i, m := range full.Measurements {
		full.Measurements[i].Value, _ = full.predict(m, state{at: at})
	}
	if len(full.Measurements) < 2*len(n.Marks)-3 || full.moving(state{at: at}) != nil {
		return false
	}
	a, err := full.adjust(state{at: append([]r2.Point{}, at...)})
	if err != nil {
		return false
	}
	for _, r := range a.Checked {
		if r < CheckedFrom {
			return false
		}
	}
	return true
}

func anyChecks(n *Network, at []r2.Point, size int) bool {
	pairs := n.untaped()
	if size < 0 {
		return false
	}
	list := make([]int, size)
	for i := range list {
		list[i] = i
	}
	for {
		var some []Pair
		for _, i := range list {
			some = append(some, pairs[i])
		}
		if everythingChecked(n, at, some) {
			return true
		}
		if !next(list, len(pairs)) {
			return false
		}
	}
}
