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
	require.Equal(t, [][2]float64{{0, 0}, {420, 0}, {620, 380}, {60, 460}}, opening.Points)
	require.Equal(t, byHand, edited(t, byHand, opening))

	opening.Points[1] = [2]float64{415.5, 2}
	opening.Points[2][0] = 612.25
	opening.Points[3][1] = 455
	want := strings.NewReplacer("[ 420,0 ]", "[ 415.5,2 ]", `"62 cm"`, "612.25", "'460'", "455").Replace(byHand)
	require.Equal(t, want, edited(t, byHand, opening))

	rail := shape(t, byHand, "röhr")
	rail.Points[0], rail.Points[1] = [2]float64{433, -20}, [2]float64{640, 398}
	want = strings.NewReplacer("[430, 0, -20]", "[433, 0, -20]", "- 400 # up", "- 398 # up").Replace(byHand)
	require.Equal(t, want, edited(t, byHand, rail))

	windows := strings.ReplaceAll(byHand, "\n", "\r\n")
	tank := shape(t, windows, "tank")
	tank.Points[0] = [2]float64{-80.01, 520}
	require.Equal(t, strings.Replace(windows, "[80, 520]", "[-80.01, 520]", 1), edited(t, windows, tank))
}

// A traced outline may have more corners.
func TestEditWithMoreCorners(t *testing.T) {
	s := shape(t, byHand, "the opening")
	s.Points = [][2]float64{{0, 0}, {420, 0}, {500, 150}, {620, 380}, {60, 460}}
	want := strings.Replace(byHand, `[[0, 0], [ 420,0 ], ["62 cm", 380], [60, '460']]`, "[[0, 0], [420, 0], [500, 150], [620, 380], [60, 460]]", 1)
	require.Equal(t, want, edited(t, byHand, s))
}

// An inch is 25.4 mm exactly.
func TestEditInInches(t *testing.T) {
	text := "format: 1\nframe: a\nunits: in\nopening: {outline: [[0, 0], [10, 0], [10, 7 5/8 in], [0, 10]], across: 8}\n"
	s := shape(t, text, "the opening")
	s.Points[2] = [2]float64{25.4 * 9.5, 190.5}
	require.Equal(t, strings.Replace(text, "[10, 7 5/8 in]", "[9.5, 7.5]", 1), edited(t, text, s))
}

func TestEditRefuses(t *testing.T) {
	s := shape(t, byHand, "the opening")
	try := func(text string, s framefile.Shape, points ...[2]float64) error {
		s.Points = points
		_, err := framefile.Edit([]byte(text), s)
		return err
	}
	square := [][2]float64{{0, 0}, {100, 0}, {100, 100}, {0, 100}}
	require.ErrorIs(t, try(byHand, s, [2]float64{math.NaN(), 0}), framefile.ErrNoNumber)
	require.Error(t, try(byHand, s, square[0], square[2], square[1], square[3])) // crosses itself: frame.Read says so
	require.Error(t, try(byHand, s, square[0], square[1]))
	require.ErrorIs(t, try(byHand, framefile.Shape{List: "rails", Index: 7}, square...), framefile.ErrNoShape)
	require.ErrorIs(t, try(byHand, framefile.Shape{List: "rails"}, square...), framefile.ErrCorners)
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
			there.Points = nil
			for _, p := range s.Points {
				there.Points = append(there.Points, [2]float64{p[0] + 1, p[1] - 1})
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
