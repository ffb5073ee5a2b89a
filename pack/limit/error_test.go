package limit_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/limit"
)

// A row of k boxes in a length L with swell w: every one of the k boxes and both ends may
// be off by e = (L − Σ(l+w))/(k+2) (derived: each end is nearer by e, each box longer).
func TestCommonErrorOfARow(t *testing.T) {
	for k := 1; k <= 4; k++ {
		kind := upright("b", k, (1000-12*float64(k+1))/float64(k), 90, 90)
		kind.Swell = 0.5
		p := bare(chest(1000, 130, 130), kind)
		a := analysed(t, p)
		e, layout, err := limit.CommonError(p, a.Layout)
		require.NoError(t, err)
		want := (12*float64(k+1) - 0.5*float64(k)) / float64(k+2)
		require.InDelta(t, want, e, 0.002, "sizes are rounded up to the lattice")
		require.GreaterOrEqual(t, pack.Check(limit.Off(p, e), layout).Spare, 0.0)
	}
}

// With errors up to the greatest common one the layout holds whatever they are; with a
// little more the same boxes no longer fit in the worst case.
func TestCommonErrorIsTight(t *testing.T) {
	fitting := 0
	for seed := range uint64(120) {
		g := generator{rand.New(rand.NewPCG(seed, 79))}
		p, l := g.problem()
		e, layout, err := limit.CommonError(p, l)
		require.NoError(t, err)
		if e < 0 {
			_, spare, err := limit.Best(p, l)
			require.NoError(t, err)
			require.Negative(t, spare, "seed %d", seed)
			continue
		}
		fitting++
		require.GreaterOrEqual(t, pack.Check(limit.Off(p, e), layout).Spare, -1e-6, "seed %d", seed)
		for range 20 {
			q := g.erring(p, e)
			require.GreaterOrEqual(t, pack.Check(q, layout).Spare, -0.005, "seed %d: 5 µm for snapping", seed)
		}
		_, spare, err := limit.Best(limit.Off(p, e+0.05), layout)
		require.NoError(t, err)
		require.Negative(t, spare, "seed %d", seed)
	}
	require.Greater(t, fitting, 30)
}

// erring has every size and face, and all of a post, off by its own random error of at
// most e.
func (g generator) erring(p pack.Problem, e float64) pack.Problem {
	off := func() float64 { return e * (2*g.Float64() - 1) }
	for _, s := range p.Frame.Opening.Sides {
		p = changed(p, limit.Measured{Sort: limit.Side, Of: s}, off())
	}
	for _, s := range []string{"width right", "width left"} {
		p = changed(p, limit.Measured{Sort: limit.Width, Of: s}, off())
	}
	for i, k := range p.Pack.Kinds {
		for _, name := range []string{"length", "width", "height"} {
			p = changed(p, limit.Measured{Sort: limit.Size, Of: k.Name, What: name}, off())
		}
		p.Pack.Kinds[i].Posts = slices.Clone(p.Pack.Kinds[i].Posts)
		for n := range k.Posts {
			t := &p.Pack.Kinds[i].Posts[n]
			t.At = t.At.Add(r2.Point{X: off(), Y: off()})
			t.Diameter, t.Height = t.Diameter+off(), max(0, t.Height+off())
		}
	}
	for _, k := range p.Frame.KeepOuts {
		p = changed(p, limit.Measured{Sort: limit.KeepOut, Of: k.Name, What: "all round"}, max(off(), 0))
	}
	if len(p.Frame.Rails) > 0 {
		p = changed(p, limit.Measured{Sort: limit.Rail, Of: "rail", What: "diameter"}, 2*off())
	}
	return p
}
