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

// tilted turns a box about its centre, right-handed about +y.
func tilted(b geom.Box, degrees float64) geom.Box {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	b.Axes = [3]r3.Vector{{X: cos, Z: -sin}, {Y: 1}, {X: sin, Z: cos}}
	return b
}

// A tilted body in a sleeve that fits it all round leaves along its own axis and no
// other way.
func TestTiltedBodyInSleeve(t *testing.T) {
	for _, degrees := range []float64{12, 30, 45, -7.5} {
		at := func(x0, y0, z0, x1, y1, z1 float64) geom.Box {
			b := tilted(block(x0, y0, z0, x1, y1, z1), degrees)
			c := b.Centre
			b.Centre = b.Axes[0].Mul(c.X).Add(b.Axes[1].Mul(c.Y)).Add(b.Axes[2].Mul(c.Z))
			return b
		}
		body := at(-50, -20, -10, 50, 20, 10)
		standing := []geom.Solid{
			at(-60, -30, 10, 60, 30, 15), at(-60, -30, -15, 60, 30, -10),
			at(-60, 20, -10, 60, 30, 10), at(-60, -30, -10, 60, -20, 10), at(-60, -20, -10, -55, 20, 10),
		}
		m := mover(body, block(-60, -60, -60, 60, 60, 60), 2, standing...)
		way, ok := m.Way(1, 0, SetOf(6).Without(0))
		require.True(t, ok, "%v degrees", degrees)
		require.Len(t, way.Legs, 1)
		assert.InDelta(t, 1, way.Legs[0].Normalize().Dot(body.Axes[0]), 1e-12)
		end := at(55, -20, -10, 60, 20, 10)
		m = mover(body, block(-60, -60, -60, 60, 60, 60), 2, append(standing, end)...)
		_, ok = firstWay(m, 6)
		assert.False(t, ok, "closed at both ends")
	}
}

// roam is sampled for directions that lie on no grid.
type roam struct {
	body       geom.Box
	solids     []geom.Solid
	directions []r3.Vector
	margin     float64
}

func (g roam) free(v r3.Vector) bool {
	for _, s := range g.solids {
		if gap, _ := geom.SheetGap(moved(g.body, v), s); gap < g.margin {
			return false
		}
	}
	return true
}

func (g roam) out(from r3.Vector, legs, last int) bool {
	for k, d := range g.directions {
		if last >= 0 && k/2 == last/2 {
			continue
		}
		for steps := 0; g.free(from.Add(d.Mul(pitch * float64(steps)))); steps++ {
			if steps > 60 {
				return true
			}
			if legs > 1 && steps%4 == 2 && g.out(from.Add(d.Mul(pitch*float64(steps))), legs-1, k) {
				return true
			}
		}
	}
	return false
}

func TestTiltedBodiesAgainstSamples(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	sampled, found := map[int]int{}, 0
	for n := range 40 {
		body := tilted(block(3, 3, 3, 4.5, 4, 4), 5+r.Float64()*80)
		var solids []geom.Solid
		for _, s := range append(randomCage(r), randomCage(r)[:4]...) {
			s = tilted(s, float64(r.IntN(3)-1)*10*r.Float64())
			if gap, _ := geom.SheetGap(body, s); gap > 0.2 {
				solids = append(solids, s)
			}
		}
		m := mover(body, block(0, 0, 0, 7, 7, 7), 0, solids...)
		g := roam{body, solids, m.directions, pitch/2 + 1e-6}
		want := 0
		for legs := 1; legs <= MaxLegs && want == 0; legs++ {
			if g.free(r3.Vector{}) && g.out(r3.Vector{}, legs, -1) {
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
		sampled[want]++
	}
	t.Log("sampled", sampled, "found", found)
}
