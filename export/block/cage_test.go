package block

import (
	"context"
	"os"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/search"
)

func example(t *testing.T, name string) pack.Problem {
	t.Helper()
	open := func(file string) *os.File {
		f, err := os.Open("../../testdata/" + name + "/" + file)
		require.NoError(t, err)
		t.Cleanup(func() { f.Close() })
		return f
	}
	f, err := frame.Read(open("frame.yaml"), "frame.yaml")
	require.NoError(t, err)
	p, err := pack.Read(open("pack.yaml"), "pack.yaml")
	require.NoError(t, err)
	problem, err := pack.NewProblem(f, p)
	require.NoError(t, err)
	return problem
}

// The cage holds all rails and keep-outs that stay, by struts that touch no box, in place
// or on its way in, and lies on its plate; what is off while boxes go in is apart.
func TestCage(t *testing.T) {
	p := example(t, "courier")
	ctx, cancel := context.WithCancel(context.Background())
	cancel() // the first layout will do
	result, err := search.Fit(ctx, p, search.Settings{Layouts: 1, Seed: 1})
	require.NoError(t, err)
	require.NotEmpty(t, result.Layouts)
	l := result.Layouts[0]
	const scale = 0.25
	cage, err := CageOf(p, &l.Layout, l.Entry.Order, scale)
	require.NoError(t, err)
	require.Empty(t, cage.Unheld)
	var names []string
	for _, piece := range cage.Pieces {
		names = append(names, piece.Name)
		requireSound(t, piece.Mesh, piece.Mesh.Volume(), 1)
		low, _ := bounds(piece.Mesh)
		require.InDelta(t, 0, low.Norm(), 1e-9)
	}
	require.Equal(t, []string{"cage", "seat bucket"}, names)
	for _, at := range l.Layout.Placements {
		middle := at.Centre.Mul(scale)
		require.False(t, contains(cage.Pieces[0].Mesh, cage.Pieces[0].Pose.Apply(middle)), "%s %d", at.Box, at.Number)
	}
}

func TestCageWithoutALayout(t *testing.T) {
	cage, err := CageOf(example(t, "trail"), nil, entry.Order{}, 0.2)
	require.NoError(t, err)
	require.NotEmpty(t, cage.Pieces)
	cargo, err := CageOf(example(t, "cargo"), nil, entry.Order{}, 0.1)
	require.NoError(t, err)
	cage.Pieces = append(cage.Pieces, cargo.Pieces...)
	require.Empty(t, append(cage.Overlaid, cargo.Overlaid...))
	for _, piece := range cage.Pieces {
		requireSound(t, piece.Mesh, piece.Mesh.Volume(), 1)
	}
	require.True(t, cage.Pieces[0].Goes(r3.Vector{}))
	require.True(t, cage.Pieces[0].Goes(r3.Vector{X: 200, Y: 200, Z: 200}))
	require.False(t, cage.Pieces[0].Goes(r3.Vector{X: 200, Y: 50, Z: 200}))
}
