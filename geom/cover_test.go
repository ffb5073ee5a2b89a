package geom

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"
)

// sweptPart is a random body with its movement and its cover.
type sweptPart struct {
	motion  Motion
	body    Solid // as FCL is to see it
	swaths  []Swath
	outside float64 // how far the flat sides that are covered may be off a round body
}

func randomPart(seed uint64) sweptPart {
	r := randomSolids{rand.New(rand.NewPCG(seed, 77))}
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	p := sweptPart{motion: Motion{Turns: true, Along: r3.Vector{Y: 1}, Range: r1.Interval{Lo: between(-0.6, 0), Hi: between(0.01, 0.6)}}}
	reach := []float64{0, 100, 500}[r.IntN(3)]
	p.motion.About = r3.Vector{X: between(-1, 1) * reach, Y: between(-50, 50), Z: between(-1, 1) * reach}
	switch r.IntN(4) {
	case 0: // a slanted head
		p.motion.Along = unit(r3.Vector{X: between(-1, 1), Y: between(-1, 1), Z: between(-1, 1)})
	case 1:
		p.motion.Turns = false
		p.motion.Along = unit(r3.Vector{X: between(-1, 1), Y: float64(r.IntN(2)) * between(-1, 1), Z: between(-1, 1)})
		p.motion.Range = r1.Interval{Lo: between(-100, 0), Hi: between(1, 100)}
	}
	size := r3.Vector{X: between(5, 200), Y: between(5, 80), Z: between(5, 100)}
	switch r.IntN(3) {
	case 0:
		b := Box{Half: size, Axes: [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}}
		p.body, p.swaths = b, p.motion.Cover(b, b, NoBlock(), 1)
	case 1:
		profile := Polygon{Corners: hullOf([]r2.Point{{X: -size.X, Y: -size.Z}, {X: size.X, Y: -size.Z / 3}, {X: size.X / 2, Y: size.Z}, {X: -size.X / 2, Y: size.Z / 2}})}
		b := Prism{Profile: profile, Depth: r1.Interval{Lo: -size.Y, Hi: size.Y}}
		p.body, p.swaths = PolyhedronFromPrism(b), p.motion.Cover(b, b, NoBlock(), 1)
	default:
		c := Cylinder{From: r3.Vector{Y: -size.Y}, To: r3.Vector{Y: size.Y}, Radius: size.Z}
		if r.IntN(2) == 0 {
			c.To.X = size.X
		}
		const sides = 48
		outer := PolyhedronAround(c, sides)
		c.Radius *= math.Cos(math.Pi / sides)
		inner := PolyhedronAround(c, sides)
		p.body, p.swaths, p.outside = Cylinder{From: c.From, To: c.To, Radius: size.Z}, p.motion.Cover(outer, inner, NoBlock(), 1), size.Z*(1/math.Cos(math.Pi/sides)-1)
	}
	return p
}

// probe is a small box somewhere near where the body comes.
func (p sweptPart) probe(r *rand.Rand) Box {
	at := p.motion.Range.Lo + p.motion.Range.Length()*r.Float64()
	body := p.motion.Solid(p.body, at)
	u := unit(r3.Vector{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})
	half := r3.Vector{X: 1 + 5*r.Float64(), Y: 1 + 20*r.Float64(), Z: 1 + 5*r.Float64()}
	near := support(body, u).Add(u.Mul(half.Norm() + 15*r.Float64()))
	return Box{Centre: near, Half: half, Axes: axesAlong(unit(r3.Vector{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}))}
}

// nearest is the least distance of a probe from the covers.
func nearestOf(probe Box, swaths []Swath, of func(Swath) Solid) float64 {
	least := math.Inf(1)
	for _, s := range swaths {
		least = min(least, Distance(probe, of(s)))
	}
	return least
}

// Covers against dense sampling with the collision library FCL: what FCL measures to the body
// at any position is no less than to the outer cover; the least of it is no more than
// CoverError more; and it is no more than to the inner cover. RACKWRIGHT_SWEEPS=N looks at N
// random parts instead of a few.
func TestCoverAgainstFCL(t *testing.T) {
	judge := compileFCL(t)
	parts := 12
	if n, err := strconv.Atoi(os.Getenv("RACKWRIGHT_SWEEPS")); err == nil {
		parts = n
	}
	compared, pieces, widest := 0, 0, 0.0
	for seed := range uint64(parts) {
		p := randomPart(seed)
		pieces += len(p.swaths)
		for k := range uint64(4) {
			probe := p.probe(rand.New(rand.NewPCG(seed, k)))
			theirs := p.sampled(t, judge, probe)
			if !(theirs > 0.01) {
				continue
			}
			what := fmt.Sprintf("part %d, probe %d: %+v of %T in %d swaths", seed, k, p.motion, p.body, len(p.swaths))
			outer := nearestOf(probe, p.swaths, func(s Swath) Solid { return s.Outer })
			inner := nearestOf(probe, p.swaths, func(s Swath) Solid { return s.Inner })
			require.LessOrEqual(t, outer, theirs+1e-4, what)
			require.GreaterOrEqual(t, inner, theirs-0.02, what)
			require.GreaterOrEqual(t, outer, theirs-CoverError-p.outside-0.02, what)
			widest = max(widest, theirs-outer-p.outside)
			compared++
		}
	}
	t.Logf("%d probes, %d swaths of %d parts, at most %.3f mm too far outside", compared, pieces, parts, widest)
	require.Greater(t, compared, parts)
}

// sampled is the least distance that FCL finds, over positions evenly spread and then around
// the best few of them.
func (p sweptPart) sampled(t *testing.T, judge fcl, probe Box) float64 {
	measure := func(r r1.Interval, n int) (best r1.Interval, least float64) {
		var pairs [][2]Solid
		for i := range n + 1 {
			at := r.Lo + r.Length()*float64(i)/float64(n)
			pairs = append(pairs, [2]Solid{probe, p.motion.Solid(p.body, at)})
		}
		least = math.Inf(1)
		for i, d := range judge.distances(t, pairs) {
			if d < least {
				least = d
				at, step := r.Lo+r.Length()*float64(i)/float64(n), r.Length()/float64(n)
				best = r1.Interval{Lo: max(r.Lo, at-step), Hi: min(r.Hi, at+step)}
			}
		}
		return best, least
	}
	best, _ := measure(p.motion.Range, 160)
	best, _ = measure(best, 40)
	_, least := measure(best, 40)
	return least
}

// Covers with a small share of the work are coarser, few, and still around all that is swept.
func TestCoversWithLittleWork(t *testing.T) {
	const sides = 32
	motion := Motion{Turns: true, About: r3.Vector{X: 50}, Along: unit(r3.Vector{X: -0.45, Y: 0.1, Z: 0.89}), Range: r1.Interval{Lo: -1.5, Hi: 1.5}}
	body := PolyhedronAround(Cylinder{From: r3.Vector{X: 300, Y: -60}, To: r3.Vector{X: 320, Y: 60}, Radius: 500}, sides)
	for _, share := range []float64{1. / 128, 1e-9} {
		swaths := motion.Cover(body, body, NoBlock(), share)
		took := 0.0
		var planes [][]HalfSpace
		for _, s := range swaths {
			outer := s.Outer.(Polyhedron)
			took += float64(len(outer.shape.corners) * len(outer.shape.corners))
			planes = append(planes, outer.Planes())
		}
		require.Less(t, took, max(1e5, share*MostWork*16), share)
		for i := range 31 {
			at := motion.Range.Lo + motion.Range.Length()*float64(i)/30
			for _, q := range motion.Solid(body, at).(Polyhedron).Corners() {
				held := slices.ContainsFunc(planes, func(faces []HalfSpace) bool {
					return !slices.ContainsFunc(faces, func(f HalfSpace) bool { return f.Normal.Dot(q) > f.Offset+1e-3 })
				})
				if !held {
					t.Fatalf("%v at %v with a share of %v", q, at, share)
				}
			}
		}
	}
}
