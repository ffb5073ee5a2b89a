package limit_test

import (
	"fmt"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/limit"
)

// grid is n×n×n boxes of 100 with posts in a chest that leaves 10 mm for each, in a
// layout that is a little uneven.
func grid(n int) (pack.Problem, pack.Layout) {
	side := float64(110 * n)
	k := upright("b", n*n*n, 100, 100, 100)
	k.Accuracy = 1
	k.Posts = []pack.Post{{Name: "plus", Face: pack.Top, At: r2.Point{X: 20, Y: 20}, Diameter: 10, Height: 5}}
	p := bare(chest(side, side, side+10), k)
	p.Pack.Gaps.Beside = 2
	var l pack.Layout
	for i := range n * n * n {
		at := r3.Vector{X: float64(i/n/n)*110 + 54, Y: float64(i/n%n)*110 + 55, Z: float64(i%n)*112 + 53}
		l.Placements = append(l.Placements, pack.Placement{Box: "b", Number: i + 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}, Centre: at})
	}
	return p, l
}

func BenchmarkOf(b *testing.B) {
	for _, n := range []int{1, 2, 3, 4} {
		b.Run(fmt.Sprint(n*n*n, " boxes"), func(b *testing.B) {
			p, l := grid(n)
			for b.Loop() {
				_, err := limit.Of(p, l)
				require.NoError(b, err)
			}
		})
	}
}

func BenchmarkCommonError(b *testing.B) {
	for _, n := range []int{1, 2, 3, 4} {
		b.Run(fmt.Sprint(n*n*n, " boxes"), func(b *testing.B) {
			p, l := grid(n)
			for b.Loop() {
				_, _, err := limit.CommonError(p, l)
				require.NoError(b, err)
			}
		})
	}
}
