package block

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
)

// bench is a block in the side view, swept across.
func bench(x0, z0, x1, z1, y0, y1 float64) geom.Prism {
	return geom.Prism{
		Profile: geom.Polygon{Corners: []r2.Point{{X: x0, Y: z0}, {X: x1, Y: z0}, {X: x1, Y: z1}, {X: x0, Y: z1}}},
		Depth:   r1.Interval{Lo: y0, Hi: y1},
	}
}

// Two cuts that overlap by 10 × 20 × 5 mm and one apart: what they share is printed once,
// at true size and at a scale, and the part lies on the bed at the origin (derived).
func TestNotchToPrint(t *testing.T) {
	cuts := []geom.Solid{bench(0, 100, 40, 110, 0, 50), bench(30, 105, 80, 130, -20, 20), bench(200, 100, 230, 110, 0, 50)}
	want := 40*10*50.0 + 50*25*40 - 10*5*20 + 30*10*50
	for _, scale := range []float64{0, 1, 0.25} {
		p, one, err := OfNotch("notch in tank", cuts, scale)
		require.NoError(t, err)
		require.True(t, one)
		s := scale
		if s == 0 {
			s = 1
		}
		require.InDelta(t, want*s*s*s, p.Mesh.Volume(), 1e-6*want)
		low, _ := p.Mesh.bounds()
		require.InDelta(t, 0, low.Norm(), 1e-9)
		require.True(t, p.Goes(r3.Vector{X: 230*s + 1e-6, Y: 30*s + 1e-6, Z: 70*s + 1e-6}), "it lies on its side")
	}
	p, _, err := OfNotch("notch in tank", cuts, 1)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, p.Mesh.WriteSTL(&b, "notch.stl"))
	path := filepath.Join(t.TempDir(), "notch.stl")
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
	report := admesh(t, path)
	require.Regexp(t, `Total disconnected facets +: +0 `, report)
	require.Regexp(t, `Number of parts +: +2 `, report)
}

// A wedge of a slanted drum: what two cuts share is printed once (volumes by geom's own
// sums, which its tests hold against closed forms), in one closed surface.
func TestNotchOfADrumToPrint(t *testing.T) {
	drum := geom.PolyhedronAround(geom.Cylinder{From: r3.Vector{X: 10}, To: r3.Vector{X: 70, Y: 90, Z: 160}, Radius: 40}, 48)
	plane := func(n r3.Vector, at float64) geom.HalfSpace {
		return geom.HalfSpace{Normal: n.Normalize(), Offset: n.Normalize().Dot(r3.Vector{X: 40, Y: 45, Z: 80}) + at}
	}
	down := plane(r3.Vector{Z: -1, X: 0.2}, -10)
	left, right := plane(r3.Vector{Y: 1}, 20), plane(r3.Vector{Y: -1, Z: 0.3}, 15)
	cuts := []geom.Solid{drum.Clipped(down, left), drum.Clipped(down, right)}
	p, one, err := OfNotch("notch in shock", cuts, 1)
	require.NoError(t, err)
	require.True(t, one)
	require.InDelta(t, drum.Clipped(down).Volume(), p.Mesh.Volume(), 1)
	var b bytes.Buffer
	require.NoError(t, p.Mesh.WriteSTL(&b, "notch.stl"))
	path := filepath.Join(t.TempDir(), "notch.stl")
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
	require.Regexp(t, `Total disconnected facets +: +0 `, admesh(t, path))
}
