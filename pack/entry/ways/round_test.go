package ways

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
)

func tube(x0, y0, z0, x1, y1, z1, radius float64) geom.Tube {
	return geom.Tube{From: r3.Vector{X: x0, Y: y0, Z: z0}, To: r3.Vector{X: x1, Y: y1, Z: z1}, Radius: radius}
}

// Two tubes over a body, as far from each other as the body is wide and the air on
// both sides: derived by hand.
func TestBetweenTwoTubes(t *testing.T) {
	for _, c := range []struct {
		air  float64
		want bool
	}{{0, true}, {0.5, true}, {0.5 + 2*Fineness, false}, {1, false}} {
		m := mover(block(0, -1, 0, 4, 1, 2), block(0, -5, 0, 4, 5, 6), c.air,
			tube(-9, 2.5, 5, 9, 2.5, 5, 1), tube(-9, -2.5, 5, 9, -2.5, 5, 1))
		_, ok := m.Way(1, 2, SetOf(3))
		way, _ := m.Way(1, 2, SetOf(3))
		assert.Equal(t, c.want, ok && way.Last == 2, "air %v", c.air)
	}
}

// A body under a slanted tube comes out upward only after it has gone aside until its
// edge is a radius from the tube's axis, seen from above. A wall ends the way aside.
func TestStopBesideSlantedTube(t *testing.T) {
	// Seen from above the tube runs along (3, 4)/5 from the origin; the corner of
	// the body at (x, 2) is 4/5·x − 3/5·2 from its axis, to the front of it.
	radius := 1.0
	need := 5.0 / 4 * (radius + 6.0/5)
	for _, slack := range []float64{-0.001, 2 * Fineness, 0.1, 3} {
		body := block(1, 0, 0, 3, 2, 1)
		wall := block(need+2+slack, -9, -9, 99, 9, 9)
		m := mover(body, block(0, 0, 0, 9, 9, 9), 0, tube(-30, -40, 3, 30, 40, 6, radius), wall,
			block(-99, -99, -3, 99, 99, -1), block(-99, -99, -2, 99, -1, 9), block(-99, 3, -2, 99, 99, 9))
		way, ok := m.Way(2, 2, SetOf(6).Without(0))
		found := ok && way.Legs[0].X > 0
		assert.Equal(t, slack > 0, found, "slack %v: %v", slack, way)
	}
}

// A body meets a ball with its corner: Pythagoras says where.
func TestReachOfABall(t *testing.T) {
	ball := tube(10, 2, 2, 10, 2, 2, 2)
	for _, air := range []float64{0, 1} {
		m := mover(block(0, 0, 0, 1, 1, 1), anyRoom, air, ball)
		length, by := (&finder{Mover: m, present: SetOf(2)}).gather().reach(line(4))
		require.NotNil(t, by)
		want := 9 - math.Sqrt((2+air)*(2+air)-2)
		assert.LessOrEqual(t, length, want+1e-9)
		assert.GreaterOrEqual(t, length, want-2*Fineness, "air %v", air)
		length, _ = (&finder{Mover: m, present: SetOf(2)}).gather().reach(line(5))
		assert.True(t, math.IsInf(length, 1))
	}
	m := mover(block(0, 0, 0, 1, 1, 1), anyRoom, 0, tube(10, 2.42, 2.42, 10, 2.42, 2.42, 2))
	length, _ := (&finder{Mover: m, present: SetOf(2)}).gather().reach(line(4))
	assert.True(t, math.IsInf(length, 1), "past it, 1.42·√2 = 2.008 off the corner")
}

// randomTubes returns tubes through and around a cube of 7, none on the body.
func randomTubes(r *rand.Rand, body geom.Box, n int) []geom.Solid {
	point := func() r3.Vector {
		return r3.Vector{X: r.Float64()*12 - 2, Y: r.Float64()*12 - 2, Z: r.Float64()*12 - 2}
	}
	var list []geom.Solid
	for len(list) < n {
		s := geom.Tube{From: point(), To: point(), Radius: 0.4 + r.Float64()}
		if r.IntN(3) == 0 {
			s.Radius = 2
		}
		if geom.Distance(body, s) > 0.2 {
			list = append(list, s)
		}
	}
	return list
}

// sampled tells whether the body finds a way on a grid of stops half a millimetre
// apart, with margin more air than it needs: then there is one.
type sampled struct {
	body   geom.Box
	solids []geom.Solid
	margin float64
	free   map[[3]int]bool
}

const pitch = 0.25 // between samples; a stop is at every second

func (s *sampled) at(v [3]int) bool {
	free, ok := s.free[v]
	if !ok {
		b := moved(s.body, r3.Vector{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])}.Mul(pitch))
		free = true
		for _, solid := range s.solids {
			gap, _ := geom.SheetGap(b, solid)
			free = free && gap >= s.margin
		}
		s.free[v] = free
	}
	return free
}

func (s *sampled) out(from [3]int, legs, last int) bool {
	for k := range 6 {
		if last >= 0 && k/2 == last/2 {
			continue
		}
		at := from
		for steps := 0; s.at(at); steps++ {
			if steps > 60 {
				return true
			}
			if legs > 1 && steps%2 == 0 && s.out(at, legs-1, k) {
				return true
			}
			at[[]int{1, 2, 0}[k/2]] += 1 - k%2*2
		}
	}
	return false
}

// The clearance changes by no more than half of pitch between a sample and the next
// half way, so with that margin a sampled way is a way, and must be found; and every
// way found must keep off the tubes when it is walked in small steps.
func TestTubesAgainstSamples(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	count := map[int]int{}
	found := 0
	for n := range 60 {
		body := block(3, 3, 3, 4.5, 4, 4)
		solids := randomTubes(r, body, 14+r.IntN(16))
		m := mover(body, block(0, 0, 0, 7, 7, 7), 0, solids...)
		s := sampled{body: body, solids: solids, margin: pitch/2 + Fineness, free: map[[3]int]bool{}}
		want := 0
		for legs := 1; legs <= MaxLegs && want == 0; legs++ {
			if s.at([3]int{}) && s.out([3]int{}, legs, -1) {
				want = legs
			}
		}
		way, ok := firstWay(m, len(solids))
		if want > 0 {
			require.True(t, ok, "case %d: a way of %d legs was sampled", n, want)
			assert.LessOrEqual(t, len(way.Legs), want)
		}
		if ok {
			walk(t, body, solids, way, 0)
			found++
		}
		count[want]++
	}
	t.Log("sampled", count, "found", found)
}

func walk(t *testing.T, body geom.Box, solids []geom.Solid, way Way, air float64) {
	t.Helper()
	at := r3.Vector{}
	least := math.Inf(1)
	for _, leg := range way.Legs {
		steps := math.Ceil(leg.Norm() / 0.05)
		for n := 0.0; n <= steps; n++ {
			for _, s := range solids {
				gap, _ := geom.SheetGap(moved(body, at.Add(leg.Mul(n/steps))), s)
				least = math.Min(least, gap)
			}
		}
		at = at.Add(leg)
	}
	assert.GreaterOrEqual(t, least, air-1e-8)
}
