package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"
)

// The greatest gap along the parting normals is above 0 where bodies are apart and below where they
// overlap: held against Distance, which is tested against libfcl.
func TestPartingNormals(t *testing.T) {
	g := rand.New(rand.NewPCG(7, 31))
	n := func(most float64) float64 { return (g.Float64()*2 - 1) * most }
	apart, overlap := 0, 0
	for range 2000 {
		sin, cos := math.Sincos(n(0.5))
		box := Box{
			Centre: r3.Vector{X: n(60), Y: n(60), Z: n(60)}, Half: r3.Vector{X: 5 + n(5), Y: 20 + n(10), Z: 20 + n(15)},
			Axes: [3]r3.Vector{{X: cos, Z: -sin}, {Y: 1}, {X: sin, Z: cos}},
		}
		if g.IntN(3) == 0 {
			box.Half.X = 0 // a plate
		}
		tool := PolyhedronOf(Cylinder{r3.Vector{}, r3.Vector{X: n(30), Y: n(30), Z: 10 + n(40)}, 15}, 8)
		a, b := FacesOf(tool, 8), FacesOf(box, 8)
		most := math.Inf(-1)
		for _, u := range PartingNormals(a, b) {
			require.InDelta(t, 1, u.Norm(), 1e-12)
			most = max(most, ExtentOf(b, u).Lo-ExtentOf(a, u).Hi)
		}
		d := Distance(PolyhedronFromBox(box), tool)
		if math.Abs(d) < 1e-6 {
			continue
		}
		require.Equal(t, d > 0, most > 0, "distance %v, greatest gap %v", d, most)
		if d < 0 {
			require.InDelta(t, d, most, 1e-6, "the depth is that of the shortest way out")
			overlap++
		} else {
			apart++
		}
	}
	require.Greater(t, apart, 100)
	require.Greater(t, overlap, 100)
}
