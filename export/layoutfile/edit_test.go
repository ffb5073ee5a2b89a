package layoutfile_test

import (
	"bytes"
	"strconv"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/export/layoutfile"
	"rackwright/pack"
)

const byHand = `# my layout, do not lose this line
format: 1

placements:
  # the one that was hard
  - {box: "bläck", number: 1, up: top, front: right, tilt_deg: 0, centre_mm: [117, 5, 81]}   # tight!
  - box: bläck
    number: 2
    up: "left"      # as the posts want it
    front: top
    centre_mm:
      - 218
      - 5.25        # measured
      - 81
# The order in
order:
  - {box: bläck, number: 1, legs: [[0, 0, -10]], off: []}
`

func readText(t *testing.T, text []byte) pack.Layout {
	f, err := layoutfile.Read(bytes.NewReader(text), "layout.yaml")
	require.NoError(t, err)
	return f.Layout
}

// Only what changes is changed: the texts are compared with what a person would have typed.
func TestEditKeepsAllElse(t *testing.T) {
	l := readText(t, []byte(byHand))
	same, err := layoutfile.Edit([]byte(byHand), l)
	require.NoError(t, err)
	require.Equal(t, byHand, string(same))

	l.Placements[0].Centre = r3.Vector{X: 117, Y: -3.5, Z: 90}
	l.Placements[0].Pinned = true
	l.Placements[1].Up, l.Placements[1].Front = pack.Right, pack.Top
	l.Placements[1].Centre.Y = 7
	l.Placements[1].Tilt = 12 * s1.Degree
	got, err := layoutfile.Edit([]byte(byHand), l)
	require.NoError(t, err)
	want := strings.NewReplacer(
		"[117, 5, 81]}", "[117, -3.5, 90], pinned: true}",
		`"left"`, "right", "- 5.25", "- 7", "number: 2\n", "number: 2\n    tilt_deg: 12\n",
	).Replace(byHand)
	want = want[:strings.Index(want, "# The order in")]
	require.Equal(t, want, string(got))
	require.Equal(t, l.Placements, readText(t, got).Placements)
}

// Lines that end as in Windows, all or some, keep their ends, and a line that is added has one too.
func TestEditKeepsLineEnds(t *testing.T) {
	for _, text := range []string{strings.ReplaceAll(byHand, "\n", "\r\n"), strings.Replace(byHand, "\n", "\r\n", 5)} {
		l := readText(t, []byte(text))
		same, err := layoutfile.Edit([]byte(text), l)
		require.NoError(t, err)
		require.Equal(t, text, string(same))
		l.Placements[0].Centre.Z = 82.5
		l.Placements[1].Centre.Y = 7
		l.Placements[1].Pinned = true
		got, err := layoutfile.Edit([]byte(text), l)
		require.NoError(t, err)
		end := "\n"
		if strings.Contains(text, "number: 2\r\n") {
			end = "\r\n"
		}
		want := strings.NewReplacer("5, 81]}", "5, 82.5]}", "- 5.25", "- 7", "number: 2"+end, "number: 2"+end+"    pinned: true"+end).Replace(text)
		require.Equal(t, want[:strings.Index(want, "# The order in")], string(got))
	}
}

// Of which frame and pack a layout is, is said where the file said it before.
func TestEditSaysOfWhichFiles(t *testing.T) {
	text := strings.Replace(byHand, "format: 1\n", "format: 1\nframe_sha256: 'aa11'  # of the frame\npack_sha256: bb22\n", 1)
	l := readText(t, []byte(text))
	l.FrameHash, l.PackHash = "cc33", "1234567890123456789012345678901234567890123456789012345678901234"
	got, err := layoutfile.Edit([]byte(text), l)
	require.NoError(t, err)
	require.Equal(t, strings.NewReplacer("'aa11'", `"cc33"`, "bb22", strconv.Quote(l.PackHash)).Replace(text), string(got))
	same, err := layoutfile.Edit([]byte(byHand), l)
	require.NoError(t, err)
	require.Equal(t, byHand, string(same))
}

func TestEditRefusesOtherBoxes(t *testing.T) {
	l := readText(t, []byte(byHand))
	l.Placements[1].Number = 3
	_, err := layoutfile.Edit([]byte(byHand), l)
	require.ErrorIs(t, err, layoutfile.ErrOtherBoxes)
	l.Placements = l.Placements[:1]
	_, err = layoutfile.Edit([]byte(byHand), l)
	require.ErrorIs(t, err, layoutfile.ErrOtherBoxes)
}
