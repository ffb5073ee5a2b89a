package block

import (
	"math"
	"os"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
)

// Pieces of a shell go together by pegs: around every socket there is plastic, in it
// there is none, and the shell still takes less than the solid. Derived: points are asked
// for in the surfaces that are written, not in the plan that they were made from.
func TestShellsInPiecesHoldTheirPegs(t *testing.T) {
	cube := pack.Kind{Name: "cube", Size: r3.Vector{X: 200, Y: 200, Z: 200}}
	flat := pack.Kind{Name: "flat", Size: r3.Vector{X: 400, Y: 300, Z: 60}}
	for _, k := range []pack.Kind{posted(), cube, flat} {
		for n, bed := range []float64{160, 90} {
			if n > 0 && os.Getenv("RACKWRIGHT_LONG") == "" {
				break
			}
			p := Print{Bed: r3.Vector{X: bed, Y: bed, Z: bed}, Shell: 2, Play: 0.2}
			pieces, err := Pieces(k, p)
			require.NoError(t, err)
			requirePieces(t, p, pieces)
			g, err := gridOf(k, p)
			require.NoError(t, err)
			require.Positive(t, g.radius, "%s on %g", k.Name, bed)
			requireSocketsMeet(t, g)
			volume := 0.0
			for i, c := range g.planes.cells() {
				requireBores(t, g, c, pieces[i])
				volume += pieces[i].Mesh.Volume()
			}
			require.Less(t, volume, 0.6*k.Size.X*k.Size.Y*k.Size.Z)
		}
	}
}

func requireBores(t *testing.T, g *grid, c cell, piece Piece) {
	t.Helper()
	low, size := g.box(c)
	for face := pack.Front; face <= pack.Bottom; face++ {
		if !g.inner(c, face) {
			continue
		}
		f := faceOf(size, face)
		for _, at := range g.sockets(f) {
			solid := func(off r2.Point, h float64) bool {
				return contains(piece.Mesh, piece.Pose.Apply(low.Add(f.at(at.Add(off), h))))
			}
			require.True(t, solid(r2.Point{}, -g.depth-leastWall/2), "behind a socket of %s", piece.Name)
			for i := range 4 {
				sin, cos := math.Sincos(1.5*float64(i) + 0.1)
				out, in := g.radius+g.Play/2+leastWall/2, g.radius-0.1
				for _, h := range []float64{-0.1, -g.depth / 2, -g.depth + 0.1} {
					require.True(t, solid(r2.Point{X: out * cos, Y: out * sin}, h), "beside a socket of %s, %v", piece.Name, face)
					require.False(t, solid(r2.Point{X: in * cos, Y: in * sin}, h), "in a socket of %s, %v", piece.Name, face)
				}
			}
		}
	}
}

// A shell is open at the bottom as the box stands; where a post is on that, at its own
// bottom; where posts are on both, elsewhere, and with posts all around it is solid.
// Points are asked for in the surface that is written.
func TestShellsAreOpenAtTheBottom(t *testing.T) {
	on := func(faces ...pack.Face) pack.Kind {
		k := pack.Kind{Name: "box", Size: r3.Vector{X: 120, Y: 90, Z: 70}}
		for _, f := range faces {
			k.Posts = append(k.Posts, pack.Post{Face: f, At: r2.Point{X: 30, Y: 30}, Diameter: 8, Height: 6})
		}
		return k
	}
	stand := func(up, front pack.Face) *pack.Orientation { return &pack.Orientation{Up: up, Front: front} }
	for _, c := range []struct {
		kind  pack.Kind
		stand *pack.Orientation
		open  pack.Face
		roof  bool
	}{
		{on(), nil, pack.Bottom, false},
		{on(pack.Top), nil, pack.Bottom, true},
		{on(pack.Top), stand(pack.Left, pack.Front), pack.Right, false},
		{on(pack.Top), stand(pack.Back, pack.Left), pack.Front, false},
		{on(pack.Top), stand(pack.Bottom, pack.Front), pack.Bottom, true},
		{on(pack.Top, pack.Right), stand(pack.Left, pack.Front), pack.Bottom, true},
		{on(pack.Bottom), nil, pack.Right, false},
		{on(pack.Bottom, pack.Right), stand(pack.Left, pack.Front), pack.Back, false},
	} {
		pieces, err := Pieces(c.kind, Print{Shell: 2, Stand: c.stand})
		require.NoError(t, err)
		require.Len(t, pieces, 1)
		requireShell(t, pieces[0], c.kind, c.open)
		require.Equal(t, c.roof, pieces[0].Overhang() > 1000, "%v: the roof of the hollow", c)
	}
	all := on(pack.Front, pack.Back, pack.Left, pack.Right, pack.Top, pack.Bottom)
	pieces, err := Pieces(all, Print{Shell: 2})
	require.NoError(t, err)
	require.Nil(t, pieces[0].Open)
	require.Greater(t, pieces[0].Mesh.Volume(), 120.0*90*70)
}

// requireShell looks for a wall behind the middle of every face but the open one.
func requireShell(t *testing.T, p Piece, k pack.Kind, open pack.Face) {
	t.Helper()
	require.Equal(t, &open, p.Open)
	for f := pack.Front; f <= pack.Bottom; f++ {
		face := faceOf(k.Size, f)
		middle := face.size.Mul(0.5).Add(r2.Point{X: 0.3, Y: 0.4})
		wall := contains(p.Mesh, p.Pose.Apply(face.at(middle, -1.5))) // deeper than words
		require.Equal(t, f != open, wall, "%v, open %v", f, open)
		require.False(t, contains(p.Mesh, p.Pose.Apply(face.at(middle, -3))), "the hollow behind %v", f)
	}
}
