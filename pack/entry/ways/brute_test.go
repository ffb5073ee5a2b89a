package ways

import (
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/assert"

	"rackwright/geom"
)

// grid is the slow and obvious way to find a way out: bodies with whole numbers for
// corners, stops at whole numbers. That misses nothing: solids whose corners are
// whole block, along an axis, between whole numbers, so a stop between two whole
// numbers may as well be at one of them.
type grid struct {
	body  geom.Box
	solid []geom.Box
	far   int
}

// hits tells whether the body, displaced by half of v, overlaps a solid.
func (g grid) hits(v [3]int) bool {
	b := moved(g.body, r3.Vector{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])}.Mul(0.5))
	for _, s := range g.solid {
		overlap := true
		for _, u := range []r3.Vector{{X: 1}, {Y: 1}, {Z: 1}} {
			p, q := b.Extent(u), s.Extent(u)
			overlap = overlap && p.Lo < q.Hi && q.Lo < p.Hi
		}
		if overlap {
			return true
		}
	}
	return false
}

func (g grid) out(from [3]int, legs, last int) bool {
	for k := range 6 {
		if last >= 0 && k/2 == last/2 {
			continue
		}
		at := from
		for steps := 0; ; steps++ {
			if g.hits(at) {
				break
			}
			if steps > 2*g.far {
				return true
			}
			if legs > 1 && steps%2 == 0 && g.out(at, legs-1, k) {
				return true
			}
			at[[]int{1, 2, 0}[k/2]] += 1 - k%2*2
		}
	}
	return false
}

// randomCage returns plates that close most of each side of a cube of 7, and some
// shelves in it.
func randomCage(r *rand.Rand) []geom.Box {
	var list []geom.Box
	slop := r.IntN(4)
	for side := range 6 {
		if r.IntN(8) == 0 {
			continue
		}
		for range 1 + r.IntN(2) {
			u, v := randomSpan(r, slop), randomSpan(r, slop)
			depth := [2]float64{-1, 0}
			if side%2 == 1 {
				depth = [2]float64{7, 8}
			}
			list = append(list, slab(side/2, depth, u, v))
		}
	}
	for range 3 + r.IntN(8) {
		at := float64(r.IntN(7))
		list = append(list, slab(r.IntN(3), [2]float64{at, at + 1}, randomSpan(r, 4), randomSpan(r, 4)))
	}
	return list
}

// randomSpan returns a span of -1 to 8 with up to slop cut off at its ends.
func randomSpan(r *rand.Rand, slop int) [2]float64 {
	return [2]float64{float64(-1 + r.IntN(slop+1)), float64(8 - r.IntN(slop+1))}
}

func slab(axis int, a, b, c [2]float64) geom.Box {
	spans := [3][2]float64{}
	spans[axis], spans[(axis+1)%3], spans[(axis+2)%3] = a, b, c
	x, y, z := spans[0], spans[1], spans[2]
	return block(x[0], y[0], z[0], x[1], y[1], z[1])
}

func TestAgainstAllStopsOfAGrid(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	count := map[int]int{}
	for n := range 2000 {
		g := grid{body: block(3, 3, 3, 4, 4, 4), far: 12}
		var standing []geom.Solid
		for _, s := range randomCage(r) {
			if !g.with(s).hits([3]int{}) {
				g.solid = append(g.solid, s)
				standing = append(standing, s)
			}
		}
		want := 0
		for legs := 1; legs <= MaxLegs && want == 0; legs++ {
			if g.out([3]int{}, legs, -1) {
				want = legs
			}
		}
		m := mover(g.body, block(0, 0, 0, 7, 7, 7), 0, standing...)
		got := 0
		for legs := 1; legs <= MaxLegs && got == 0; legs++ {
			if w, ok := m.Way(legs, n%6, SetOf(len(standing)+1).Without(0)); ok {
				got = legs
				checkWay(t, g, w)
			}
		}
		assert.Equal(t, want, got, "case %d", n)
		count[want]++
	}
	t.Log(count)
	for legs := range MaxLegs + 1 {
		assert.Greater(t, count[legs], 50, "ways of %d legs, 0 for none", legs)
	}
}

func (g grid) with(s geom.Box) grid {
	g.solid = []geom.Box{s}
	return g
}

// checkWay steps along the way in hundredths of a millimetre.
func checkWay(t *testing.T, g grid, w Way) {
	t.Helper()
	at := r3.Vector{}
	for _, leg := range w.Legs {
		for step := range 51 {
			v := at.Add(leg.Mul(float64(step) / 50))
			for _, s := range g.solid {
				gap, _ := geom.SheetGap(moved(g.body, v), s)
				assert.GreaterOrEqual(t, gap, -1e-9)
			}
		}
		at = at.Add(leg)
	}
}
