package geom

import (
	"math"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"
)

// Far from the room that matters a cover may reach further than near it, by a tenth of how far away
// it is, and no more: a bar that turns in space is measured from points beside it (Rodrigues'
// formula, the bar's distance at many positions), with the room beside it and far away.
func TestFarCoversReachNoFurtherThanTheyMay(t *testing.T) {
	bar := BoxFromCorners(r3.Vector{X: 200, Y: -20, Z: -20}, r3.Vector{X: 500, Y: 20, Z: 20})
	m := Motion{Turns: true, Along: r3.Vector{X: 0.1, Y: 0.2, Z: 1}.Normalize(), Range: r1.Interval{Lo: -0.6, Hi: 0.6}}
	room := func(x float64) Block {
		return Block{r1.Interval{Lo: x, Hi: x + 300}, r1.Interval{Lo: -100, Hi: 100}, r1.Interval{Lo: -100, Hi: 100}}
	}
	count := map[float64]int{}
	for _, away := range []float64{300, 2000, 5000} {
		swaths := m.Cover(bar, bar, room(away), 1)
		count[away] = len(swaths)
		// How far every piece is from the room, along an axis, is what it may be off ten times.
		for _, s := range swaths {
			low, high := Bounds(s.Outer)
			apart := max(away-high.X, low.X-away-300, -100-high.Y, low.Y-100, -100-high.Z, low.Z-100, 0)
			for _, q := range s.Outer.(Polyhedron).Corners() {
				least := math.Inf(1)
				for k := range 601 {
					at := -0.6 + 1.2*float64(k)/600
					back := m.Point(q, -at)
					least = min(least, Distance(BoxFromCorners(back, back), bar))
				}
				require.LessOrEqual(t, least, CoverError+apart/farther+0.3, "a room %g away, a piece %g from it", away, apart)
			}
		}
	}
	require.Greater(t, count[300], count[2000], "near the room there are more pieces")
	require.GreaterOrEqual(t, count[2000], count[5000])
}
