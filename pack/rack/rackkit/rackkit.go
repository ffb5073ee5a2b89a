// Package rackkit helps tests of racks: it reads the places of boxes from a layout file without
// the package that writes them, which is above.
package rackkit

import (
	"os"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame/strict"
	"rackwright/pack"
)

type layout struct {
	Format     int         `yaml:"format"`
	Placements []placement `yaml:"placements"`
}

type placement struct {
	Box    strict.Name   `yaml:"box"`
	Number int           `yaml:"number"`
	Up     string        `yaml:"up"`
	Front  string        `yaml:"front"`
	Tilt   float64       `yaml:"tilt_deg"`
	Centre strict.Point3 `yaml:"centre_mm"`
}

// Layout reads the placements of a layout file whose boxes are not tilted.
func Layout(t testing.TB, path string) pack.Layout {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	var file layout
	require.NoError(t, strict.Read(path, f, &file, func(*strict.Decoder) {}))
	var l pack.Layout
	for _, p := range file.Placements {
		up, err := pack.ParseFace(p.Up)
		require.NoError(t, err)
		front, err := pack.ParseFace(p.Front)
		require.NoError(t, err)
		l.Placements = append(l.Placements, pack.Placement{
			Box: string(p.Box), Number: p.Number, Orientation: pack.Orientation{Up: up, Front: front},
			Centre: r3.Vector{X: p.Centre[0], Y: p.Centre[1], Z: p.Centre[2]},
		})
	}
	return l
}
