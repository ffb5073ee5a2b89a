package answer

import (
	"bytes"
	"context"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack/search"
	"rackwright/pack/whatif"
)

// A seat 70 mm above the posts of a box that stands on the floor: the answer says that a tool of 70 mm
// would do, that the cable may be joined first or the seat lift off, and that nothing else alone helps.
func TestOneThingThatWouldGiveIt(t *testing.T) {
	in := inputOf(t, `boxes: [{name: battery, size: [130, 160, 130], posts: [{name: plus, face: top, at: [25, 80], diameter: 12, height: 5}]}]`, `
format: 1
frame: cage
opening: {outline: [[0, 0], [300, 0], [300, 200], [0, 200]], sides: [floor, front, top, back], open: [top], across: 200}
keepouts: [{name: seat, outline: [[-20, 205], [320, 205], [320, 280], [-20, 280]], across: 200, metal: false}]
`)
	var err error
	in.Eased, err = whatif.Ease(context.Background(), in.Problem, in.Result, whatif.Settings{Search: search.Settings{Work: 1e9}})
	require.NoError(t, err)
	text := words(t, in)
	require.Contains(t, text, "One thing that would give it, all else as it is:\n  1. A tool no longer than 70 mm over the posts (--tool 30x70); a longer one is proven not to do: it fits and goes in")
	require.Contains(t, text, "  2. The cable of battery plus joined before its box goes in (joined_first: true in the pack file), which it takes at battery 1 plus: it fits")
	require.Contains(t, text, "  3. Seat off while boxes go in, and back on after (lifts_off: true in the frame file): it fits and goes in")
	require.Contains(t, text, "Proven not to give it alone: floor, front, back.")
	require.Contains(t, text, "Caution: "+cautionLifted)
	require.Contains(t, text, "Caution: "+cautionJoined)

	var b bytes.Buffer
	require.NoError(t, WriteJSON(&b, in))
	var out struct {
		Thing struct {
			Gives []struct {
				Change string
				Tool   struct {
					Length  float64 `json:"length_mm"`
					Longest bool    `json:"proven_longest"`
				}
				Placements []jsonPlacement
			}
			Hopeless []string `json:"proven_hopeless"`
		} `json:"one_thing"`
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &out))
	require.Equal(t, "shorter tool", out.Thing.Gives[0].Change)
	require.Equal(t, 70.0, out.Thing.Gives[0].Tool.Length)
	require.True(t, out.Thing.Gives[0].Tool.Longest)
	require.Len(t, out.Thing.Gives[2].Placements, 1)
	require.Equal(t, []string{"floor", "front", "back"}, out.Thing.Hopeless)
}
