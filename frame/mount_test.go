package frame

import (
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame/strict"
)

const mounted = `format: 1
frame: f
opening: {outline: [[0, 0], [100, 0], [100, 100]], across: 100}
rails: [{name: tube, path: [[0, 0, 0], [1, 0, 0]], diameter: 20, clamps: true}]
keepouts: [{name: motor plate, box: {low: [0, 0, 0], high: [9, 9, 9]}, mass: 4 lb, hangs_on_rack: [{at: [1, 2, 3], bolt: M8}]}]
mounts:
  - {name: engine mount, at: [40, 60, 20], bolt: M10, mirror: true, faces: right, holds: hole, thick: 8}
  - {name: floor, at: [40, 0, 0], bolt: M8, faces: [0, 3, 4], holds: thread}
`

func TestMountsTellWhatARackNeeds(t *testing.T) {
	f, err := Read(strings.NewReader(mounted), "frame.yaml")
	require.NoError(t, err)
	require.True(t, f.Rails[0].Clamps)
	require.InDelta(t, 1.814, f.KeepOuts[0].Mass, 0.001)
	require.Equal(t, []Hang{{r3.Vector{X: 1, Y: 2, Z: 3}, "M8"}}, f.KeepOuts[0].Hangs)
	require.Equal(t, Mount{"engine mount", r3.Vector{X: 40, Y: 60, Z: 20}, "M10", true, r3.Vector{Y: -1}, Hole, 8, nil, 7}, f.Mounts[0])
	require.InDelta(t, 1, f.Mounts[1].Faces.Norm(), 1e-12)
	sides := f.Mounts[0].Sides()
	require.Equal(t, []string{"engine mount left", "engine mount right"}, []string{sides[0].Name, sides[1].Name})
	require.Equal(t, r3.Vector{Y: 1}, sides[1].Faces)
	require.Len(t, f.Mounts[1].Sides(), 1)
}

func TestMountsAreRefusedWithAReason(t *testing.T) {
	for _, c := range []struct{ old, new, says string }{
		{"faces: right", "faces: inwards", "left, right, front, back, up, down"},
		{"faces: right", "faces: [0, 0, 0]", "points nowhere"},
		{"faces: right", "faces: [0, 1]", "three numbers"},
		{"faces: right", "faces: {x: 1}", "has to be a direction"},
		{"holds: hole", "holds: glue", "a thread, a hole or a stud"},
		{"thick: 8", "thick: 0.5", "from 1 to 100 mm thick"},
		{"mass: 4 lb, ", "", "needs its mass"},
		{"name: floor", "name: engine mount left", "used already"},
		{", bolt: M8}]", "}]", "bolt is missing"},
	} {
		_, err := Read(strings.NewReader(strings.Replace(mounted, c.old, c.new, 1)), "frame.yaml")
		var all strict.Errors
		require.ErrorAs(t, err, &all, c.new)
		require.Contains(t, err.Error(), c.says)
	}
}
