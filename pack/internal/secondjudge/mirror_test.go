package secondjudge

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
)

// The second judge, which has a reading of mirror of its own, agrees on every relation with keep-outs
// of each form that have a mirror image.
func TestMirroredKeepOutsAgree(t *testing.T) {
	j := Start(t)
	f := []byte(`format: 1
frame: van
accuracy: 2
opening: {outline: [[0, 0], [400, 0], [400, 300], [0, 300]], across: [-150, 150]}
keepouts:
  - {name: wing, outline: [[100, 200], [300, 200], [300, 300]], across: [60, 150], mirror: true, gap: 7}
  - {name: lug, box: {low: [0, -110, 0], high: [30, -80, 20]}, mirror: true, metal: false}
  - {name: bar, round: {from: [380, 120, 10], to: [380, 120, 90], diameter: 20}, mirror: true}
  - {name: axle, round: {from: [20, -90, 250], to: [20, 90, 250], diameter: 20}, mirror: true}
`)
	k := []byte(`format: 1
pack: one
boxes:
  - name: battery
    size: [150, 100, 80]
    posts: [{name: plus, face: top, at: [20, 20], diameter: 10, height: 8}]
`)
	p := Problem(t, f, k)
	l := pack.Layout{Placements: []pack.Placement{{
		Box: "battery", Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}, Centre: r3.Vector{X: 190, Y: 10, Z: 100},
	}}}
	report := j.Agree(t, f, k, p, l)
	seen := map[string]bool{}
	for _, r := range report.Relations {
		seen[r.A.Obstacle], seen[r.B.Obstacle] = true, true
	}
	for _, name := range []string{"wing left", "wing right", "lug left", "lug right", "bar left", "bar right", "axle"} {
		require.True(t, seen[name], name)
	}
}
