package mockup

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/export/card"
	"rackwright/export/drawing"
	"rackwright/export/layoutfile"
	"rackwright/frame"
	"rackwright/pack"
)

// example is one of testdata with a layout.
func example(t *testing.T, name, layout string) (pack.Problem, pack.Layout) {
	t.Helper()
	open := func(name string) *os.File {
		f, err := os.Open(name)
		require.NoError(t, err)
		t.Cleanup(func() { f.Close() })
		return f
	}
	f, err := frame.Read(open("../../testdata/"+name+"/frame.yaml"), "frame.yaml")
	require.NoError(t, err)
	k, err := pack.Read(open("../../testdata/"+name+"/pack.yaml"), "pack.yaml")
	require.NoError(t, err)
	p, err := pack.NewProblem(f, k)
	require.NoError(t, err)
	l, err := layoutfile.Read(open(layout), "layout.yaml")
	require.NoError(t, err)
	return p, l.Layout
}

// written makes the files of an example on A4.
func written(t *testing.T, p pack.Problem, l *pack.Layout) string {
	t.Helper()
	r, err := Make(p, Settings{Forms: []Form{PDF}, Board: card.DefaultBoard, Paper: &drawing.Papers[0], Layout: l, Name: "layout-1"})
	require.NoError(t, err)
	dir := t.TempDir()
	for _, file := range r.Files {
		out, err := os.Create(filepath.Join(dir, file.Name))
		require.NoError(t, err)
		require.NoError(t, file.Write(out))
		require.NoError(t, out.Close())
	}
	return dir
}

func poppler(t *testing.T, name string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
		t.Skip(name + " is missing")
	}
	out, err := exec.Command(name, args...).CombinedOutput()
	require.NoError(t, err, string(out))
	return string(out)
}

var (
	pagesLine = regexp.MustCompile(`Pages:\s+(\d+)`)
	wordLine  = regexp.MustCompile(`<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">([^<]{4,})</word>`)
)

// Sheets are counted by pdfinfo. The gauges of the trail bike go onto 6 sheets of A4, its
// silhouettes and those of its layout onto 8 each: the figures are those promised to users.
// Letters are measured by pdftotext, which gives the height of the face: ascent and descent of
// the embedded one are together 1.16 of its size, of which capitals are 0.7, so 3 mm of capitals
// are 4.97 mm, or 14.1 points.
func TestFewSheetsAndLettersThatCanBeRead(t *testing.T) {
	p, l := example(t, "trail", "../page/testdata/trail-layout.yaml")
	dir := written(t, p, &l)
	for name, most := range map[string]int{"gauges-a4.pdf": 6, "silhouettes-a4.pdf": 8, "silhouette-of-layout-a4.pdf": 8} {
		file := filepath.Join(dir, name)
		found := pagesLine.FindStringSubmatch(poppler(t, "pdfinfo", file))
		require.NotNil(t, found)
		n, err := strconv.Atoi(found[1])
		require.NoError(t, err)
		require.LessOrEqual(t, n, most, name)
		words := wordLine.FindAllStringSubmatch(poppler(t, "pdftotext", "-bbox", file, "-"), -1)
		require.Greater(t, len(words), 20, name)
		for _, w := range words {
			var at [4]float64
			for i := range at {
				at[i], err = strconv.ParseFloat(w[i+1], 64)
				require.NoError(t, err)
			}
			require.GreaterOrEqual(t, min(at[2]-at[0], at[3]-at[1]), 14.0, "%s: %s", name, w[5])
		}
	}
}

// The gauge tells the length of every side and the angle at every corner: those of the trail bike
// by hand from its outline (0, 0), (300, 0), (455, 330), (60, 360).
func TestTheGaugeTellsLengthsAndAngles(t *testing.T) {
	p, l := example(t, "trail", "../page/testdata/trail-layout.yaml")
	dir := written(t, p, &l)
	said := poppler(t, "pdftotext", filepath.Join(dir, "gauge-opening.pdf"), "-")
	for _, words := range []string{
		"skid plate, 300 mm", "down-tube line, 364.6 mm", "tank line, 396.1 mm", "seat post, 365 mm", "80.5°", "115.2°", "69.2°", "95.1°",
	} {
		require.Contains(t, said, words)
	}
}

// Boxes that are tilted differently have templates of their own, which say the tilt and how many
// to print; no line speaks of a front face and of the vehicle's front.
func TestTemplatesSayTiltAndCopies(t *testing.T) {
	p, l := example(t, "courier", "../../testdata/courier/layout.yaml")
	for i := range l.Placements {
		l.Placements[i].Up, l.Placements[i].Front, l.Placements[i].Tilt = pack.Top, pack.Front, 0
	}
	l.Placements[2].Tilt = 12 * s1.Degree
	dir := written(t, p, &l)
	files, err := filepath.Glob(filepath.Join(dir, "card-cell-block-*-a4.pdf"))
	require.NoError(t, err)
	require.Len(t, files, 2)
	tilted := 0
	for _, file := range files {
		said := poppler(t, "pdftotext", file, "-")
		if strings.Contains(said, "tilted 12° nose down") {
			tilted++
			require.Contains(t, said, "Print one copy.")
		} else {
			require.Contains(t, said, "Print 3 copies")
		}
		require.Regexp(t, `cell block \d.* plus \+`, said, "the box and the polarity at a post")
		for _, line := range strings.Split(said, "\n") {
			require.False(t, strings.Contains(line, "face") && strings.Contains(line, "vehicle"), line)
		}
	}
	require.Equal(t, 1, tilted)
}
