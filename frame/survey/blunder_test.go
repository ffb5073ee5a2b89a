package survey

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"
)

// One mistake of 5 to 25 standard deviations in each of 500 random networks with three to
// six measurements to spare. Reliability allows to name it where the test of the true
// measurement alone, and the part of it that no other measurement's test shares, are each
// beyond the detectable mistake of 4.13 (Baarda's choice, from memory).
func TestOneMistakeIsNamed(t *testing.T) {
	g := rand.New(rand.NewPCG(7, 7))
	var allowed, right, wrong, named int
	for range 500 {
		s := random(g, 3+g.IntN(4), true)
		i := g.IntN(len(s.Measurements))
		size := (5 + 20*g.Float64()) * s.Measurements[i].SD * float64(1-2*g.IntN(2))
		s.Measurements[i].Value += size
		a, err := s.likeliest()
		require.NoError(t, err)
		found := a.Snoop().Wrong
		hit := len(found) > 0 && found[0].Measurement == i
		if len(found) > 0 {
			named++
			if !hit {
				wrong++
			} else if len(found) == 1 {
				require.InDelta(t, size, found[0].Off, 5*s.Measurements[i].SD/math.Sqrt(a.Checked[i]), "its likely size")
			}
		}
		if math.Abs(size)/s.Measurements[i].SD*math.Sqrt(a.Checked[i]*a.ownShare(i)) < Detected {
			continue
		}
		allowed++
		if hit {
			right++
		}
	}
	t.Logf("%d allow it, %d of them named rightly; of all %d named, %d wrongly", allowed, right, named, wrong)
	require.Greater(t, allowed, 150)
	require.GreaterOrEqual(t, float64(right), 0.95*float64(allowed))
	require.LessOrEqual(t, float64(wrong), 0.05*float64(named))
}

// ownShare is the part of a measurement's test that no one other shares.
func (a *Adjustment) ownShare(i int) float64 {
	share := 1.0
	for k := range a.Checked {
		if k != i && a.Checked[k] >= nothing {
			share = min(share, 1-square(a.alike(i, k)))
		}
	}
	return max(share, 0)
}

// With one measurement to spare all tests are equal: a mistake shows, and none is named. So
// it is with the textbooks' networks that have one more than needed.
func TestNoneIsNamedWhereAllTestsAreEqual(t *testing.T) {
	g := rand.New(rand.NewPCG(8, 8))
	doubted := 0
	check := func(n *Network, i int, size float64) {
		n.Measurements[i].Value += size
		a, err := n.likeliest()
		var f *Fault
		if errors.As(err, &f) {
			return // the mistake folds the network, or makes another as likely
		}
		require.NoError(t, err)
		require.Equal(t, 1, a.Spare)
		found := a.Snoop()
		require.Empty(t, found.Wrong)
		if len(found.Doubted) > 0 {
			doubted++
			require.Greater(t, len(found.Doubted), 1)
		}
	}
	for range 200 {
		s := random(g, 1, true)
		if len(s.Measurements) != 2*len(s.Marks)-2 || s.has(Height) || s.has(Slope) {
			continue
		}
		i := g.IntN(len(s.Measurements))
		check(s.Network, i, 40*s.Measurements[i].SD)
	}
	for _, p := range networks {
		if n, _ := p.network(1); p.name != "Benning 8-8" {
			for i := range n.Measurements {
				n, _ = p.network(1)
				check(n, i, 30*p.sd)
			}
		}
	}
	require.Greater(t, doubted, 20)
}

// The distance that is to tell two equal tests apart does so: then the mistake is named.
func TestTheDistanceThatTells(t *testing.T) {
	at := []r2.Point{{X: 0, Y: 0}, {X: 600, Y: 0}, {X: 650, Y: 400}, {X: 50, Y: 450}, {X: 300, Y: 500}}
	n := &Network{Datum: Datum{From: 0, To: 1}}
	for i, p := range at {
		n.Marks = append(n.Marks, Mark{Name: string(rune('A' + i)), Near: &p})
	}
	add := func(p Pair) {
		n.Measurements = append(n.Measurements, Measurement{From: p.From, To: p.To, SD: 1, Value: at[p.From].Sub(at[p.To]).Norm()})
	}
	for _, p := range []Pair{{0, 1}, {1, 2}, {2, 3}, {3, 0}, {0, 2}, {1, 3}, {4, 0}, {4, 1}} {
		add(p)
	}
	n.Measurements[4].Value += 40
	for range 6 {
		a, err := Adjust(n)
		require.NoError(t, err)
		f := a.Snoop()
		if len(f.Wrong) > 0 {
			require.Equal(t, 4, f.Wrong[0].Measurement)
			require.InDelta(t, 40, f.Wrong[0].Off, 1)
			return
		}
		require.NotNil(t, f.Tells)
		require.False(t, n.Taped(*f.Tells))
		add(*f.Tells)
	}
	t.Fatal("never named")
}
