package design_test

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/rack/design"
	"rackwright/pack/search"
)

// example reads an example's problem.
func example(t *testing.T, name string) pack.Problem {
	dir := filepath.Join("..", "..", "..", "testdata", name)
	file, err := os.Open(filepath.Join(dir, "frame.yaml"))
	require.NoError(t, err)
	defer file.Close()
	f, err := frame.Read(file, "frame.yaml")
	require.NoError(t, err)
	boxes, err := os.Open(filepath.Join(dir, "pack.yaml"))
	require.NoError(t, err)
	defer boxes.Close()
	k, err := pack.Read(boxes, "pack.yaml")
	require.NoError(t, err)
	p, err := pack.NewProblem(f, k)
	require.NoError(t, err)
	return p
}

// Layouts of the problem with room kept have that room in the problem itself, by geom's
// distances to the walls and to the places where bolts go.
func TestKeepLeavesRoom(t *testing.T) {
	p := example(t, "trail")
	kept, err := design.Keep(p, design.Settings{})
	require.NoError(t, err)
	require.Equal(t, 220.0, p.Frame.Opening.Stations[0].Across.Length(), "the frame that was given stays")
	ctx, stop := context.WithTimeout(context.Background(), 5*time.Second)
	defer stop()
	r, err := search.Fit(ctx, kept.Problem, search.Settings{Layouts: 1, Seed: 1, Work: 1e8})
	require.NoError(t, err)
	require.True(t, r.Verdict.Fits())
	require.True(t, pack.Check(p, r.Layouts[0].Layout).Holds())
	for _, at := range r.Layouts[0].Layout.Placements {
		b, err := p.Bodies(at)
		require.NoError(t, err)
		low, high := geom.Bounds(b.Case)
		across := p.Frame.Opening.Stations[0].Across
		require.GreaterOrEqual(t, low.Y-across.Lo, kept.Beside-1e-6)
		require.GreaterOrEqual(t, across.Hi-high.Y, kept.Beside-1e-6)
		require.GreaterOrEqual(t, low.Z, kept.Ends-1e-6)
		for _, m := range p.Frame.Mounts {
			for _, side := range m.Sides() {
				point := geom.BoxFromCorners(side.At, side.At.Add(side.Faces.Mul(8)))
				require.Greater(t, geom.Distance(b.Case, point), 0.0, "%v beside %s", at.Part(), side.Name)
			}
		}
	}
}

func TestKeepRefusesNarrow(t *testing.T) {
	p := example(t, "trail")
	f := *p.Frame
	f.Opening.Stations = []frame.Station{{Across: p.Frame.Opening.Stations[0].Across.Expanded(-105)}}
	p.Frame = &f
	_, err := design.Keep(p, design.Settings{})
	require.ErrorContains(t, err, "10 mm across")
}
