package block

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
)

func posted() pack.Kind {
	return pack.Kind{Name: "battery", Count: 1, Size: r3.Vector{X: 197, Y: 165, Z: 170}, Posts: []pack.Post{
		{Face: pack.Top, At: r2.Point{X: 30, Y: 25}, Diameter: 18, Height: 18},
		{Face: pack.Top, At: r2.Point{X: 100, Y: 82}, Diameter: 16, Height: 18},
		{Face: pack.Left, At: r2.Point{X: 20, Y: 30}, Diameter: 12},
	}}
}

// requireFormula compares the volume of the pieces and pegs with what the block holds:
// box and posts, less dents, marks and play, from the formulas of box and prism.
func requireFormula(t *testing.T, k pack.Kind, p Print, pieces []Piece) {
	t.Helper()
	k = scaled(k, p.Scale)
	g, err := gridOf(k, p)
	require.NoError(t, err)
	want := k.Size.X * k.Size.Y * k.Size.Z
	for _, c := range g.planes.cells() {
		_, size := g.box(c)
		b := brickOf(size, g.own(c), dent)
		require.Empty(t, b.loose)
		g.marks(&b, c, min(dent, min(size.X, size.Y, size.Z)/4))
		for _, list := range b.features {
			for _, x := range list {
				flat := area(x.ring)
				for _, l := range x.level {
					flat -= area(l)
				}
				want += flat * x.height
			}
		}
	}
	pegs := float64(g.pegs())
	want += pegs * (swept(g.radius, 2*g.depth-p.Play, barCorners) - 2*swept(g.radius+p.Play/2, g.depth, barCorners))
	got := 0.0
	for _, piece := range pieces {
		got += float64(piece.Copies) * piece.Mesh.Volume()
	}
	require.InDelta(t, want, got, 1e-6*want)
}

func requirePieces(t *testing.T, p Print, pieces []Piece) {
	t.Helper()
	for _, piece := range pieces {
		requireSound(t, piece.Mesh, piece.Mesh.Volume(), 1)
		low, high := bounds(piece.Mesh)
		require.InDelta(t, 0, low.Norm(), 1e-9, "%s lies on the bed", piece.Name)
		if p.Bed != (r3.Vector{}) {
			require.LessOrEqual(t, high.X, p.Bed.X+1e-9, piece.Name)
			require.LessOrEqual(t, high.Y, p.Bed.Y+1e-9, piece.Name)
			require.LessOrEqual(t, high.Z, p.Bed.Z+1e-9, piece.Name)
		}
	}
}

func bounds(m Mesh) (low, high r3.Vector) {
	low = m.Triangles[0][0]
	high = low
	for _, tri := range m.Triangles {
		for _, v := range tri {
			low = r3.Vector{X: min(low.X, v.X), Y: min(low.Y, v.Y), Z: min(low.Z, v.Z)}
			high = r3.Vector{X: max(high.X, v.X), Y: max(high.Y, v.Y), Z: max(high.Z, v.Z)}
		}
	}
	return low, high
}

func TestWholeBlockLiesOnAFaceWithoutPosts(t *testing.T) {
	pieces, err := Pieces(posted(), Print{})
	require.NoError(t, err)
	require.Len(t, pieces, 1)
	require.Equal(t, "battery", pieces[0].Name)
	requirePieces(t, Print{}, pieces)
	requireFormula(t, posted(), Print{}, pieces)
	_, high := bounds(pieces[0].Mesh)
	require.InDelta(t, 165, high.Z, 1e-9, "on the right or left, which is the largest")
}

func TestScaledBlock(t *testing.T) {
	p := Print{Scale: 0.25}
	pieces, err := Pieces(posted(), p)
	require.NoError(t, err)
	requirePieces(t, p, pieces)
	requireFormula(t, posted(), p, pieces)
	require.InDelta(t, posted().Size.X*posted().Size.Y*posted().Size.Z/64, pieces[0].Mesh.Volume(), 1200)
}

// The volume of a shell is that of the block less its hollow. Derived.
func TestShell(t *testing.T) {
	k := posted()
	k.Posts = nil
	pieces, err := Pieces(k, Print{Shell: 2})
	require.NoError(t, err)
	require.Len(t, pieces, 1)
	solid := 197.0 * 165 * 170
	marks := 6 * 16.0 * 80 * 1 // at most: six words of 1 mm deep
	require.InDelta(t, solid-193*166*163, pieces[0].Mesh.Volume(), marks)
	requirePieces(t, Print{}, pieces)
	pieces, err = Pieces(posted(), Print{Shell: 2})
	require.NoError(t, err)
	requirePieces(t, Print{}, pieces)
}

func TestBlockLargerThanTheBed(t *testing.T) {
	for _, p := range []Print{
		{Bed: r3.Vector{X: 120, Y: 120, Z: 120}, Play: 0.2},
		{Bed: r3.Vector{X: 120, Y: 100, Z: 200}, Play: 0},
		{Bed: r3.Vector{X: 90, Y: 90, Z: 90}, Play: 0.3, Scale: 0.9},
		{Bed: r3.Vector{X: 120, Y: 120, Z: 120}, Shell: 3},
	} {
		pieces, err := Pieces(posted(), p)
		require.NoError(t, err)
		require.Greater(t, len(pieces), 2)
		requirePieces(t, p, pieces)
		if p.Shell == 0 {
			requireFormula(t, posted(), p, pieces)
		}
		requireTogether(t, p, pieces)
		requirePegs(t, p, pieces)
	}
}

// requireTogether puts the pieces back: points all over the block lie in one piece and
// no other, but for hollows, sockets and marks.
func requireTogether(t *testing.T, p Print, pieces []Piece) {
	t.Helper()
	k := scaled(posted(), p.Scale)
	g, err := gridOf(k, p)
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(8, 1))
	for range 150 {
		q := r3.Vector{X: k.Size.X * rng.Float64(), Y: k.Size.Y * rng.Float64(), Z: k.Size.Z * rng.Float64()}
		if min(q.X, q.Y, q.Z, k.Size.X-q.X, k.Size.Y-q.Y, k.Size.Z-q.Z) < dent {
			continue // marks and dents are there
		}
		in := 0
		for _, piece := range pieces {
			if !piece.Peg && contains(piece.Mesh, piece.Pose.Apply(q)) {
				in++
			}
		}
		if p.Shell > 0 {
			require.LessOrEqual(t, in, 1, "%v", q)
			continue
		}
		want := 1
		if inSocket(g, q) {
			want = 0
		}
		require.Equal(t, want, in, "pieces at %v", q)
	}
}

// requirePegs puts a peg into every pair of sockets: it goes in with half of the play all
// around, and behind and beside each socket there is plastic.
func requirePegs(t *testing.T, p Print, pieces []Piece) {
	t.Helper()
	g, err := gridOf(scaled(posted(), p.Scale), p)
	require.NoError(t, err)
	peg := pieces[len(pieces)-1]
	require.True(t, peg.Peg)
	require.Equal(t, g.pegs(), peg.Copies)
	_, size := bounds(peg.Mesh)
	require.InDelta(t, 2*g.radius, size.X, 1e-9)
	require.InDelta(t, 2*g.depth-p.Play, size.Z, 1e-9)
	for i, c := range g.planes.cells() {
		requireBores(t, g, c, pieces[i])
		low, cell := g.box(c)
		for face := pack.Front; face <= pack.Bottom; face++ {
			if !g.inner(c, face) {
				continue
			}
			f := faceOf(cell, face)
			for _, at := range g.sockets(f) {
				for _, tri := range peg.Mesh.Triangles { // one half of the peg in this piece, its middle in the joint
					q := tri[0].Add(tri[1]).Add(tri[2]).Mul(1. / 3)
					h := q.Z - size.Z/2
					in := r2.Point{X: q.X - g.radius, Y: q.Y - g.radius}.Mul(0.999)
					if h < 0 {
						require.False(t, contains(pieces[i].Mesh, pieces[i].Pose.Apply(low.Add(f.at(at.Add(in), h*0.999)))), "a peg does not go into %s", pieces[i].Name)
					}
				}
			}
		}
	}
}

// inSocket tells whether a point lies in a socket, by its distance to the axes, which a
// peg then shares on both sides.
func inSocket(g *grid, q r3.Vector) bool {
	for _, c := range g.planes.cells() {
		low, size := g.box(c)
		for f := pack.Front; f <= pack.Bottom; f++ {
			if g.radius == 0 || !g.inner(c, f) {
				continue
			}
			frame := faceOf(size, f)
			for _, at := range g.sockets(frame) {
				d := q.Sub(low.Add(frame.at(at, 0)))
				deep := -d.Dot(f.Normal())
				if deep >= 0 && deep <= g.depth && d.Add(f.Normal().Mul(deep)).Norm() <= g.radius+g.Play/2 {
					return true
				}
			}
		}
	}
	return false
}

// contains counts how often a ray from a point leaves the surface and enters it.
func contains(m Mesh, p r3.Vector) bool {
	dir := r3.Vector{X: 0.8017, Y: 0.2673, Z: 0.5345}
	count := 0
	for _, t := range m.Triangles {
		e1, e2 := t[1].Sub(t[0]), t[2].Sub(t[0])
		h := dir.Cross(e2)
		det := e1.Dot(h)
		if math.Abs(det) < 1e-12 {
			continue
		}
		s := p.Sub(t[0])
		u := s.Dot(h) / det
		v := dir.Dot(s.Cross(e1)) / det
		if u >= 0 && v >= 0 && u+v <= 1 && e2.Dot(s.Cross(e1))/det > 0 {
			count++
		}
	}
	return count%2 == 1
}

// A peg goes into the sockets of both pieces: its axis in the one is that in the other.
func TestSocketsMeet(t *testing.T) {
	square := pack.Kind{Name: "square", Size: r3.Vector{X: 400, Y: 200, Z: 200}}
	cube := pack.Kind{Name: "cube", Size: r3.Vector{X: 160, Y: 160, Z: 160}}
	for _, k := range []pack.Kind{posted(), square, cube} {
		for _, shell := range []float64{0, 2} {
			g, err := gridOf(k, Print{Bed: r3.Vector{X: 90, Y: 90, Z: 90}, Play: 0.2, Shell: shell})
			require.NoError(t, err)
			requireSocketsMeet(t, g)
		}
	}
}

func requireSocketsMeet(t *testing.T, g *grid) {
	t.Helper()
	require.Positive(t, g.radius)
	found := map[string]int{}
	for _, c := range g.planes.cells() {
		low, size := g.box(c)
		for f := pack.Front; f <= pack.Bottom; f++ {
			if g.inner(c, f) {
				frame := faceOf(size, f)
				for _, at := range g.sockets(frame) {
					q := low.Add(frame.at(at, 0))
					found[fmt.Sprintf("%.6f %.6f %.6f", q.X, q.Y, q.Z)]++
				}
			}
		}
	}
	require.Len(t, found, g.pegs())
	for at, n := range found {
		require.Equal(t, 2, n, at)
	}
}

func TestRandomBlocksOnRandomBeds(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	for range 6 {
		k := pack.Kind{Name: "b", Size: r3.Vector{X: 20 + 400*rng.Float64(), Y: 20 + 300*rng.Float64(), Z: 20 + 200*rng.Float64()}}
		k.Posts = []pack.Post{{Face: pack.Top, At: r2.Point{X: k.Size.X * 0.5, Y: k.Size.Y * 0.5}, Diameter: 8, Height: 10}}
		p := Print{Bed: r3.Vector{X: 80 + 100*rng.Float64(), Y: 80 + 100*rng.Float64(), Z: 80 + 100*rng.Float64()}, Play: 0.2}
		pieces, err := Pieces(k, p)
		require.NoError(t, err, "%v on %v", k.Size, p.Bed)
		requirePieces(t, p, pieces)
		requireFormula(t, k, p, pieces)
	}
}

func TestWhatCannotBePrinted(t *testing.T) {
	for _, bed := range []r3.Vector{{X: 15, Y: 15, Z: 15}, {X: 10, Y: 300, Z: 300}} {
		_, err := Pieces(posted(), Print{Bed: bed})
		require.ErrorIs(t, err, ErrPrint, "a post is 18 mm across and high")
		require.ErrorContains(t, err, "battery")
	}
	tiny := pack.Kind{Name: "tiny", Size: r3.Vector{X: 1, Y: 1, Z: 1}}
	pieces, err := Pieces(tiny, Print{Shell: 2, Bed: r3.Vector{X: 200, Y: 200, Z: 200}})
	require.NoError(t, err)
	requirePieces(t, Print{}, pieces)
	require.InDelta(t, 1, pieces[0].Mesh.Volume(), 1e-9)
}
