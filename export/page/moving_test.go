package page

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
)

// A part that moves is shown at both ends, named there once each, and what it sweeps near the
// opening is told apart from them; the road shows as far as it comes up on each side.
func TestWhatMovesIsToldApartFromWhereItEnds(t *testing.T) {
	f, err := frame.Read(strings.NewReader(`format: 1
frame: moving
opening: {outline: [[0, 0], [400, 0], [400, 300], [0, 300]], across: 200}
ground: {lean: 30, clear: 100}
moving:
  - {name: arm, turn: {about: [-20, 60], from: -5, to: 10}, outline: [[-300, 40], [-20, 40], [-20, 80], [-300, 80]], across: 100}
`), "frame.yaml")
	require.NoError(t, err)
	var labels []string
	swept, ends := 0, map[int]int{}
	for _, s := range movingSolids(f, pack.Gaps{KeepOut: 5}) {
		if s.Label != "" {
			labels = append(labels, s.Label)
		}
		if s.Swept && s.Name == "arm" {
			swept++
		}
		ends[s.End]++
		require.NotEmpty(t, s.Faces)
		if s.Name == "road, leant to the left" { // z = y·tan 30° − 100, up to 60 mm beside 100
			for _, c := range s.Faces[0] {
				require.InDelta(t, 0.57735*c[1]-100, c[2], 0.01)
			}
		}
	}
	require.Equal(t, []string{"road", "road, leant to the left", "road, leant to the right", "arm at -5.0°", "arm at 10.0°"}, labels)
	require.Positive(t, swept)
	require.Equal(t, 1, ends[1])
	require.Equal(t, 1, ends[2])
}
