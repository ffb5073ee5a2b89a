package geom

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// The closed form for boxes whose axes are the same lines, against the search over faces and
// edges that any two bodies get; that one is held against libfcl.
func TestSquareDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sin, cos := math.Sincos(rapid.Float64Range(-4, 4).Draw(t, "tilt"))
		axes := [3]r3.Vector{{X: cos, Z: sin}, {Y: 1}, {X: -sin, Z: cos}}
		draw := func(lo, hi float64) r3.Vector {
			side := rapid.Float64Range(lo, hi)
			return r3.Vector{X: side.Draw(t, "x"), Y: side.Draw(t, "y"), Z: side.Draw(t, "z")}
		}
		a := Box{Centre: draw(-50, 50), Axes: axes, Half: draw(1, 30)}
		order := rapid.Permutation(axes[:]).Draw(t, "order")
		b := Box{Centre: draw(-50, 50), Axes: [3]r3.Vector{order[0].Mul(-1), order[1], order[2].Mul(-1)}, Half: draw(1, 30)}

		d, ok := squareDistance(a, b)
		assert.True(t, ok)
		assert.InDelta(t, separate(a, b).distance, d, 1e-11)
		sheet, _ := SheetGap(a, b)
		assert.GreaterOrEqual(t, d, sheet)
	})
}

// Corner to corner a little apart: 3² + 4² = 5², and 2² + 3² + 6² = 7².
func TestBoxesHardlyApart(t *testing.T) {
	for want, by := range map[float64]r3.Vector{0.5: {X: 0.3, Y: 0.4}, 0.07: {X: 0.02, Y: 0.03, Z: 0.06}, 0.9: {Z: 0.9}} {
		a, b := box(0, 0, 0, 10, 10, 10), box(10, 10, 10, 20, 20, 20)
		b.Centre = b.Centre.Add(by)
		d, ok := squareDistance(a, b)
		assert.True(t, ok)
		assert.InDelta(t, want, d, 1e-12)
	}
}

func TestOnlyBoxesOfTheSameLinesAreSquare(t *testing.T) {
	a := box(0, 0, 0, 1, 1, 1)
	turned := a
	turned.Axes[0], turned.Axes[2] = r3.Vector{X: 0.8, Z: 0.6}, r3.Vector{X: -0.6, Z: 0.8}
	for _, other := range []Solid{turned, Tube{To: r3.Vector{X: 1}, Radius: 1}} {
		_, ok := squareDistance(a, other)
		assert.False(t, ok, "%v", other)
	}
}
