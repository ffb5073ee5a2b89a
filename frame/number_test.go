package frame

import (
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
)

// Derived: what reaches into the round line of sight, 30 mm about it, covers the number; what
// touches it, lies beside it, or behind the number, does not.
func TestWhatCoversTheFrameNumber(t *testing.T) {
	block := func(low, high r3.Vector) geom.Solid { return geom.BoxFromCorners(low, high) }
	for side, to := range map[string]r3.Vector{"left": {Y: 1}, "right": {Y: -1}, "front": {X: 1}} {
		f := readMoving(t, "frame_number: [100, 20, 200]\nseen_from: "+side+"\n")
		at := f.Number.At
		beside := to.Cross(r3.Vector{Z: 1})
		cube := func(along, aside float64) geom.Solid {
			middle := at.Add(to.Mul(along)).Add(beside.Mul(aside))
			half := r3.Vector{X: 10, Y: 10, Z: 10}
			return block(middle.Sub(half), middle.Add(half))
		}
		require.True(t, f.Number.CoveredBy(cube(50, 0)), side)
		require.True(t, f.Number.CoveredBy(cube(900, 39)), side)
		require.False(t, f.Number.CoveredBy(cube(50, 40)), "touches: %s", side)
		require.False(t, f.Number.CoveredBy(cube(50, -41)), side)
		require.False(t, f.Number.CoveredBy(cube(-11, 0)), "behind: %s", side)
	}
}

func TestBadFrameNumbers(t *testing.T) {
	for text, say := range map[string]string{
		"frame_number: [1, 2, 3]":                    "frame.yaml:4:15: say from which side",
		"seen_from: left":                            "frame.yaml:4:12: seen_from tells",
		"frame_number: [1, 2, 3]\nseen_from: behind": `frame.yaml:5:12: a frame number is seen from left, right or front, not from "behind"`,
		"frame_number: [1, 2]\nseen_from: left":      "frame.yaml:4:",
		"frame_number: P\nseen_from: left":           "frame.yaml:4:",
	} {
		_, err := Read(strings.NewReader(movingFrame+text+"\n"), "frame.yaml")
		require.ErrorContains(t, err, say, text)
	}
}
