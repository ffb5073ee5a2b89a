package mockup

import (
	"bytes"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/hschendel/stl"
	"github.com/stretchr/testify/require"

	"rackwright/export/block"
	"rackwright/frame"
	"rackwright/pack"
)

// What is cut out of a keep-out is held against it, so it is never scaled with the blocks: a box
// 150 × 100 whose top is 10 mm into a tank that it has to clear by 5 takes 160 × 110 × 15.
func TestNotchSolidsAreNeverScaled(t *testing.T) {
	f, err := frame.Read(strings.NewReader(`format: 1
frame: van
opening: {outline: [[0, 0], [400, 0], [400, 320], [0, 320]], across: 300}
keepouts: [{name: tank, box: {low: [50, -120, 290], high: [350, 120, 380]}, trim: 20}]
`), "frame.yaml")
	require.NoError(t, err)
	k, err := pack.Read(strings.NewReader("format: 1\npack: one\nboxes: [{name: battery, size: [150, 100, 80]}]\n"), "pack.yaml")
	require.NoError(t, err)
	p, err := pack.NewProblem(f, k)
	require.NoError(t, err)
	l := pack.Layout{Placements: []pack.Placement{{
		Box: "battery", Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}, Centre: r3.Vector{X: 200, Z: 260},
	}}}
	r, err := Notches(p, Settings{Forms: []Form{STL}, Layout: &l, Print: block.Print{Scale: 0.25}})
	require.NoError(t, err)
	require.Len(t, r.Files, 1)
	var b bytes.Buffer
	require.NoError(t, r.Files[0].Write(&b))
	solid, err := stl.ReadAll(bytes.NewReader(b.Bytes()))
	require.NoError(t, err)
	m := solid.Measure()
	size := []float64{float64(m.Len[0]), float64(m.Len[1]), float64(m.Len[2])}
	require.InDelta(t, 160+110+15, size[0]+size[1]+size[2], 0.5)
	require.InDelta(t, 160, max(size[0], size[1], size[2]), 0.2)
}
