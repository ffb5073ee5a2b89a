package model

import (
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"rackwright/pack/search/internal/kit"
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
		o, held := OffsetOf(p), uint8(rapid.IntRange(0, 6).Draw(t, "held"))
		require.Equal(t, max(0, enough-left), squareLack(&d, &o.ways, &held, enough))
	})
}

// Square clauses say what their planes do.
func TestSquareClausesAreTheirPlanes(t *testing.T) {
	m := made(kit.WithPosts())
	rng := rand.New(rand.NewPCG(3, 4))
	square := 0
	for range 2000 {
		a, b := m.RandomSpot(0, rng), m.RandomSpot(1, rng)
		pair := m.PairingIn(0, a, 1, b)
		for _, c := range append([]Clause{pair.Apart}, pair.Clauses...) {
			require.True(t, c.isSquare)
			square++
			planes := c
			planes.isSquare = false
			left, f := c.Best(b.At.Sub(a.At))
			wantLeft, want := planes.Best(b.At.Sub(a.At))
			require.Equal(t, wantLeft, left)
			require.Equal(t, want, f)
		}
	}
	tilted := kit.Slanted(2)
	tilted.Pack.Kinds[0].Tilts = append(tilted.Pack.Kinds[0].Tilts, 0.1)
	n := made(tilted)
	for _, p := range n.Poses[0] {
		for _, q := range n.Poses[0] {
			require.Equal(t, p.Tilt == 0 && q.Tilt == 0, n.PairingOf(p, q).Clauses[0].isSquare)
		}
	}
}
