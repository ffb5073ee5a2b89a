package proof_test

import (
	"context"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack/certificate"
	"rackwright/pack/search"
	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/proof"
)

// The bodies that proofs put inside round solids are inside of them by the certificate's own
// numbers, and layouts that fit keep clear of them.
func TestBodiesRuleNoLayoutOut(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 32))
	point := func(y float64) r3.Vector {
		return r3.Vector{X: float64(rng.IntN(400)), Y: y, Z: float64(rng.IntN(300))}
	}
	bodies, allowed, problems := 0, 0, 9
	if os.Getenv("RACKWRIGHT_LONG") != "" {
		problems = 25
	}
	for range problems {
		f := kit.Chest(400, 250, 300)
		f.Rails = []frame.Rail{{Name: "tube", Path: []r3.Vector{point(-20), point(270)}, Diameter: 20}}
		f.KeepOuts = []frame.KeepOut{{Name: "drum", Round: &frame.Round{From: point(0), To: point(120), Diameter: 60}}}
		p := kit.NoGaps(f, kit.Boxes("block", 2, 140, 110, 90))
		space, err := certificate.NewSpace(p)
		require.NoError(t, err)
		for _, b := range proof.Bodies(p) {
			require.NoError(t, space.AddBody(b))
			bodies++
		}
		ctx, cancel := context.WithCancel(context.Background())
		r, err := search.Fit(ctx, p, search.Settings{AnyEntry: true, Progress: func(now search.Progress) {
			if now.Spare >= 0 || now.Bound < 0 {
				cancel()
			}
		}})
		cancel()
		require.NoError(t, err)
		for _, l := range r.Layouts {
			if l.Report.Spare >= 0 {
				require.NoError(t, space.Allows(l.Layout))
				allowed++
			}
		}
	}
	require.Greater(t, min(bodies, allowed), 5)
}
