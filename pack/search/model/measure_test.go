package model

import (
	"math"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"rackwright/pack"
	"rackwright/pack/search/internal/kit"
)

// The search's own measure of an arrangement is the judge's, for every stand, turn,
// tilt, post and kind of obstacle.
func TestMeasureIsTheJudges(t *testing.T) {
	p := kit.Slanted(3)
	p.Pack.Kinds[0].Tilts = []s1.Angle{0, 15 * s1.Degree, -20 * s1.Degree}
	p.Pack.Kinds[0].Posts = append(p.Pack.Kinds[0].Posts, pack.Post{Name: "minus", Face: pack.Left, At: r2.Point{X: 150, Y: 140}, Diameter: 12, Height: 6})
	m := made(p)
	rapid.Check(t, func(t *rapid.T) {
		var spots []Spot
		for range m.Boxes {
			spots = append(spots, Spot{
				Pose: rapid.IntRange(0, len(m.Poses[0])-1).Draw(t, "pose"),
				At: r3.Vector{
					X: rapid.Float64Range(-100, 700).Draw(t, "x"),
					Y: rapid.Float64Range(-200, 200).Draw(t, "y"),
					Z: rapid.Float64Range(-100, 500).Draw(t, "z"),
				},
			})
		}
		want := pack.Check(p, m.Layout(spots)).Spare
		require.InDelta(t, want, m.SharpLeft(spots), 1e-7)
		require.LessOrEqual(t, leftByPlanes(m, spots), want+1e-7, "flat bodies around round ones claim too much")
	})
}

// leftByPlanes is the spare of a whole arrangement by the planes of the clauses alone.
func leftByPlanes(m *Model, spots []Spot) float64 {
	left := math.Inf(1)
	for i, s := range spots {
		left = min(left, m.LoneLeft(i, s))
		for j := range i {
			left = min(left, m.PairLeft(j, spots[j], i, s))
		}
	}
	return left
}
