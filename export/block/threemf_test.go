package block

import (
	"archive/zip"
	"bytes"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/hpinc/go3mf"
	"github.com/stretchr/testify/require"
)

// Read back by the library that wrote it: names, units, items, and the volume of each
// object.
func Test3MFReadBack(t *testing.T) {
	pieces, err := Pieces(posted(), Print{Bed: r3.Vector{X: 120, Y: 120, Z: 120}, Play: 0.2})
	require.NoError(t, err)
	var b, again bytes.Buffer
	require.NoError(t, Write3MF(&b, pieces))
	for range 3 { // the library's list of types comes in any order
		again.Reset()
		require.NoError(t, Write3MF(&again, pieces))
		require.Equal(t, b.Bytes(), again.Bytes(), "the same pieces give the same bytes")
	}
	archive, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	require.NoError(t, err)
	for _, f := range archive.File {
		require.LessOrEqual(t, f.Modified.Year(), 1980, "no time of day in %s", f.Name)
	}
	var model go3mf.Model
	require.NoError(t, go3mf.NewDecoder(bytes.NewReader(b.Bytes()), int64(b.Len())).Decode(&model))
	require.NoError(t, model.Validate())
	require.NoError(t, model.ValidateCoherency())
	require.Equal(t, go3mf.UnitMillimeter, model.Units)
	require.Len(t, model.Resources.Objects, len(pieces))
	copies := 0
	for i, o := range model.Resources.Objects {
		require.Equal(t, pieces[i].Name, o.Name)
		copies += pieces[i].Copies
		var m Mesh
		at := func(i uint32) r3.Vector {
			v := o.Mesh.Vertices.Vertex[i]
			return r3.Vector{X: float64(v.X()), Y: float64(v.Y()), Z: float64(v.Z())}
		}
		for _, tri := range o.Mesh.Triangles.Triangle {
			m.add(at(tri.V1), at(tri.V2), at(tri.V3))
		}
		require.InDelta(t, pieces[i].Mesh.Volume(), m.Volume(), 1e-4*m.Volume())
	}
	require.Len(t, model.Build.Items, copies)
}
