package geom

import (
	"math"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"
)

func TestBounds(t *testing.T) {
	box := BoxFromCorners(r3.Vector{X: 5, Y: 7, Z: 9}, r3.Vector{X: -1, Y: -2, Z: -3})
	low, high := Bounds(box)
	require.Equal(t, r3.Vector{X: -1, Y: -2, Z: -3}, low)
	require.Equal(t, r3.Vector{X: 5, Y: 7, Z: 9}, high)
	low, high = Bounds(box, Polyhedron{}, Tube{From: r3.Vector{Y: 20}, To: r3.Vector{Y: 20, Z: 30}, Radius: 4})
	require.Equal(t, r3.Vector{X: -4, Y: -2, Z: -4}, low)
	require.Equal(t, r3.Vector{X: 5, Y: 24, Z: 34}, high)
	low, high = Bounds()
	require.Greater(t, low.X, high.X)
	_, high = Bounds(HalfSpace{Normal: r3.Vector{Z: 1}, Offset: 3})
	require.Equal(t, r3.Vector{X: math.Inf(1), Y: math.Inf(1), Z: 3}, high)
}

// A regular polygon around a circle: its area is n·r²·tan(π/n) (Bronshtein and Semendyayev,
// Handbook of Mathematics, regular polygons; from memory), and each side touches the circle.
func TestPolygonAround(t *testing.T) {
	for _, sides := range []int{3, 4, 16, 96} {
		middle, radius, n := r2.Point{X: 30, Y: -12}, 25.0, float64(sides)
		p := PolygonAround(middle, radius, sides)
		require.InDelta(t, n*radius*radius*math.Tan(math.Pi/n), p.Area(), 1e-9)
		require.InDelta(t, radius, p.DistanceToEdge(middle), 1e-12)
		for i, c := range p.Corners {
			require.InDelta(t, radius, distanceToSegment(middle, c, p.Corners[p.next(i)]), 1e-12)
			require.InDelta(t, Circumradius(radius, sides), c.Sub(middle).Norm(), 1e-12)
		}
		require.InDelta(t, middle.X+radius, p.Bounds().X.Hi, 1e-12)
	}
}
