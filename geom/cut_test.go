package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"
)

// A random convex polygon without a random convex region: areas add up, and every point
// of it is either in the region or in just one piece.
func TestPolygonWithoutARegion(t *testing.T) {
	cut := 0
	for seed := range uint64(300) {
		g := rand.New(rand.NewPCG(seed, 3))
		p, q := randomConvex(g), randomConvex(g)
		var region []HalfPlane
		for i, c := range q.Corners {
			n := q.normal(i)
			region = append(region, HalfPlane{N: n, At: n.Dot(c)})
		}
		pieces, inside := p.Without(region), p.Clipped(region...)
		sum := 0.0
		for _, piece := range pieces {
			require.True(t, piece.IsConvex())
			sum += piece.Area()
		}
		if inside.IsSliver() {
			require.Equal(t, []Polygon{p}, pieces)
			continue
		}
		cut++
		require.InDelta(t, p.Area(), sum+inside.Area(), 1e-3)
		for range 50 {
			at := r2.Point{X: 200*g.Float64() - 100, Y: 200*g.Float64() - 100}
			owners, edge := 0, math.Abs(toEdge(p, at)) < 1e-6 || math.Abs(toEdge(q, at)) < 1e-6
			for _, piece := range pieces {
				edge = edge || math.Abs(toEdge(piece, at)) < 1e-6
				if piece.Contains(at) {
					owners++
				}
			}
			want := 0
			if p.Contains(at) && !q.Contains(at) {
				want = 1
			}
			require.True(t, edge || owners == want, "seed %d", seed)
		}
	}
	require.Greater(t, cut, 100)
}

// toEdge is the distance of a point from the nearest edge.
func toEdge(p Polygon, q r2.Point) float64 {
	least := math.Inf(1)
	for i, a := range p.Corners {
		least = min(least, distanceToSegment(q, a, p.Corners[p.next(i)]))
	}
	return least
}

func randomConvex(g *rand.Rand) Polygon {
	var corners []r2.Point
	middle := r2.Point{X: 80*g.Float64() - 40, Y: 80*g.Float64() - 40}
	for range 3 + g.IntN(6) {
		sin, cos := math.Sincos(2 * math.Pi * g.Float64())
		corners = append(corners, middle.Add(r2.Point{X: 60 * cos, Y: 50 * sin}))
	}
	return Polygon{Corners: hullOf(corners)}
}
