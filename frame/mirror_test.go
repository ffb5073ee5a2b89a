package frame

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const halved = `format: 1
frame: van
opening: {outline: [[0, 0], [400, 0], [400, 300], [0, 300]], across: [-150, 150]}
keepouts:
`

// A keep-out with mirror is the same solids as the two halves written by hand; one that is its own
// image is one. Names tell the sides.
func TestMirroredKeepOuts(t *testing.T) {
	read := func(keepouts string) *Frame {
		f, err := Read(strings.NewReader(halved+keepouts), "frame.yaml")
		require.NoError(t, err)
		return f
	}
	short := read(`  - {name: tank wing, outline: [[100, 200], [300, 200], [300, 300]], across: [60, 150], mirror: true, gap: 7, trim: 5}
  - {name: lug, box: {low: [0, -110, 0], high: [30, -80, 20]}, mirror: true, metal: false}
  - {name: bar, round: {from: [200, 20, 0], to: [200, 140, 60], diameter: 20}, mirror: true, lifts_off: true}
  - {name: axle, round: {from: [20, -90, 20], to: [20, 90, 20], diameter: 20}, mirror: true}
`)
	long := read(`  - {name: tank wing left, outline: [[100, 200], [300, 200], [300, 300]], across: [60, 150], gap: 7, trim: 5}
  - {name: tank wing right, outline: [[100, 200], [300, 200], [300, 300]], across: [-150, -60], gap: 7, trim: 5}
  - {name: lug left, box: {low: [0, 80, 0], high: [30, 110, 20]}, metal: false}
  - {name: lug right, box: {low: [0, -110, 0], high: [30, -80, 20]}, metal: false}
  - {name: bar left, round: {from: [200, 20, 0], to: [200, 140, 60], diameter: 20}, lifts_off: true}
  - {name: bar right, round: {from: [200, -20, 0], to: [200, -140, 60], diameter: 20}, lifts_off: true}
  - {name: axle, round: {from: [20, -90, 20], to: [20, 90, 20], diameter: 20}}
`)
	for _, nearer := range []float64{0, 2} {
		require.Equal(t, long.Obstacles(nearer), short.Obstacles(nearer))
	}
	require.Equal(t, long.KeepOuts, short.KeepOuts)
	_, err := Read(strings.NewReader(halved+`  - {name: lug, box: {low: [0, 80, 0], high: [30, 110, 20]}, mirror: true}
  - {name: lug left, box: {low: [0, 80, 50], high: [30, 110, 70]}}
`), "frame.yaml")
	require.ErrorContains(t, err, `the name "lug left" is used already`)
}
