package framefile_test

import (
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/export/framefile"
)

const byHand = `# mine: do not lose this
format: 1
frame: Größe
opening:
  outline: [[0, 0], [ 420,0 ], ["62 cm", 380], [60, '460']]  # däs Loch
  across: 280
rails:
  - name: röhr
    path:
      - [430, 0, -20]   # at the lug
      - - 640
        - 0
        - 400 # up
    diameter: 38
keepouts:
  - {name: tank, outline: [[80, 520], [400, 480], [520, 570], [80, 620]], across: 200}   # full
`

func shape(t *testing.T, text, name string) framefile.Shape {
	t.Helper()
	all, err := framefile.Shapes([]byte(text))
	require.NoError(t, err)
	for _, s := range all {
		if s.Name == name {
			return s
		}
	}
	t.Fatalf("no %s", name)
	return framefile.Shape{}
}

func edited(t *testing.T, text string, s framefile.Shape) string {
	t.Helper()
	got, err := framefile.Edit([]byte(text), s)
	require.NoError(t, err)
	return string(got)
}

// Only the numbers that change are changed: texts are compared with what a person would type.
func TestEditKeepsAllElse(t *testing.T) {
	opening := shape(t, byHand, "the opening")
	require.Equal(t, [][]float64{{0, 0}, {420, 0}, {620, 380}, {60, 460}}, opening.Points)
	require.Equal(t, byHand, edited(t, byHand, opening))

	opening.Points[1] = []float64{415.5, 2}
	opening.Points[2][0] = 612.25
	opening.Points[3][1] = 455
	want := strings.NewReplacer("[ 420,0 ]", "[ 415.5,2 ]", `"62 cm"`, "612.25", "'460'", "455").Replace(byHand)
	require.Equal(t, want, edited(t, byHand, opening))

	rail := shape(t, byHand, "röhr")
	rail.Points[0], rail.Points[1] = []float64{433, 0, -20}, []float64{640, 7.5, 398}
	want = strings.NewReplacer("[430, 0, -20]", "[433, 0, -20]", "- 0\n        - 400 # up", "- 7.5\n        - 398 # up").Replace(byHand)
	require.Equal(t, want, edited(t, byHand, rail))

	windows := strings.ReplaceAll(byHand, "\n", "\r\n")
	tank := shape(t, windows, "tank")
	tank.Points[0] = []float64{-80.01, 520}
	require.Equal(t, strings.Replace(windows, "[80, 520]", "[-80.01, 520]", 1), edited(t, windows, tank))
}

// A traced outline may have more corners.
func TestEditWithMoreCorners(t *testing.T) {
	s := shape(t, byHand, "the opening")
	s.Points = [][]float64{{0, 0}, {420, 0}, {500, 150}, {620, 380}, {60, 460}}
	want := strings.Replace(byHand, `[[0, 0], [ 420,0 ], ["62 cm", 380], [60, '460']]`, "[[0, 0], [420, 0], [500, 150], [620, 380], [60, 460]]", 1)
	require.Equal(t, want, edited(t, byHand, s))
}

// An inch is 25.4 mm exactly.
func TestEditInInches(t *testing.T) {
	text := "format: 1\nframe: a\nunits: in\nopening: {outline: [[0, 0], [10, 0], [10, 7 5/8 in], [0, 10]], across: 8}\n"
	s := shape(t, text, "the opening")
	s.Points[2] = []float64{25.4 * 9.5, 190.5}
	require.Equal(t, strings.Replace(text, "[10, 7 5/8 in]", "[9.5, 7.5]", 1), edited(t, text, s))
}

func TestEditRefuses(t *testing.T) {
	s := shape(t, byHand, "the opening")
	try := func(text string, s framefile.Shape, points ...[]float64) error {
		s.Points = points
		_, err := framefile.Edit([]byte(text), s)
		return err
	}
	square := [][]float64{{0, 0}, {100, 0}, {100, 100}, {0, 100}}
	require.ErrorIs(t, try(byHand, s, []float64{math.NaN(), 0}), framefile.ErrNoNumber)
	require.Error(t, try(byHand, s, square[0], square[2], square[1], square[3])) // crosses itself: frame.Read says so
	require.Error(t, try(byHand, s, square[0], square[1]))
	require.ErrorIs(t, try(byHand, framefile.Shape{List: "rails", Index: 7}, square...), framefile.ErrNoShape)
	require.ErrorIs(t, try(byHand, shape(t, byHand, "röhr"), square...), framefile.ErrCorners)
	named := strings.Replace(byHand, "  across: 280", "  sides: [a, b, c, d]\n  across: 280", 1)
	require.NoError(t, try(named, s, square...))
	require.ErrorIs(t, try(named, s, square[:3]...), framefile.ErrCorners)
}

// In the examples each corner of everything goes elsewhere and comes back: the file is then as it
// was, and that in inches says the same.
func TestThereAndBack(t *testing.T) {
	for _, name := range []string{"courier", "trail", "cargo"} {
		text, err := os.ReadFile("../../testdata/" + name + "/frame.yaml")
		require.NoError(t, err)
		all, err := framefile.Shapes(text)
		require.NoError(t, err)
		require.NotEmpty(t, all)
		for _, s := range all {
			there := s
			there.Points, there.Sizes = nil, nil
			for _, p := range s.Points {
				by := []float64{1, -1}
				if len(p) == 3 {
					by = []float64{1, 2, -1}
				}
				there.Points = append(there.Points, plus(p, by))
			}
			for _, size := range s.Sizes {
				size.MM += 3
				there.Sizes = append(there.Sizes, size)
			}
			moved := edited(t, string(text), there)
			require.NotEqual(t, string(text), moved)
			back := edited(t, moved, s)
			if name == "cargo" { // 29 1/2 came back as 29.5
				require.Equal(t, s, shape(t, back, s.Name))
				require.Equal(t, strings.Count(string(text), "\n"), strings.Count(back, "\n"))
				continue
			}
			require.Equal(t, string(text), back, "%s of %s", s.Name, name)
		}
	}
}

func plus(a, b []float64) (sum []float64) {
	for i := range a {
		sum = append(sum, a[i]+b[i])
	}
	return sum
}

const solids = `format: 1
frame: solids
opening:
  outline: [[0, 0], [420, 0], [620, 380], [60, 460]]
  stations:   # as taped
    - {z: 0, across: 210}
    - {z: 12 cm, across: [-105,  115]}
rails:
  - {name: tube, path: [[430, 0, -20], [640, 0, 400]], diameter: 1.5 in}   # 38
keepouts:
  - name: foot
    box: {low: [0, -30, 290], high: [40, 30, 360]}  # low, high
    trim: 5
  - {name: pivot, round: {from: [-10, -110, 60], to: [-10, 110, 60], diameter: 50}}
`

// Widths, depths, boxes and round bars: again as a person would type.
func TestEditSizes(t *testing.T) {
	opening, tube := shape(t, solids, "the opening"), shape(t, solids, "tube")
	foot, pivot := shape(t, solids, "foot"), shape(t, solids, "pivot")
	require.Equal(t, [][]float64{{0, -30, 290}, {40, 30, 360}}, foot.Points)
	require.Equal(t, []framefile.Size{{Name: "diameter", MM: 50}}, pivot.Sizes)
	var words []string
	for _, s := range opening.Sizes {
		words = append(words, s.Name)
	}
	require.Equal(t, []string{
		"height z of station 1", "width across at station 1", "height z of station 2",
		"width across at station 2, y of its right", "width across at station 2, y of its left",
	}, words)

	opening.Sizes[1].MM, opening.Sizes[2].MM, opening.Sizes[4].MM = 204, 125, 112.5
	tube.Points[1][1], tube.Sizes[0].MM = -4, 40
	foot.Points[0][1], foot.Points[1][0] = -28, 44
	pivot.Points[1][1], pivot.Sizes[0].MM = 108.25, 52
	for _, line := range []string{"\n", "\r\n"} {
		text := strings.ReplaceAll(solids, "\n", line)
		want := strings.NewReplacer("across: 210", "across: 204", "12 cm", "125", " 115]", " 112.5]",
			"[640, 0, 400]", "[640, -4, 400]", "1.5 in", "40", "[0, -30, 290]", "[0, -28, 290]", "[40, 30, 360]", "[44, 30, 360]",
			"[-10, 110, 60]", "[-10, 108.25, 60]", "diameter: 50", "diameter: 52").Replace(text)
		for _, s := range []framefile.Shape{opening, tube, foot, pivot} {
			text = edited(t, text, s)
		}
		require.Equal(t, want, text)
	}
	foot.Points[0][0] = 50 // beyond the high corner
	_, err := framefile.Edit([]byte(solids), foot)
	require.Error(t, err)
	pivot.Sizes = nil
	_, err = framefile.Edit([]byte(solids), pivot)
	require.ErrorIs(t, err, framefile.ErrNoShape)
}

// Lines that end in two ways, as after an editor of each kind, keep their ends.
func TestEditMixedLineEnds(t *testing.T) {
	text := "\ufeff" + strings.Replace(strings.Replace(byHand, "\n", "\r\n", 3), "up\n", "up\r\n", 1) // and with a byte order mark
	tank := shape(t, text, "tank")
	tank.Points[3][1] = 615
	require.Equal(t, strings.Replace(text, "[80, 620]", "[80, 615]", 1), edited(t, text, tank))
}

func TestEditAfterAByteOrderMark(t *testing.T) {
	text := "\ufeff{format: 1, frame: ä, opening: {outline: [[0, 0], [420, 0], [400, 300]], across: 90}}"
	s := shape(t, text, "the opening")
	s.Points[1][0], s.Sizes[0].MM = 415, 95
	require.Equal(t, strings.NewReplacer("420", "415", "90}", "95}").Replace(text), edited(t, text, s))
}

// What stands on marks has no points to move, but its widths can be typed.
func TestOnMarks(t *testing.T) {
	text := `format: 1
frame: taped
marks:
  - {name: A, at: [0, 0]}
  - {name: B, at: [400, 0]}
  - {name: C, at: [400, 300]}
opening: {outline: [A, B, C, [0, 300]], across: 200}
`
	s := shape(t, text, "the opening")
	require.Empty(t, s.Points)
	s.Sizes[0].MM = 190
	require.Equal(t, strings.Replace(text, "200", "190", 1), edited(t, text, s))
	s.Points = [][]float64{{0, 0}, {1, 0}, {0, 1}}
	_, err := framefile.Edit([]byte(text), s)
	require.ErrorIs(t, err, framefile.ErrNoShape)
}
