package view

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
	"rackwright/pack"
)

func randomBox(rng *rand.Rand) geom.Box {
	o := pack.Orientation{Up: pack.Top, Tilt: s1.Angle(rng.Float64() - 0.5)}
	return geom.Box{
		Centre: r3.Vector{X: 200 * rng.Float64(), Y: 200 * rng.Float64(), Z: 200 * rng.Float64()},
		Axes:   o.Axes(),
		Half:   r3.Vector{X: 5 + 40*rng.Float64(), Y: 5 + 40*rng.Float64(), Z: 5 + 40*rng.Float64()},
	}
}

// hides is the plain way to ask: walk from the point to the eye in small steps, and look
// whether the box contains where one stands.
func hides(b geom.Box, q, eye r3.Vector) bool {
	for s := 0.0; s < 400; s += 0.5 {
		d := q.Add(eye.Mul(s)).Sub(b.Centre)
		if math.Abs(d.Dot(b.Axes[0])) < b.Half.X && math.Abs(d.Dot(b.Axes[1])) < b.Half.Y && math.Abs(d.Dot(b.Axes[2])) < b.Half.Z {
			return true
		}
	}
	return false
}

// The shadow of a box on a segment is what walking to the eye finds hidden. Points near
// its ends are left out, and boxes whose edge is only grazed.
func TestShadowAgainstWalking(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 4))
	hidden := 0
	for range 400 {
		b := randomBox(rng)
		at := func() r3.Vector {
			return r3.Vector{X: 200 * rng.Float64(), Y: 200 * rng.Float64(), Z: 200 * rng.Float64()}
		}
		from, to := at(), at()
		for _, d := range Directions {
			shadow := solidOf(b.Surface(0)).shadow(from, to, d.eye())
			for i := 1; i < 10; i++ {
				x := float64(i) / 10
				if math.Abs(x-shadow.Lo) < 0.02 || math.Abs(x-shadow.Hi) < 0.02 {
					continue
				}
				want := hides(b, from.Add(to.Sub(from).Mul(x)), d.eye())
				require.Equal(t, want, solidOf(b.Surface(0)).hides(from.Add(to.Sub(from).Mul(x)), d.eye()))
				require.Equal(t, want, shadow.InteriorContains(x), "box %+v, %v to %v at %g %v", b, from, to, x, d)
				if want {
					hidden++
				}
			}
		}
	}
	require.Greater(t, hidden, 200)
}

// What is seen and what is hidden of an edge make the whole edge, each point once.
func TestStretchesMakeTheEdge(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 8))
	for range 50 {
		var bodies []body
		for range 6 {
			f := randomBox(rng).Surface(0)
			bodies = append(bodies, body{role: boxBody, faces: f, solids: []convex{solidOf(f)}})
		}
		for _, e := range bodies[0].edges(FromRight.eye()) {
			at, length := e.a, 0.0
			for _, s := range e.stretches(newScreen(FromRight, bodies), FromRight.eye()) {
				require.InDelta(t, 0, s.a.Sub(at).Norm(), 1e-9)
				at = s.b
				length += s.b.Sub(s.a).Norm()
			}
			require.InDelta(t, 0, e.b.Sub(at).Norm(), 1e-9)
			require.InDelta(t, e.b.Sub(e.a).Norm(), length, 1e-9)
		}
	}
}

// A box seen along its axes shows the four edges of one face; a tilted one from the side
// as well, and from the top those of two faces, seven.
func TestEdgesThatShow(t *testing.T) {
	for tilt, want := range map[s1.Angle][3]int{0: {4, 4, 4}, 0.3: {4, 7, 7}} {
		o := pack.Orientation{Up: pack.Top, Tilt: tilt}
		b := body{faces: geom.Surface(geom.Box{Axes: o.Axes(), Half: r3.Vector{X: 1, Y: 2, Z: 3}}, 0)}
		for i, d := range Directions {
			require.Len(t, b.edges(d.eye()), want[i], "%v %v", tilt, d)
		}
	}
}

// Faces look outward: by the divergence theorem they enclose the volume.
func TestFacesEncloseTheVolume(t *testing.T) {
	volume := func(faces []geom.Face) float64 {
		sum := 0.0
		for _, f := range faces {
			for i := 2; i < len(f.Corners); i++ {
				sum += f.Corners[0].Dot(f.Corners[i-1].Cross(f.Corners[i])) / 6
			}
		}
		return sum
	}
	require.InDelta(t, 8*1*2*3, volume(geom.Surface(geom.Box{Axes: pack.Orientation{Up: pack.Top}.Axes(), Half: r3.Vector{X: 1, Y: 2, Z: 3}}, 0)), 1e-9)
	n := float64(roundCorners) // a regular polygon swept
	require.InDelta(t, n/2*25*math.Sin(2*math.Pi/n)*10, volume(geom.Surface(geom.Cylinder{From: r3.Vector{X: 1}, To: r3.Vector{X: 1, Y: 6, Z: 8}, Radius: 5}, roundCorners)), 1e-9)
}

// A screen finds every solid that hides a part of a segment.
func TestScreenFindsAllThatHides(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	var bodies []body
	for range 300 {
		f := randomBox(rng).Surface(0)
		bodies = append(bodies, body{faces: f, solids: []convex{solidOf(f)}})
	}
	at := func() r3.Vector {
		return r3.Vector{X: 240*rng.Float64() - 20, Y: 240*rng.Float64() - 20, Z: 240*rng.Float64() - 20}
	}
	for _, d := range allViews {
		s := newScreen(d, bodies)
		near := 0
		for range 200 {
			from := at()
			to := from.Add(at().Sub(from).Mul(0.2))
			found := s.near(from, to)
			near += len(found)
			hiding := func(list []convex) (all []r3.Vector) {
				for _, c := range list {
					if c.shadow(from, to, d.eye()).Length() > 0 {
						all = append(all, c[0].n.Mul(c[0].d))
					}
				}
				return all
			}
			require.ElementsMatch(t, hiding(s.solids), hiding(found))
		}
		require.Less(t, near, 200*len(bodies)/2, "and few that hide nothing")
	}
}
