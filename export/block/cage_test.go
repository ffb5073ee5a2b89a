package block

import (
	"os"
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/export/layoutfile"
	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/entry"
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
	f, err := os.Open("../../testdata/courier/layout.yaml")
	require.NoError(t, err)
	defer f.Close()
	l, err := layoutfile.Read(f, "layout.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, l.Order.Steps)
	const scale = 0.25
	cage, err := CageOf(p, &l.Layout, l.Order, scale)
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
	for _, step := range l.Order.Steps {
		i := slices.IndexFunc(l.Layout.Placements, func(at pack.Placement) bool { return at.Box == step.Box && at.Number == step.Number })
		requireWay(t, cage.Pieces[0], p, l.Layout.Placements[i], step, scale)
	}
}

// requireWay moves points of a box along its legs: none comes into the cage.
func requireWay(t *testing.T, cage Piece, p pack.Problem, at pack.Placement, step entry.Step, scale float64) {
	t.Helper()
	bodies, err := p.Bodies(at)
	require.NoError(t, err)
	c := bodies.Case
	start := r3.Vector{}
	for _, leg := range step.Legs {
		start = start.Sub(leg)
	}
	for _, leg := range step.Legs {
		for i := range 21 {
			by := start.Add(leg.Mul(float64(i) / 20))
			for x := -1.0; x <= 1; x += 0.5 {
				for y := -1.0; y <= 1; y += 0.5 {
					for z := -1.0; z <= 1; z += 0.5 {
						q := c.Centre.Add(c.Axes[0].Mul(x * c.Half.X)).Add(c.Axes[1].Mul(y * c.Half.Y)).Add(c.Axes[2].Mul(z * c.Half.Z)).Add(by)
						require.False(t, contains(cage.Mesh, cage.Pose.Apply(q.Mul(scale))), "%s %d at %v", at.Box, at.Number, q)
					}
				}
			}
		}
		start = start.Add(leg)
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
