package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"
)

// randomAxes are three unit vectors square to each other, left- or right-handed.
func randomAxes(g *rand.Rand) [3]r3.Vector {
	u := randomUnit(g)
	v := u.Ortho()
	return [3]r3.Vector{u, v, u.Cross(v).Mul([]float64{1, -1}[g.IntN(2)])}
}

func randomUnit(g *rand.Rand) r3.Vector {
	return r3.Vector{X: g.NormFloat64(), Y: g.NormFloat64(), Z: g.NormFloat64()}.Normalize()
}

// flux is a third of the area of faces times how far each is from the origin along its normal, summed up: the
// volume that they enclose, by the theorem of Gauss and Ostrogradsky, where they face outward; and the sum
// of areas times normals, which is 0 where they are closed.
func flux(faces []Face) (volume float64, open r3.Vector) {
	for _, f := range faces {
		var area r3.Vector
		for i, c := range f.Corners {
			area = area.Add(c.Cross(f.Corners[(i+1)%len(f.Corners)]).Mul(0.5))
		}
		volume += area.Norm() * f.Normal.Dot(f.Corners[0]) / 3
		open = open.Add(f.Normal.Mul(area.Norm()))
	}
	return volume, open
}

// requireSurface holds that faces are the whole surface of a convex solid: closed, around its volume, and as
// far in every direction as the solid itself.
func requireSurface(t *testing.T, g *rand.Rand, s Solid, volume float64) {
	t.Helper()
	faces := Surface(s, 0)
	got, open := flux(faces)
	require.InDelta(t, volume, got, 1e-9*max(1, volume))
	require.InDelta(t, 0, open.Norm(), 1e-6)
	for range 20 {
		u, extent := randomUnit(g), r1.EmptyInterval()
		for _, f := range faces {
			for _, c := range f.Corners {
				extent = extent.AddPoint(c.Dot(u))
			}
		}
		requireNear(t, s.Extent(u), extent)
	}
}

func requireNear(t *testing.T, want, got r1.Interval) {
	t.Helper()
	require.InDelta(t, want.Lo, got.Lo, 1e-9)
	require.InDelta(t, want.Hi, got.Hi, 1e-9)
}

func TestSurfaceOfABox(t *testing.T) {
	g := rand.New(rand.NewPCG(1, 25))
	requireSurface(t, g, BoxFromCorners(r3.Vector{}, r3.Vector{X: 0.5, Y: 0.5, Z: 0.5}), 0.125)
	for range 100 {
		b := Box{randomUnit(g).Mul(50), randomAxes(g), r3.Vector{X: 1 + 20*g.Float64(), Y: 1 + 20*g.Float64(), Z: 1 + 20*g.Float64()}}
		requireSurface(t, g, b, 8*b.Half.X*b.Half.Y*b.Half.Z)
		from, to := Spine(b)
		require.InDelta(t, 0, from.Add(to).Mul(0.5).Distance(b.Centre), 1e-9)
		require.InDelta(t, 0, to.Sub(from).Distance(b.Axes[0].Mul(2*b.Half.X)), 1e-9)
	}
}

func TestSurfaceOfAPrism(t *testing.T) {
	g := rand.New(rand.NewPCG(2, 25))
	for range 100 {
		for _, view := range []View{SideView, FrontView} {
			lo := 40*g.Float64() - 20
			p := Prism{Profile: randomConvex(g), Depth: r1.Interval{Lo: lo, Hi: lo + 1 + 30*g.Float64()}, View: view}
			requireSurface(t, g, p, p.Profile.Area()*p.Depth.Length())
			require.Len(t, Surface(p, 0), len(p.Profile.Corners)+2)
			var mean r2.Point
			for _, c := range p.Profile.Corners {
				mean = mean.Add(c.Mul(1 / float64(len(p.Profile.Corners))))
			}
			from, to := Spine(p)
			require.InDelta(t, 0, from.Distance(view.Point(mean, p.Depth.Lo)), 1e-9)
			require.InDelta(t, 0, to.Distance(view.Point(mean, p.Depth.Hi)), 1e-9)
		}
	}
}

// What has no ends, or no points, has no faces.
func TestSurfaceOfNoBody(t *testing.T) {
	three := Polygon{Corners: points(0, 0, 9, 0, 0, 9)}
	for name, p := range map[string]Prism{
		"no end in front": {Profile: three, Depth: r1.Interval{Lo: 0, Hi: math.Inf(1)}},
		"no ends":         {Profile: three, Depth: r1.Interval{Lo: math.Inf(-1), Hi: math.Inf(1)}},
		"no depth":        {Profile: three, Depth: r1.EmptyInterval()},
		"a line":          {Profile: Polygon{Corners: points(0, 0, 9, 0)}, Depth: r1.Interval{Lo: 0, Hi: 1}},
		"nothing":         {Depth: r1.Interval{Lo: 0, Hi: 1}},
	} {
		require.Empty(t, Surface(p, 0), name)
	}
	from, to := Spine(Prism{Profile: three, Depth: r1.Interval{Lo: math.Inf(-1), Hi: math.Inf(1)}})
	require.Zero(t, from)
	require.Zero(t, to)
}

// A prism that turns is where its corners turn to, whichever way it is seen and whatever it turns about; in
// the side view it stays a prism.
func TestATurnedPrismIsWhereItsCornersAre(t *testing.T) {
	g := rand.New(rand.NewPCG(3, 25))
	for range 100 {
		for _, view := range []View{SideView, FrontView} {
			for _, along := range []r3.Vector{{Y: 1}, {Y: -1}, {X: 1}, randomUnit(g)} {
				p := Prism{Profile: randomConvex(g), Depth: r1.Interval{Lo: -5, Hi: 9}, View: view}
				m := Motion{Turns: true, About: randomUnit(g).Mul(30), Along: along}
				at := 2*g.Float64() - 1
				turned := m.Solid(p, at)
				for range 10 {
					u, extent := randomUnit(g), r1.EmptyInterval()
					for _, d := range []float64{p.Depth.Lo, p.Depth.Hi} {
						for _, c := range p.Profile.Corners {
							extent = extent.AddPoint(m.Point(view.Point(c, d), at).Dot(u))
						}
					}
					requireNear(t, extent, turned.Extent(u))
				}
				_, still := turned.(Prism)
				require.Equal(t, view == SideView && m.Flat(), still)
			}
		}
	}
}
