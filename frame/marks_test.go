package frame

import (
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame/strict"
	"rackwright/frame/survey"
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
	_, err = ReadRough(strings.NewReader(strings.Replace(rough, "{name: D, near: [0, 300]}", "D", 1)), "f.yaml")
	require.ErrorContains(t, err, "for a plan, say about where every mark is")
	f, err := ReadRough(strings.NewReader(rough), "f.yaml")
	require.NoError(t, err)
	require.Nil(t, f.Survey.Adjusted)
	require.Equal(t, r2.Point{X: 400, Y: 300}, f.Opening.Outline.Corners[2])
}

// Things on marks are off by 2.6 standard deviations of these along their normal, the worse of
// a side's two ends; what has an accuracy of its own by that, and what is given in numbers by
// the file's. (The deviations are those that scipy is asked about.)
func TestAccuraciesFromMarks(t *testing.T) {
	f, err := Read(strings.NewReader(strings.NewReplacer(
		"across: 200}", "across: 200, sides: [floor, {name: front, accuracy: 9}, top, rear]}",
		"path: [C, D]", "path: [C, [0, -30, 200]]",
	).Replace(square)), "f.yaml")
	require.NoError(t, err)
	a := f.Survey.Adjusted
	off := func(mark int, x, z float64) float64 { return survey.AtMost * a.Along(mark, r2.Point{X: x, Y: z}) }
	require.InDelta(t, max(off(0, 0, 1), off(1, 0, 1)), f.SideAccuracy(0), 1e-3)
	require.Equal(t, 9.0, f.SideAccuracy(1))
	require.InDelta(t, max(off(2, 0, 1), off(3, 0, 1)), f.SideAccuracy(2), 1e-3)
	require.InDelta(t, max(off(3, 1, 0), off(0, 1, 0)), f.SideAccuracy(3), 1e-3)
	require.InDelta(t, max(2, off(2, 0.24, -0.97)), f.RailAccuracy(0), 0.02)
	require.InDelta(t, max(a.WorstAnyWay(2), a.WorstAnyWay(3)), f.KeepOutAccuracy(0), 1e-9)
	require.InDelta(t, max(2, off(2, 1, 0), off(2, 0, 1)), f.KeepOutAccuracy(1), 1e-9)
	require.InDelta(t, a.WorstAnyWay(2), f.MountAccuracy(0), 1e-9)
	require.Greater(t, f.SideAccuracy(0), 0.5)
	require.Less(t, f.SideAccuracy(0), 2.0)
	require.Equal(t, 3.0, f.WithAccuracy(3).SideAccuracy(1))
}

// Clockwise outlines give every side the accuracy of its own marks too.
func TestAccuraciesOfClockwiseOutlines(t *testing.T) {
	names := "sides: [a, {name: b, accuracy: 7}, c, d]}"
	one, err := Read(strings.NewReader(strings.Replace(square, "across: 200}", "across: 200, "+names, 1)), "f.yaml")
	require.NoError(t, err)
	names = "sides: [d, c, {name: b, accuracy: 7}, a]}"
	other, err := Read(strings.NewReader(strings.NewReplacer("outline: [A, B, C, D], across: 200}", "outline: [A, D, C, B], across: 200, "+names).Replace(square)), "f.yaml")
	require.NoError(t, err)
	require.Equal(t, one.Opening.Sides, other.Opening.Sides)
	for i := range 4 {
		require.InDelta(t, one.SideAccuracy(i), other.SideAccuracy(i), 1e-9)
	}
}

// Readings that disagree make everything as much less accurate.
func TestDisagreementCostsAccuracy(t *testing.T) {
	good, err := Read(strings.NewReader(square), "f.yaml")
	require.NoError(t, err)
	bad, err := Read(strings.NewReader(strings.Replace(square, "length: 404.5", "length: 434.5", 1)), "f.yaml")
	require.NoError(t, err)
	require.False(t, bad.Survey.Adjusted.Agrees())
	require.InDelta(t, bad.Survey.Adjusted.Sigma0, bad.SideAccuracy(0)/good.SideAccuracy(0), 0.2*bad.Survey.Adjusted.Sigma0)
}

// Readings that no frame has fold the marks onto a line, where several least disagreements lie
// close together: that is told like any other fault. (Found by fuzzing.)
func TestFoldedMarks(t *testing.T) {
	text := strings.NewReplacer("length: 420, accuracy: 1", "length: 40, accuracy: 1", "length: 727", "length: 2727", "degrees: 62.2", "degrees: 2.2", "near: [620, 380]", "near: [0, 0]").Replace(whole)
	_, err := Read(strings.NewReader(text), "f.yaml")
	var all strict.Errors
	require.ErrorAs(t, err, &all)
}
