package rack

import (
	"bytes"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
)

// A clamp is around its rail, and its mount is on the end of its nut, wherever it faces.
func TestClampAroundItsRail(t *testing.T) {
	for _, faces := range []r3.Vector{{Z: 1}, {Z: -1}, {Y: 1}, {Y: -0.6, Z: 0.8}} {
		c := Clamp{Name: "clamp", At: r3.Vector{X: 100, Y: 90, Z: -20}, Along: r3.Vector{X: -1}, Faces: faces, Diameter: 28, Bolt: "M8"}
		m := c.Mount()
		require.Equal(t, frame.Mount{Name: "clamp", At: c.Face(), Bolt: "M8", Faces: faces, Holds: frame.Thread, Thick: 12}, m)
		require.InDelta(t, 14+3+12, m.At.Sub(c.At).Dot(faces), 1e-9)
		far, wide := 0.0, 0.0
		for _, s := range append(c.Solids(), append(c.Half(true), c.Half(false)...)...) {
			far, wide = max(far, s.Extent(faces).Hi-c.At.Dot(faces)), max(wide, s.Extent(r3.Vector{X: 1}).Length())
		}
		require.InDelta(t, 29, far, 1e-9)
		require.InDelta(t, ClampWide, wide, 1e-9)
		rail := geom.Tube{From: r3.Vector{X: 80, Y: 90, Z: -20}, To: r3.Vector{X: 120, Y: 90, Z: -20}, Radius: 14}
		require.Less(t, geom.Distance(c.Solids()[1], rail), -13.0)
		require.InDelta(t, 3+12, geom.Distance(rail, geom.BoxFromCorners(m.At, m.At)), 1e-6)
	}
}

// Clamps are read as they were written, and what is wrong in them is told at its place.
func TestClampsInFiles(t *testing.T) {
	r := &Rack{Joints: Bolted, Give: 2, Bought: DefaultLengths, Clamps: []Clamp{
		{Name: "clamp 1", Rail: "cradle left", At: r3.Vector{X: 1.5, Y: 90, Z: -20}, Along: r3.Vector{X: 1}, Faces: r3.Vector{Z: 1}, Diameter: 28, Bolt: "M8"},
	}}
	var file bytes.Buffer
	require.NoError(t, Write(&file, r))
	back, err := Read(bytes.NewReader(file.Bytes()), "rack.yaml")
	require.NoError(t, err)
	require.Equal(t, r.Clamps, back.Clamps)
	c, ok := back.Clamp("clamp 1")
	require.True(t, ok)
	require.Equal(t, 1, back.Parts())
	require.InDelta(t, 0.2, back.Mass(), 0.1, c.String())
	for from, c := range map[string]struct{ to, says string }{
		"bolt: M8":      {"bolt: M7", "is no bolt that racks are made with"},
		"rail_mm: 28":   {"rail_mm: 90", "clamps are for rails from 10 to 80 mm, not 90"},
		"faces: up":     {"faces: front", "a clamp faces a way that is square to its rail"},
		"fasteners: []": {"fasteners: [{name: \"clamp 1\", size: M6, class: \"8.8\", from_mm: [0, 0, 0], to_mm: [0, 0, 20], joins: []}]", "another part of the rack has the name"},
	} {
		_, err := Read(strings.NewReader(strings.Replace(file.String(), from, c.to, 1)), "rack.yaml")
		require.ErrorContains(t, err, c.says)
	}
}
