package frame

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
)

// bent is a random outline around the origin: its corners in order of their direction,
// near and far, so that some point inward.
func bent(g *rand.Rand) geom.Polygon {
	n := 4 + g.IntN(5)
	var corners []r2.Point
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.6*g.Float64()) / float64(n))
		reach := 35 + 75*g.Float64()
		corners = append(corners, r2.Point{X: reach * cos, Y: reach * sin})
	}
	return geom.Polygon{Corners: corners}
}

// below is how far a point is from the nearest side of an outline, worked out from the
// definition: the least distance to points 0.05 mm apart would do, the foot is exact.
func below(p geom.Polygon, q r2.Point) float64 {
	least := math.Inf(1)
	for i, a := range p.Corners {
		d := p.Corners[(i+1)%len(p.Corners)].Sub(a)
		foot := max(0, min(1, q.Sub(a).Dot(d)/d.Norm()/d.Norm()))
		least = min(least, q.Sub(a).Sub(d.Mul(foot)).Norm())
	}
	return least
}

// What is d or more from the surface is in the core, by Monte Carlo; what is in the core
// is in the outline, and so far from its surface but near corners that point inward,
// where 2 % of d may be missing.
func TestCoreOfRandomOutlines(t *testing.T) {
	turned, in, out := 0, 0, 0
	for seed := range uint64(400) {
		g := rand.New(rand.NewPCG(seed, 21))
		p := bent(g)
		if _, err := geom.PolygonFromCorners(p.Corners); err != nil {
			continue
		}
		if !p.IsConvex() {
			turned++
		}
		d := 1 + 20*g.Float64()
		pieces := core(p, d)
		for _, piece := range pieces {
			require.True(t, piece.IsConvex(), "seed %d", seed)
		}
		for range 300 {
			q := r2.Point{X: 220*g.Float64() - 110, Y: 220*g.Float64() - 110}
			owners := 0
			for _, piece := range pieces {
				if piece.InteriorContains(q) {
					owners++
				}
			}
			require.LessOrEqual(t, owners, 1, "seed %d: pieces overlap", seed)
			depth := below(p, q)
			switch {
			case !p.Contains(q):
				require.Zero(t, owners, "seed %d: outside", seed)
			case owners > 0:
				in++
				require.Greater(t, depth, 0.98*d-1e-6, "seed %d", seed)
			case depth > d+1e-6:
				require.True(t, onSeam(pieces, q), "seed %d: %v is %.3f deep, and %.3f is the limit", seed, q, depth, d)
			default:
				out++
			}
		}
	}
	require.Greater(t, turned, 100)
	require.Greater(t, in, 2000)
	require.Greater(t, out, 2000)
}

func onSeam(pieces []geom.Polygon, q r2.Point) bool {
	for _, p := range pieces {
		if p.Contains(q) {
			return true
		}
	}
	return false
}

// Closed form: the core of a square U with arms 20 wide, 6 in, is a U with arms 8 wide:
// 88 high at both sides, and 88 long below, less nothing at the two corners that point
// inward but the squares of 6 that the fan leaves off but for its disc.
func TestCoreOfAU(t *testing.T) {
	u := geom.Polygon{Corners: []r2.Point{{}, {X: 100}, {X: 100, Y: 100}, {X: 80, Y: 100}, {X: 80, Y: 20}, {X: 20, Y: 20}, {X: 20, Y: 100}, {Y: 100}}}
	sum := 0.0
	for _, p := range core(u, 6) {
		sum += p.Area()
	}
	// Arms 8 × 88, twice, and between them 72 × 8; beside each inner corner the square of
	// 6 without a quarter disc stays.
	want := 2*8*88.0 + 72*8 + 2*(36-math.Pi*9)
	require.InDelta(t, want, sum, 2)
	require.GreaterOrEqual(t, sum, want-1e-6)
	require.Empty(t, core(u, 11.8), "the largest ball, in the corner of the U, has a radius of 20·√2/(1+√2) = 11.72")
}

// A drum across is a prism around it, by no more than it says, and its core a smaller one.
func TestRoundAsPrism(t *testing.T) {
	for _, diameter := range []float64{5, 50, 180, 370} {
		k := KeepOut{Name: "motor", Round: &Round{From: r3.Vector{X: 3, Y: 90, Z: 7}, To: r3.Vector{X: 3, Y: -80, Z: 7}, Diameter: diameter}}
		surface, ok := k.Surface()
		require.True(t, ok)
		list := surface.Prisms()
		require.Len(t, list, 1)
		require.Equal(t, r1.Interval{Lo: -80, Hi: 90}, list[0].Depth)
		for a := range 360 {
			sin, cos := math.Sincos(float64(a) * math.Pi / 180)
			e := list[0].Extent(r3.Vector{X: cos, Z: sin})
			over := e.Hi - (3*cos + 7*sin) - diameter/2
			require.GreaterOrEqual(t, over, -1e-9, "the drum is inside")
			require.LessOrEqual(t, over, RoundError)
		}
		core, err := k.Core(2)
		require.NoError(t, err)
		e := core[0].Profile.Outline.Bounds()
		require.InDelta(t, diameter-4, e.X.Length(), 2*RoundError)
		require.Equal(t, r1.Interval{Lo: -78, Hi: 88}, core[0].Profile.Across)
		require.InDelta(t, min(diameter, 170), k.Thickness(), 0.02)
		_, err = k.Core(diameter / 2)
		require.ErrorIs(t, err, ErrThrough)
	}
}

// A slanted drum has flat sides around it, by no more than it says; its core is round, goes
// through the corners of those sides moved in, and is as far from the ends.
func TestSlantedDrum(t *testing.T) {
	from, to := r3.Vector{X: 3, Y: 10}, r3.Vector{X: 30, Y: -40, Z: 200}
	axis, length := to.Sub(from).Normalize(), to.Sub(from).Norm()
	for _, diameter := range []float64{5, 50, 180, 370} {
		k := KeepOut{Name: "shock", Round: &Round{From: from, To: to, Diameter: diameter}}
		require.True(t, k.Slanted())
		_, ok := k.Surface()
		require.False(t, ok)
		drum := k.Round.Drum()
		for _, q := range drum.Corners() {
			v := q.Sub(from)
			across := v.Sub(axis.Mul(v.Dot(axis))).Norm()
			require.GreaterOrEqual(t, across, diameter/2)
			require.LessOrEqual(t, across, diameter/2+RoundError)
			require.InDelta(t, length/2, math.Abs(v.Dot(axis)-length/2), 1e-9)
		}
		core, err := k.Core(2)
		require.NoError(t, err)
		require.Len(t, core, 1)
		in := core[0].Round
		require.InDelta(t, diameter-4, in.Diameter, 2*RoundError)
		require.GreaterOrEqual(t, in.Diameter, diameter-4)
		require.InDelta(t, 2, in.From.Sub(from).Dot(axis), 1e-9)
		require.InDelta(t, length-2, in.To.Sub(from).Dot(axis), 1e-9)
		require.InDelta(t, min(diameter, length), k.Thickness(), 0.02)
		_, err = k.Core(diameter / 2)
		require.ErrorIs(t, err, ErrThrough)
	}
}

func TestAPieceIsNotchedNoFurther(t *testing.T) {
	drum := Round{To: r3.Vector{X: 50, Z: 50}, Diameter: 50}.Drum()
	k := KeepOut{Name: "shock", Piece: &drum}
	_, err := k.Core(1)
	require.ErrorIs(t, err, ErrThrough)
	require.Less(t, k.Thickness(), 0.01)
}
