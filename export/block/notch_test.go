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
	cuts := []geom.Prism{bench(0, 100, 40, 110, 0, 50), bench(30, 105, 80, 130, -20, 20), bench(200, 100, 230, 110, 0, 50)}
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
