package page

import (
	"fmt"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
	"rackwright/pack"
)

// papers are the sizes of ISO 216 and ANSI Y14.1 in inches.
var papers = map[string][2]float64{"A4": {8.27, 11.69}, "letter": {8.5, 11}}

// A printed page has all the tables and drawings, each layout on sheets of its own that
// all bear its name, in letters that can be read.
func TestPrints(t *testing.T) {
	in := example(t)
	o := open(t, in, 900)
	o.settle()
	_, err := o.Eval(`() => { document.documentElement.dataset.print = 'all'; addEventListener('afterprint', () => { document.documentElement.dataset.print = 'all'; }); }`)
	require.NoError(t, err)
	for paper, size := range papers {
		path := o.print(size)
		sheets := pdfSheets(t, path)
		text := strings.Join(sheets, "")
		for _, l := range in.Layouts {
			require.Contains(t, text, squeeze(l.title(geom.Millimetre)), paper)
			for _, n := range l.Report.Relations[:mostGaps] {
				require.Contains(t, text, squeeze(fmt.Sprintf("%v – %v", n.A, n.B)), paper)
			}
			for _, at := range l.Layout.Placements {
				require.Contains(t, text, squeeze(pack.Part{Box: at.Box, Number: at.Number}.String()), paper)
			}
		}
		require.Equal(t, 2, strings.Count(text, squeeze("From the top (front to the right, left up)")), paper)
		require.Equal(t, 1, strings.Count(text, squeeze(in.Problem.Frame.Hash)), "whole at the end")
		requireNamed(t, in, sheets)
		requireNothingCutOff(t, path, size)
		requireLetters(t, path)
	}
}

// requireNamed requires that the first and the last sheet are for all layouts, and that
// those in between begin with the name of one layout, those of the first before those of
// the second, with the date and what the files are known by.
func requireNamed(t *testing.T, in Input, sheets []string) {
	t.Helper()
	require.Greater(t, len(sheets), 2+len(in.Layouts))
	layout := 0
	for i, sheet := range sheets[1 : len(sheets)-1] {
		if layout+1 < len(in.Layouts) && strings.HasPrefix(sheet, squeeze(in.Layouts[layout+1].title(geom.Millimetre))) {
			layout++
		}
		head := fmt.Sprintf("%s · %s in %s · %s frame file %s…, pack file %s…", in.Layouts[layout].title(geom.Millimetre),
			in.Problem.Pack.Name, in.Problem.Frame.Name, in.Date, in.Problem.Frame.Hash[:shortHash], in.Problem.Pack.Hash[:shortHash])
		require.True(t, strings.HasPrefix(sheet, squeeze(head)), "sheet %d: %s", i+2, sheet)
	}
	require.Equal(t, len(in.Layouts)-1, layout)
	require.True(t, strings.HasPrefix(sheets[len(sheets)-1], "Cautions"), "the last sheet is for all layouts")
}

// requireLetters requires that no letters are less than 9 points high: 12 pixels. Their
// capitals are then higher than 1.8 mm, the least size of lettering in ISO 3098-1 (from
// memory), also where a face has low ones.
func requireLetters(t *testing.T, path string) {
	t.Helper()
	const zoom = 3 // sizes are written as whole numbers; it takes no more
	out, err := exec.Command("pdftohtml", "-xml", "-i", "-stdout", "-zoom", strconv.Itoa(zoom), path).Output()
	require.NoError(t, err)
	sizes := regexp.MustCompile(`<fontspec id="\d+" size="(\d+)"`).FindAllStringSubmatch(string(out), -1)
	require.Greater(t, len(sizes), 3)
	for _, m := range sizes {
		size, err := strconv.Atoi(m[1])
		require.NoError(t, err)
		require.GreaterOrEqual(t, size, 9*zoom, m[0])
	}
}

// requireNothingCutOff requires that every word is on the paper.
func requireNothingCutOff(t *testing.T, path string, inches [2]float64) {
	t.Helper()
	out, err := exec.Command("pdftotext", "-bbox", path, "-").Output()
	require.NoError(t, err)
	words := 0
	for _, line := range strings.Split(string(out), "\n") {
		var x0, y0, x1, y1 float64
		if n, _ := fmt.Sscanf(strings.TrimSpace(line), `<word xMin="%f" yMin="%f" xMax="%f" yMax="%f">`, &x0, &y0, &x1, &y1); n == 4 {
			words++
			require.True(t, x0 > 0 && y0 > 0 && x1 < inches[0]*72 && y1 < inches[1]*72, line)
		}
	}
	require.Greater(t, words, 500)
}

// pdfSheets is the text of every sheet without white space.
func pdfSheets(t *testing.T, path string) []string {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
		t.Skip("pdftotext is missing")
	}
	out, err := exec.Command("pdftotext", "-layout", path, "-").Output()
	require.NoError(t, err)
	sheets := strings.Split(strings.TrimSuffix(string(out), "\f"), "\f")
	for i := range sheets {
		sheets[i] = squeeze(sheets[i])
	}
	return sheets
}

// squeeze leaves out white space, for lines break anywhere.
func squeeze(text string) string { return strings.Join(strings.Fields(text), "") }

// One layout is printed on up to three sheets, none of them half empty but the last: its picture,
// drawings, places, order and packing; nothing of the other layout, and no picture is missing.
func TestOneLayoutOnThreeSheets(t *testing.T) {
	for name, layout := range map[string]string{
		"courier": "../../testdata/courier/layout.yaml", "trail": "testdata/trail-layout.yaml",
		"cargo": "testdata/cargo-layout.yaml", "lane": "../view/testdata/lane-layout.yaml",
	} {
		problem, one := layoutOfExample(t, name, layout)
		in := inputOf(t, problem, one, one)
		o := open(t, in, 900)
		o.settle()
		for paper, size := range papers {
			path := o.print(size)
			if dir := os.Getenv("RACKWRIGHT_SHOTS"); dir != "" {
				data, err := os.ReadFile(path)
				require.NoError(t, err)
				require.NoError(t, os.WriteFile(fmt.Sprintf("%s/%s-%s.pdf", dir, name, paper), data, 0o644))
			}
			sheets := pdfSheets(t, path)
			assert.LessOrEqual(t, len(sheets), 3, "%s on %s", name, paper)
			text := strings.Join(sheets, "")
			for _, words := range []string{"From the right (", "From the front (", "From the top (", "Where the boxes go", "Packing, at", "Live posts", in.Layouts[0].title(problem.Pack.Unit)} {
				require.Contains(t, text, squeeze(words), "%s on %s", name, paper)
			}
			if len(in.Layouts[0].Entry.Order.Steps) > 0 {
				require.Contains(t, text, squeeze("How it goes in"))
			}
			require.NotContains(t, text, squeeze("Layout 2"))
			require.NotContains(t, text, squeeze("Clearances, worst first"))
			images, err := exec.Command("pdfimages", "-list", path).Output()
			require.NoError(t, err)
			require.GreaterOrEqual(t, strings.Count(string(images), "image"), 1, "the picture is printed")
			requireNothingCutOff(t, path, size)
			requireLetters(t, path)
			for i, low := range lowest(t, path)[:len(sheets)-1] {
				assert.Greater(t, low, 0.6*size[1]*72, "%s on %s: sheet %d is half empty", name, paper, i+1)
			}
		}
		o.quiet()
	}
}

// lowest is how far down the words of each sheet reach, in points.
func lowest(t *testing.T, path string) []float64 {
	t.Helper()
	out, err := exec.Command("pdftotext", "-bbox", path, "-").Output()
	require.NoError(t, err)
	var all []float64
	for _, sheet := range strings.Split(string(out), "<page ")[1:] {
		low := 0.0
		for _, m := range regexp.MustCompile(`yMax="([\d.]+)">`).FindAllStringSubmatch(sheet, -1) {
			y, err := strconv.ParseFloat(m[1], 64)
			require.NoError(t, err)
			low = max(low, y)
		}
		all = append(all, low)
	}
	return all
}
