package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"
)

// Derived: a box with points inside, a tetrahedron, and the prism around a circle.
func TestHullOfKnownBodies(t *testing.T) {
	b := BoxFromCorners(r3.Vector{X: -3, Y: 2, Z: 1}, r3.Vector{X: 5, Y: 9, Z: 4})
	points := PolyhedronFromBox(b).Corners()
	rng := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		points = append(points, b.Centre.Add(r3.Vector{X: 8 * (rng.Float64() - 0.5), Y: 7 * (rng.Float64() - 0.5), Z: 3 * (rng.Float64() - 0.5)}))
	}
	rng.Shuffle(len(points), func(i, j int) { points[i], points[j] = points[j], points[i] })
	h := Hull(points)
	require.Len(t, h.Corners(), 8)
	require.Len(t, h.Faces(), 6)
	require.InDelta(t, 8*7*3, h.Volume(), 1e-9)

	h = Hull([]r3.Vector{{}, {X: 6}, {Y: 6}, {Z: 6}, {X: 1, Y: 1, Z: 1}})
	require.InDelta(t, 36, h.Volume(), 1e-9)
	require.Len(t, h.Faces(), 4)

	drum := PolyhedronAround(Cylinder{From: r3.Vector{X: 10, Y: 4}, To: r3.Vector{X: 40, Y: 60, Z: 7}, Radius: 25}, 40)
	h = Hull(drum.Corners())
	require.Len(t, h.Faces(), 42)
	require.InDelta(t, drum.Volume(), h.Volume(), 1e-6)
	require.Empty(t, Hull([]r3.Vector{{}, {X: 1}, {Y: 1}, {X: 1, Y: 1}}).Faces())
}

// Every point is inside, and no half-space that the hull leaves out touches one: checked by
// extents in random directions.
func TestHullOfRandomPoints(t *testing.T) {
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 3))
		var points []r3.Vector
		for range 4 + rng.IntN(60) {
			points = append(points, r3.Vector{X: rng.NormFloat64() * 300, Y: rng.NormFloat64() * 40, Z: rng.NormFloat64() * 100})
		}
		h := Hull(points)
		for _, p := range points {
			for _, f := range h.shape.faces {
				require.LessOrEqual(t, f.normal.Dot(p.Sub(h.shape.corners[f.loop[0]])), 1e-6)
			}
		}
		for range 50 {
			u := unit(r3.Vector{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
			most := math.Inf(-1)
			for _, p := range points {
				most = max(most, u.Dot(p))
			}
			require.InDelta(t, most, h.Extent(u).Hi, 1e-6)
		}
	}
}
