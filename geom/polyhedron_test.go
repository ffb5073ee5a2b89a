package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"
)

// requireClosed holds a polyhedron against Euler's formula, and sees that every edge has
// two faces, every face turns left about its normal, and every corner is behind every face.
func requireClosed(t *testing.T, p Polyhedron) {
	t.Helper()
	directed := map[[2]int]int{}
	for _, f := range p.shape.faces {
		for i, a := range f.loop {
			directed[[2]int{a, f.loop[(i+1)%len(f.loop)]}]++
		}
		require.True(t, p.shape.turnsLeft(f))
		for _, c := range p.shape.corners {
			require.LessOrEqual(t, c.Sub(p.shape.corners[f.loop[0]]).Dot(f.normal), 1e-8)
		}
	}
	for e, n := range directed {
		require.Equal(t, 1, n)
		require.Equal(t, 1, directed[[2]int{e[1], e[0]}])
	}
	require.Equal(t, 2, len(p.shape.corners)-len(directed)/2+len(p.shape.faces), "Euler")
	require.Len(t, p.shape.edges, len(directed)/2)
}

// Random cuts: both sides of a plane are closed, and have the volume of the whole together.
func TestClippedPolyhedraAddUp(t *testing.T) {
	r := randomSolids{rand.New(rand.NewPCG(7, 8))}
	for range 2000 {
		p := r.polyhedron().(Polyhedron)
		requireClosed(t, p)
		n := r.axes()[0]
		e := p.Extent(n)
		h := HalfSpace{n, e.Lo + r.Float64()*e.Length()}
		if r.IntN(4) == 0 { // through a corner
			h.Offset = n.Dot(p.shape.corners[r.IntN(len(p.shape.corners))])
		}
		low, high := p.Clipped(h), p.Clipped(h.Other())
		for _, part := range []Polyhedron{low, high} {
			if !part.IsSliver() {
				requireClosed(t, part)
			}
		}
		require.InDelta(t, p.Volume(), low.Volume()+high.Volume(), 1e-9*p.Volume()+1e-6)
	}
}

// What is taken out and what is left share no point and lose none, by random points; and
// cutting along faces that are there already changes nothing.
func TestPolyhedronWithout(t *testing.T) {
	r := randomSolids{rand.New(rand.NewPCG(9, 10))}
	for range 300 {
		p := r.polyhedron().(Polyhedron)
		var region []HalfSpace
		for _, n := range r.axes() {
			e := p.Extent(n)
			at := e.Lo + r.Float64()*e.Length()
			region = append(region, HalfSpace{n, at + r.between(0, 0.3)*e.Length()}, HalfSpace{n.Mul(-1), -at})
		}
		in, rest := p.Clipped(region...), p.Without(region)
		volume := in.Volume()
		if in.IsSliver() {
			volume = 0
		}
		for _, q := range rest {
			volume += q.Volume()
			for _, n := range q.Normals() {
				require.InDelta(t, q.Volume(), q.Clipped(HalfSpace{n, q.Extent(n).Hi}).Volume(), 1e-6)
			}
		}
		require.InDelta(t, p.Volume(), volume, 1e-9*p.Volume()+1e-3)
		for range 50 {
			q := r.vector(300)
			owners := 0
			for _, part := range append(rest, in) {
				if part.Contains(q) {
					owners++
				}
			}
			require.Equal(t, p.Contains(q), owners == 1)
		}
	}
}

// Closed forms: a regular prism around a drum has the area n·r²·tan(π/n), and every side of
// it touches the drum. Grown, a box is a larger box.
func TestPolyhedronAround(t *testing.T) {
	r := randomSolids{rand.New(rand.NewPCG(11, 12))}
	for n := 3; n < 60; n += 5 {
		c := r.cylinder().(Cylinder)
		p := PolyhedronAround(c, n)
		requireClosed(t, p)
		length := c.To.Sub(c.From).Norm()
		want := float64(n) * c.Radius * c.Radius * math.Tan(math.Pi/float64(n)) * length
		require.InDelta(t, want, p.Volume(), 1e-9*want)
		for _, u := range p.Normals() {
			require.InDelta(t, c.Extent(u).Hi, p.Extent(u).Hi, 1e-9)
		}
		require.True(t, p.Round())
	}
	box := r.box().(Box)
	box.Axes = axesAlong(r3.Vector{})
	grown := PolyhedronFromBox(box).Grown(2)
	box.Half = box.Half.Add(r3.Vector{X: 2, Y: 2, Z: 2})
	require.InDelta(t, PolyhedronFromBox(box).Volume(), grown.Volume(), 1e-6)
	requireClosed(t, grown)
}
