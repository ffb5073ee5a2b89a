package proof

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack/certificate"
	"rackwright/pack/lp"
	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// The places at which a box meets a body are the sum of the body and the box. The branches
// of the certificate name all faces of the sum if, and only if, nothing that keeps to their
// planes reaches beyond it in any direction: the planes' linear program against the sum of
// what body and box reach, for random directions, tubes, drums, tilts.
func TestBranchesNameAllFaces(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	number := func(from, to int) float64 { return float64(from + rng.IntN(to-from)) }
	point := func() r3.Vector { return r3.Vector{X: number(0, 300), Y: number(-100, 100), Z: number(0, 300)} }
	for range 8 {
		f := kit.Opening(r1.Interval{Lo: -150, Hi: 150}, r2.Point{}, r2.Point{X: 300}, r2.Point{X: 300, Y: 300}, r2.Point{Y: 300})
		from, to := point(), point()
		if rng.IntN(3) == 0 {
			to.X, to.Z = from.X, from.Z
		}
		f.Rails = []frame.Rail{{Name: "rail", Path: []r3.Vector{from, to}, Diameter: number(10, 50)}}
		load := kit.Upright(kit.Boxes("b", 1, 88, 30, 90))
		load.Tilts = []s1.Angle{0, s1.Angle(number(-60, 60)) * s1.Degree, s1.Angle(number(-600, 600)) / 10 * s1.Degree}
		p := kit.NoGaps(f, load)
		space, err := certificate.NewSpace(p)
		require.NoError(t, err)
		w, err := newScribe(context.Background(), modelOf(p), space, -1)
		require.NoError(t, err)
		require.Len(t, w.bodies, 1)
		for k, q := range w.prover.m.Poses[0] {
			planes := w.prover.rel.inner[0][k][0].Planes
			require.NotEmpty(t, planes)
			requireSum(t, rng, planes, q, w.bodies[0])
		}
	}
}

func requireSum(t *testing.T, rng *rand.Rand, planes []model.Plane, q *model.Pose, body certificate.Body) {
	t.Helper()
	const far = 5000
	for range 15 {
		u := r3.Vector{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}.Normalize()
		program := lp.New([]float64{u.X, u.Y, u.Z}, []float64{-far, -far, -far}, []float64{far, far, far})
		for _, f := range planes {
			program.Push(lp.Row{Index: []int{0, 1, 2}, Coef: []float64{f.N.X, f.N.Y, f.N.Z}, Bound: f.D})
		}
		require.Equal(t, lp.Optimal, program.Solve(math.Inf(-1)))
		most := math.Inf(-1)
		for _, p := range body.Points {
			most = max(most, u.Dot(r3.Vector{X: p[0], Y: p[1], Z: p[2]}))
		}
		require.InDelta(t, most+q.Reach(0, u), program.Value(), 1e-6, "towards %v", u)
	}
}
