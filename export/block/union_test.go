package block

import (
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
	"rackwright/pack"
)

// brickBody is a box of a size, turned about y and moved.
func brickBody(size, by r3.Vector, tilt s1.Angle) convex {
	axes := pack.Orientation{Up: pack.Top, Front: pack.Front, Tilt: tilt}.Axes()
	half := size.Mul(0.5)
	centre := by.Add(axes[0].Mul(half.X)).Add(axes[1].Mul(half.Y)).Add(axes[2].Mul(half.Z))
	body, _ := bodyOf(geom.Box{Centre: centre, Axes: axes, Half: half})
	return body
}

// Derived: two cubes of 10 that share a cube of 5, and a third in the same planes.
func TestUnionOfCubes(t *testing.T) {
	ten := r3.Vector{X: 10, Y: 10, Z: 10}
	m, err := union([]convex{brickBody(ten, r3.Vector{}, 0), brickBody(ten, r3.Vector{X: 5, Y: 5, Z: 5}, 0)})
	require.NoError(t, err)
	require.InDelta(t, 2000-125, m.Volume(), 1e-6)
	requireSound(t, m, 1875, 1)
	m, err = union([]convex{brickBody(ten, r3.Vector{}, 0), brickBody(ten, r3.Vector{X: 5}, 0), brickBody(ten, r3.Vector{X: 5}, 0)})
	require.NoError(t, err)
	requireSound(t, m, 1500, 1)
}

// Bodies on a lattice of whole numbers, with faces in one plane everywhere, against
// counting the cubes that they cover.
func TestUnionOnALattice(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	good := 0
	for range 60 {
		covered := map[[3]int]bool{}
		var bodies []convex
		for range 2 + rng.IntN(4) {
			at := [3]int{rng.IntN(6), rng.IntN(6), rng.IntN(6)}
			size := [3]int{1 + rng.IntN(5), 1 + rng.IntN(5), 1 + rng.IntN(5)}
			bodies = append(bodies, brickBody(
				r3.Vector{X: float64(size[0]), Y: float64(size[1]), Z: float64(size[2])},
				r3.Vector{X: float64(at[0]), Y: float64(at[1]), Z: float64(at[2])}, 0))
			for x := range size[0] {
				for y := range size[1] {
					for z := range size[2] {
						covered[[3]int{at[0] + x, at[1] + y, at[2] + z}] = true
					}
				}
			}
		}
		m, err := union(bodies)
		if err != nil {
			continue
		}
		good++
		require.InDelta(t, len(covered), m.Volume(), 1e-6)
	}
	require.Greater(t, good, 50)
}

// Turned bodies against the convex bodies themselves: a point is inside of the union
// when it is behind all planes of one of them.
func TestUnionOfTurnedBodies(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 1))
	for range 25 {
		var bodies []convex
		for range 2 + rng.IntN(5) {
			size := r3.Vector{X: 5 + 30*rng.Float64(), Y: 5 + 30*rng.Float64(), Z: 5 + 30*rng.Float64()}
			by := r3.Vector{X: 30 * rng.Float64(), Y: 30 * rng.Float64(), Z: 30 * rng.Float64()}
			bodies = append(bodies, brickBody(size, by, s1.Angle(rng.Float64())))
		}
		m, err := union(bodies)
		require.NoError(t, err)
		requireClosed(t, m)
		for range 60 {
			p := r3.Vector{X: 70*rng.Float64() - 10, Y: 70*rng.Float64() - 10, Z: 70*rng.Float64() - 10}
			in := false
			for _, b := range bodies {
				all := true
				for _, f := range b.faces {
					pl := planeOf(f)
					all = all && pl.n.Dot(p) <= pl.at
				}
				in = in || all
			}
			require.Equal(t, in, contains(m, p), "%v", p)
		}
	}
}
