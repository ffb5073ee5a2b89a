package frame

import (
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame/strict"
)

// square is a frame taped all round: 400 × 300 mm, so that diagonals are 500.
const square = `format: 1
frame: bench
accuracy: 2
marks: [A, B, {name: C, y: 30}, {name: D, y: -30}]
level: {origin: A, along: A-B}
taped:
  - {from: A, to: B, length: 400}
  - {from: B, to: C, length: 301.5}
  - {from: C, to: D, length: 404.5}
  - {from: D, to: A, length: 301.5}
  - {from: A, to: C, length: 500.9}
  - {from: B, to: D, length: 500.9}
opening: {outline: [A, B, C, D], across: 200}
rails: [{name: bar, path: [C, D], diameter: 20}]
keepouts: [{name: drum, round: {from: D, to: C, diameter: 30}}, {name: foot, box: {low: [0, -60, 0], high: C}}]
mounts: [{name: lug, at: C}]
`

// Marks stand for points wherever one is asked for.
func TestMarksStandForPoints(t *testing.T) {
	f, err := Read(strings.NewReader(square), "f.yaml")
	require.NoError(t, err)
	for i, want := range []r2.Point{{}, {X: 400}, {X: 400, Y: 300}, {Y: 300}} {
		require.InDelta(t, 0, f.Opening.Outline.Corners[i].Sub(want).Norm(), 0.1)
	}
	c := f.Rails[0].Path[0]
	require.InDelta(t, 0, c.Sub(r3.Vector{X: 400, Y: 30, Z: 300}).Norm(), 0.1)
	require.InDelta(t, -30, f.Rails[0].Path[1].Y, 0)
	require.Equal(t, c, f.KeepOuts[0].Round.To)
	require.Equal(t, c, f.KeepOuts[1].Box.High)
	require.Equal(t, c, f.Mounts[0].At)
	require.True(t, f.Survey.Adjusted.Agrees())
}

// faultsOf are the errors of the square with something changed.
func faultsOf(t *testing.T, changes ...string) strict.Errors {
	t.Helper()
	text := strings.NewReplacer(changes...).Replace(square)
	require.NotEqual(t, square, text)
	_, err := Read(strings.NewReader(text), "f.yaml")
	var all strict.Errors
	require.ErrorAs(t, err, &all)
	return all
}

// A triangle that cannot close stands at its longest side, and nothing follows from it.
func TestATriangleThatCannotClose(t *testing.T) {
	all := faultsOf(t, "  - {from: C, to: D, length: 404.5}\n  - {from: D, to: A, length: 301.5}\n", "", "  - {from: B, to: D, length: 500.9}\n", "",
		"C, D], across", "C], across", "C, to: D, length", "C, to: D, length", ", {name: D, y: -30}", "", "to: C, length: 500.9", "to: C, length: 900",
		"path: [C, D]", "path: [C, B]", "from: D, to: C, diameter: 30", "from: B, to: C, diameter: 30")
	require.Len(t, all, 1, "%v", all)
	require.Equal(t, 9, all[0].Line)
	require.Contains(t, all[0].Text, "the triangle A, B, C cannot close: A–B and B–C together are 199.5 mm shorter than A–C")
}

// What is missing is told once, with what to do.
func TestWhatIsTapedHasToFix(t *testing.T) {
	all := faultsOf(t, "  - {from: D, to: A, length: 301.5}\n", "", "  - {from: B, to: D, length: 500.9}\n", "")
	require.Len(t, all, 1, "%v", all)
	require.Equal(t, 4, all[0].Line)
	require.Contains(t, all[0].Text, "nothing fixes the mark D: only one measurement touches it. Tape its distance to A and B")
	all = faultsOf(t, "marks: [A, B, {name: C, y: 30}, {name: D, y: -30}]\nlevel: {origin: A, along: A-B}\n", "")
	require.Contains(t, all[0].Text, "there are none: name them")
	all = faultsOf(t, "accuracy: 2\n", "")
	require.Len(t, all, 6)
	require.Contains(t, all[0].Text, "how far may this be off?")
}

// A rough file may be read where nothing is taped, to plan it; never else.
func TestRoughFiles(t *testing.T) {
	rough := strings.NewReplacer("[A, B, {name: C, y: 30}, {name: D, y: -30}]",
		"[{name: A, near: [0, 0]}, {name: B, near: [400, 0]}, {name: C, near: [400, 300]}, {name: D, near: [0, 300]}]").Replace(square)
	rough = rough[:strings.Index(rough, "taped:")] + rough[strings.Index(rough, "opening:"):]
	rough = strings.Replace(rough, "low: [0, -60, 0]", "low: [0, -60, 0]", 1)
	rough = strings.Replace(rough, ", {name: foot, box: {low: [0, -60, 0], high: C}}", "", 1)
	_, err := Read(strings.NewReader(rough), "f.yaml")
	require.ErrorContains(t, err, "nothing fixes the mark B")
	f, err := ReadRough(strings.NewReader(rough), "f.yaml")
	require.NoError(t, err)
	require.Nil(t, f.Survey.Adjusted)
	require.Equal(t, r2.Point{X: 400, Y: 300}, f.Opening.Outline.Corners[2])
}
