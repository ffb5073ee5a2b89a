package entry

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
	"rackwright/pack"
)

// yard draws a layout that the judge accepts, with every gap 0: rails, keep-outs and
// a round one, some boxes tilted, with posts.
func yard(r *rand.Rand) *stage {
	const size = 400
	s := square(size).air(2).across(-150, 150)
	for n := range 4 {
		if r.IntN(3) == 0 {
			s.open(n + 1)
		}
	}
	point := func() r3.Vector {
		return v(math.Round(r.Float64()*600-100), math.Round(r.Float64()*500-250), math.Round(r.Float64()*600-100))
	}
	for n := range 2 + r.IntN(5) {
		s.rail(fmt.Sprint("rail ", n), 20+r.Float64()*20, point(), point(), point())
	}
	for n := range 1 + r.IntN(5) {
		low := point()
		s.keepOut(fmt.Sprint("keep-out ", n), low, low.Add(v(20+200*r.Float64(), 20+100*r.Float64(), 20+100*r.Float64())))
	}
	for tries, want := 0, 1+r.IntN(5); len(s.layout.Placements) < want && tries < 300; tries++ {
		kinds, placements := s.problem.Pack.Kinds, s.layout.Placements
		c := v(r.Float64()*size, r.Float64()*300-150, r.Float64()*size)
		half := v(20+r.Float64()*80, 20+r.Float64()*50, 20+r.Float64()*80)
		post := pack.Post{Name: "plus", Face: pack.Top, At: r2.Point{X: 15, Y: 15}, Diameter: 12, Height: 15}
		tilt := float64(r.IntN(2) * (r.IntN(60) - 30))
		s.tilted(string(rune('a'+len(placements))), c.Sub(half), c.Add(half), tilt, post)
		if pack.Check(s.problem, s.layout).Spare < 0 {
			s.problem.Pack.Kinds, s.layout.Placements = kinds, placements
		}
	}
	return s
}

// TestSweptAgainstTheJudge walks along every leg in small steps, with those boxes
// there that are in, and asks pack.Check at each step for the clearance to all things
// but the limits of the opening. To the sides it measures to thin slabs.
func TestSweptAgainstTheJudge(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 4))
	steps, legs := 0, map[int]int{}
	for range 30 {
		s := yard(r)
		a := s.plan(t)
		var in []pack.Placement
		for _, step := range a.Order.Steps {
			placement := s.placement(step.Box)
			s.walk(t, in, placement, step)
			in = append(in, placement)
			legs[len(step.Legs)]++
			steps++
		}
	}
	t.Log("steps", steps, "by legs", legs)
	assert.Greater(t, steps, 40)
	assert.Greater(t, legs[2]+legs[3], 3)
}

func (s *stage) placement(box string) pack.Placement {
	for _, p := range s.layout.Placements {
		if p.Box == box {
			return p
		}
	}
	return pack.Placement{}
}

func (s *stage) walk(t *testing.T, in []pack.Placement, box pack.Placement, step Step) {
	t.Helper()
	asked := s.clearances(t, in, box)
	for key, gap := range asked {
		asked[key] = math.Min(gap, s.problem.Pack.Gaps.Entry)
	}
	at := box
	for n := len(step.Legs) - 1; n >= 0; n-- {
		leg := step.Legs[n]
		pieces := math.Ceil(leg.Norm() / 4)
		for k := 1.0; k <= pieces; k++ {
			here := at
			here.Centre = at.Centre.Sub(leg.Mul(k / pieces))
			for key, gap := range s.clearances(t, in, here) {
				require.GreaterOrEqual(t, gap, asked[key]-1e-6, "%v on leg %d of %v at %v", key, n, step, here.Centre)
			}
		}
		at.Centre = at.Centre.Sub(leg)
	}
}

// clearances returns those of box to all that stands there.
func (s *stage) clearances(t *testing.T, in []pack.Placement, box pack.Placement) map[string]float64 {
	t.Helper()
	layout := pack.Layout{Placements: append(append([]pack.Placement(nil), in...), box)}
	list := map[string]float64{}
	for _, rel := range pack.Check(s.problem, layout).ForBox(box.Box, 1) {
		if rel.Rule == pack.Wall || s.ofOpening(rel.B) || rel.A.Box == rel.B.Box {
			continue
		}
		key := fmt.Sprint(rel.A, " to ", rel.B)
		if rel.B.Box == box.Box {
			key = fmt.Sprint(rel.B, " to ", rel.A)
		}
		list[key] = rel.Gap
	}
	bodies, err := s.problem.Bodies(box)
	require.NoError(t, err)
	for n, slab := range []geom.Box{
		geom.BoxFromCorners(v(0, -150, 0), v(400, 150, 0)), geom.BoxFromCorners(v(400, -150, 0), v(400, 150, 400)),
		geom.BoxFromCorners(v(0, -150, 400), v(400, 150, 400)), geom.BoxFromCorners(v(0, -150, 0), v(0, 150, 400)),
	} {
		if !s.problem.Frame.Opening.Open[n] {
			list[fmt.Sprint("case to side ", n)], _ = geom.SheetGap(bodies.Case, slab)
		}
	}
	return list
}

func (s *stage) ofOpening(p pack.Part) bool {
	for _, o := range s.problem.Obstacles() {
		if o.Name == p.Obstacle {
			return o.Kind <= 1
		}
	}
	return false
}
