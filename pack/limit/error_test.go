package limit_test

import (
	"math/rand/v2"
	"testing"

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

// erring has every size and face off by its own random error of at most e.
func (g generator) erring(p pack.Problem, e float64) pack.Problem {
	off := func() float64 { return e * (2*g.Float64() - 1) }
	for _, s := range p.Frame.Opening.Sides {
		p = changed(p, limit.Measured{Sort: limit.Side, Of: s}, off())
	}
	for _, s := range []string{"width right", "width left"} {
		p = changed(p, limit.Measured{Sort: limit.Width, Of: s}, off())
	}
	for i, k := range p.Pack.Kinds {
		for axis, name := range []string{"length", "width", "height"} {
			d := off()
			if len(k.Posts) > 0 {
				d = max(d, 0) // a box is larger than measured, its posts where they were
			}
			p = changed(p, limit.Measured{Sort: limit.Size, Of: k.Name, What: name}, d)
			keepPosts(p.Pack.Kinds[i].Posts, axis, d/2)
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

// keepPosts keeps posts where they were from the middle of a box that has grown by
// twice d along an axis.
func keepPosts(posts []pack.Post, axis int, d float64) {
	for i, post := range posts {
		switch across := post.Face.Axis(); {
		case across == axis:
		case axis == 0 || axis == 1 && across == 0:
			posts[i].At.X += d
		default:
			posts[i].At.Y += d
		}
	}
}
