package label

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Labels keep their order and their distance, and move as little as they can: the sum of
// squares grows wherever it is changed within what is allowed.
func TestSpread(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.SliceOfN(rapid.Float64Range(0, 300), 1, 30).Draw(t, "at")
		sizes := rapid.SliceOfN(rapid.Float64Range(10, 50), len(at), len(at)).Draw(t, "sizes")
		apart := func(i int) float64 { return (sizes[i-1] + sizes[i]) / 2 }
		for i := 1; i < len(at); i++ {
			at[i] = math.Max(at[i], at[i-1])
		}
		placed := Spread(at, sizes)
		cost := func(p []float64) float64 {
			sum := 0.0
			for i := range p {
				sum += (p[i] - at[i]) * (p[i] - at[i])
			}
			return sum
		}
		for i := 1; i < len(placed); i++ {
			require.GreaterOrEqual(t, placed[i]-placed[i-1], apart(i)-1e-9)
		}
		// Moving all from one on by a little either breaks the distance or costs more.
		for i := range placed {
			for _, by := range []float64{-0.01, 0.01} {
				moved := append([]float64{}, placed...)
				for j := i; j < len(moved); j++ {
					moved[j] += by
				}
				if i == 0 || moved[i]-moved[i-1] >= apart(i) {
					require.GreaterOrEqual(t, cost(moved), cost(placed)-1e-9)
				}
			}
		}
	})
}
