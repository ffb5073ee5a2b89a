package proof

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// Bounds rest on the clauses of flat bodies inside round solids: at no place may they
// leave less than the judge's own measure does, and they should not leave much more.
// Derived: a ring of 16 points leaves out at most 1 − cos(180°/16) = 1.93 % of a round
// wall; two chamfers around a rounded edge leave out at most 1 − cos(45°/2) = 7.6 % of
// its radius. Where a corner of the box meets an edge both ways add.
func TestInnerBodiesNeverAskTooMuch(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 5))
	for range 60 {
		solid, radius := randomRound(rng)
		gap := float64(rng.IntN(3)) * 4
		kind := pack.Kind{Name: "box", Count: 1, Size: r3.Vector{X: 10 + 90*rng.Float64(), Y: 10 + 90*rng.Float64(), Z: 10 + 90*rng.Float64()}}
		p := model.NewPose(0, kind, false, pack.Top, pack.Front, 0)
		outer := p.AgainstSolid(0, solid, gap)
		inner := faceted{}.clause(p, outer, ringAngles(nil))
		floor := -coreOf(outer).grow
		for range 40 {
			at := r3.Vector{X: 200 * (rng.Float64() - 0.5), Y: 200 * (rng.Float64() - 0.5), Z: 200 * (rng.Float64() - 0.5)}
			signed, _ := geom.SheetGap(p.Solid(0, at), solid)
			left := inner.Left(at)
			want := signed - gap
			if want <= floor {
				continue
			}
			require.GreaterOrEqual(t, left, want-1e-9, "%v %v gap %v at %v", solid, kind.Size, gap, at)
			if want > 0 && want < 20 {
				slack := 0.02*radius + 0.16*(gap+want) + 2*inset
				if _, tube := solid.(geom.Tube); tube {
					slack = 0.18 * (radius + gap + want)
				}
				require.Less(t, left-want, slack, "%v %v gap %v at %v", solid, kind.Size, gap, at)
			}
			require.LessOrEqual(t, outer.Left(at), want+1e-9, "outer bodies never ask too little")
		}
	}
}

func randomRound(rng *rand.Rand) (geom.Solid, float64) {
	from := r3.Vector{X: 60 * rng.Float64(), Y: 60 * rng.Float64(), Z: 60 * rng.Float64()}
	to := r3.Vector{X: -60 * rng.Float64(), Y: -60 * rng.Float64(), Z: -60 * rng.Float64()}
	radius := 5 + 30*rng.Float64()
	switch rng.IntN(4) {
	case 0:
		return geom.Tube{From: from, To: to, Radius: radius}, radius
	case 1:
		to.X, to.Z = from.X, from.Z
		return geom.Cylinder{From: from, To: to, Radius: radius}, radius
	case 2:
		to.Y, to.Z = from.Y, from.Z
		return geom.Tube{From: from, To: to, Radius: radius}, radius
	}
	return geom.Cylinder{From: from, To: to, Radius: radius}, radius
}

func TestFloorIsWhereInnerBodiesEnd(t *testing.T) {
	tube := model.Clause{Round: geom.Tube{To: r3.Vector{X: 100}, Radius: 19}, Gap: 5}
	require.Equal(t, 24.0, coreOf(tube).grow)
	cylinder := model.Clause{Round: geom.Cylinder{To: r3.Vector{X: 100}, Radius: 90}, Gap: 0}
	require.InDelta(t, inset, coreOf(cylinder).grow, 1e-12)
	require.InDelta(t, 90-inset, coreOf(cylinder).radius, 1e-12)
	with := func(solids ...model.Clause) float64 {
		m := modelOf(kit.NoGaps(kit.Chest(100, 100, 100), kit.Upright(kit.Boxes("b", 1, 10, 10, 10))))
		m.Solids[0][0] = solids
		return NewInside(m).Floor
	}
	require.True(t, math.IsInf(with(), -1), "no round solid, no floor")
	require.InDelta(t, -inset, with(tube, cylinder), 1e-12)
}

// Of an everyday problem, in every pose: where a part keeps clear of a round solid, the flat
// bodies inside of it leave no less than the exact distance does.
func TestInnerBodiesOfAProblemNeverAskTooMuch(t *testing.T) {
	p := kit.Slanted(3)
	p.Pack.Kinds[0].Tilts = []s1.Angle{0, 15 * s1.Degree, -20 * s1.Degree}
	p.Pack.Kinds[0].Posts = append(p.Pack.Kinds[0].Posts, pack.Post{Name: "minus", Face: pack.Left, At: r2.Point{X: 150, Y: 140}, Diameter: 12, Height: 6})
	m := modelOf(p)
	inner, rng, held := NewInside(m).made(), rand.New(rand.NewPCG(21, 22)), 0
	for range 3000 {
		s := model.Spot{Pose: rng.IntN(len(m.Poses[0])), At: r3.Vector{X: 800*rng.Float64() - 100, Y: 400*rng.Float64() - 200, Z: 600*rng.Float64() - 100}}
		for k, c := range inner[0][s.Pose] {
			if c.Round == nil {
				continue
			}
			sharp, _ := m.Solids[0][s.Pose][k].Sharp(m.PoseOf(0, s), s.At)
			if sharp > -c.Gap {
				held++
				require.GreaterOrEqual(t, c.Left(s.At), sharp-1e-7)
			}
		}
	}
	require.Greater(t, held, 1000)
}
