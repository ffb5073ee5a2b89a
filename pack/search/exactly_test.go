package search

import (
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/search/internal/kit"
)

// snug is blocks that fill an opening of slanted sides from one limit of its width to the other,
// alone or in a row with the gap between them, with room to spare in the side view.
func snug(rng *rand.Rand) pack.Problem {
	const width = 165.0
	row := 1 + rng.IntN(2)
	lo := -float64(rng.IntN(4000))
	corner := func(x, z, more int) r2.Point { return r2.Point{X: float64(x + rng.IntN(more)), Y: float64(z)} }
	gaps := pack.DefaultGaps()
	f := kit.Opening(r1.Interval{Lo: lo, Hi: lo + float64(row)*width + float64(row-1)*gaps.Beside},
		r2.Point{}, corner(1300, 0, 20), corner(1400, 480, 50), corner(-60, 520, 50))
	f.Opening.Open = []bool{false, false, true, false}
	k := kit.Upright(kit.Boxes("battery", 2*row, 590+300*float64(row-1), width, 170))
	if rng.IntN(2) == 0 {
		k.Posts = []pack.Post{{Name: "plus", Face: pack.Top, At: r2.Point{X: 20, Y: 82}, Diameter: 16, Height: 10}}
	}
	return pack.Problem{Frame: f, Pack: &pack.Pack{Gaps: gaps, Kinds: []pack.Kind{k}}}
}

// Derived: what fills the width has nothing to spare, which is a fit; the search's rounding is
// not to be held against the builder.
func TestNothingToSpareIsAFit(t *testing.T) {
	for seed := range uint64(24) {
		r := fit(t, snug(rand.New(rand.NewPCG(seed, 1))))
		require.True(t, r.Verdict.Fits(), "%d: %v with %v mm", seed, r.Verdict, r.Spare)
		for _, l := range r.Layouts {
			require.Zero(t, l.Report.Spare, seed)
			require.True(t, l.Report.Holds() && l.Entry.Holds(), seed)
		}
	}
}
