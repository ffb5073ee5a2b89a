package mockup

import (
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"

	"rackwright/export/card"
	"rackwright/frame"
	"rackwright/pack"
)

// small is a pack of boxes so small that words stand beside their nets.
func small(t *testing.T) pack.Problem {
	t.Helper()
	f, err := frame.Read(strings.NewReader("format: 1\nframe: shelf\nopening: {outline: [[0, 0], [150, 0], [150, 120], [0, 120]], across: 100}\n"), "frame.yaml")
	require.NoError(t, err)
	k, err := pack.Read(strings.NewReader(`format: 1
pack: small things
boxes:
  - {name: fuse box, size: [60, 35, 25], posts: [{name: in, face: top, at: [10, 10], diameter: 8, height: 6, polarity: "+"}, {name: out, face: top, at: [50, 10], diameter: 8, height: 6, polarity: "-"}]}
  - {name: relay, count: 2, size: [40, 30, 30], posts: [{name: coil plus, face: bottom, at: [10, 10], diameter: 6, polarity: "+"}]}
`), "pack.yaml")
	require.NoError(t, err)
	p, err := pack.NewProblem(f, k)
	require.NoError(t, err)
	return p
}

// wordBox is a word on a page, in points.
type wordBox struct {
	text string
	area r2.Rect
}

var (
	pageLine = regexp.MustCompile(`<page width="([\d.]+)" height="([\d.]+)">`)
	anyWord  = regexp.MustCompile(`<word xMin="(-?[\d.]+)" yMin="(-?[\d.]+)" xMax="(-?[\d.]+)" yMax="(-?[\d.]+)">([^<]+)</word>`)
)

// words are those of a PDF file of one page by pdftotext, and the page.
func words(t *testing.T, file string) (list []wordBox, page r2.Rect) {
	t.Helper()
	out := poppler(t, "pdftotext", "-bbox", file, "-")
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return v
	}
	size := pageLine.FindAllStringSubmatch(out, -1)
	require.Len(t, size, 1, file)
	for _, w := range anyWord.FindAllStringSubmatch(out, -1) {
		list = append(list, wordBox{w[5], r2.RectFromPoints(r2.Point{X: number(w[1]), Y: number(w[2])}, r2.Point{X: number(w[3]), Y: number(w[4])})})
	}
	return list, r2.RectFromPoints(r2.Point{}, r2.Point{X: number(size[0][1]), Y: number(size[0][2])})
}

// Of every drawing at full size: no two words overlap, none leaves the page, and letters are 3 mm
// high (see TestFewSheetsAndLettersThatCanBeRead), as pdftotext measures them.
func TestNoWordsOverlapOrLeaveTheirPage(t *testing.T) {
	trail, one := example(t, "trail", "../page/testdata/trail-layout.yaml")
	for _, dir := range []string{written(t, trail, &one), written(t, small(t), nil)} {
		files, err := filepath.Glob(filepath.Join(dir, "*.pdf"))
		require.NoError(t, err)
		files = slices.DeleteFunc(files, func(f string) bool { return strings.HasSuffix(f, "-a4.pdf") })
		require.Greater(t, len(files), 5)
		for _, file := range files {
			list, page := words(t, file)
			require.NotEmpty(t, list, file)
			for i, w := range list {
				require.True(t, page.Contains(w.area), "%q leaves %s", w.text, filepath.Base(file))
				if utf8.RuneCountInString(w.text) > 3 {
					size := w.area.Size()
					require.GreaterOrEqual(t, min(size.X, size.Y), 14.0, "%q in %s", w.text, filepath.Base(file))
				}
				for _, o := range list[i+1:] { // less what is above and below the letters
					require.False(t, w.area.ExpandedByMargin(-1).Intersects(o.area.ExpandedByMargin(-1)), "%q and %q in %s", w.text, o.text, filepath.Base(file))
				}
			}
		}
	}
}

// sidesOf are the lengths of the sides of a closed line, in order.
func sidesOf(points []r2.Point) []float64 {
	var all []float64
	for i, p := range points {
		if d := points[(i+1)%len(points)].Sub(p).Norm(); d > 1e-6 {
			all = append(all, d)
		}
	}
	slices.Sort(all)
	return all
}

// requireSides compares them with those of the outline of the trail bike, (0, 0), (300, 0),
// (455, 330), (60, 360), by Pythagoras.
func requireSides(t *testing.T, got []float64) {
	t.Helper()
	want := []float64{300, math.Hypot(155, 330), math.Hypot(60, 360), math.Hypot(395, 30)}
	require.Len(t, got, 4)
	for i := range want {
		require.InDelta(t, want[i], got[i], 0.2)
	}
}

var (
	thickPath = regexp.MustCompile(`<path style="[^"]*stroke-width:2\.55[^"]*" d="([^"]*)" transform="matrix\(([\d.]+),0,0,-`)
	cornersOf = regexp.MustCompile(`([ML]) (-?[\d.]+) (-?[\d.]+)`)
)

// The line to cut of the gauge is read back, from the PDF as poppler draws it and from the DXF as
// ezdxf, a general library, reads it: its sides are as long as those of the opening.
func TestDimensionsAreReadBack(t *testing.T) {
	p, _ := example(t, "trail", "../page/testdata/trail-layout.yaml")
	r, err := Make(p, Settings{Forms: []Form{PDF, DXF}, Board: card.DefaultBoard})
	require.NoError(t, err)
	dir := t.TempDir()
	for _, f := range r.Files {
		if !strings.HasPrefix(f.Name, "gauge-opening") {
			continue
		}
		out, err := os.Create(filepath.Join(dir, f.Name))
		require.NoError(t, err)
		require.NoError(t, f.Write(out))
		require.NoError(t, out.Close())
	}
	drawn := filepath.Join(dir, "gauge.svg")
	poppler(t, "pdftocairo", "-svg", filepath.Join(dir, "gauge-opening.pdf"), drawn)
	svg, err := os.ReadFile(drawn)
	require.NoError(t, err)
	found := thickPath.FindSubmatch(svg)
	require.NotNil(t, found)
	scale, err := strconv.ParseFloat(string(found[2]), 64)
	require.NoError(t, err)
	var corners []r2.Point
	for _, c := range cornersOf.FindAllSubmatch(found[1], -1) {
		x, _ := strconv.ParseFloat(string(c[2]), 64)
		y, _ := strconv.ParseFloat(string(c[3]), 64)
		corners = append(corners, r2.Point{X: x, Y: y}.Mul(scale*25.4/72)) // in points
	}
	requireSides(t, sidesOf(corners[:4]))

	python := "/usr/bin/python3"
	if exec.Command(python, "-c", "import ezdxf").Run() != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
		t.Skip("python3-ezdxf is missing")
	}
	const read = `
import json, sys, ezdxf
lines = [[[p.x, p.y] for p in e.points()] for e in ezdxf.readfile(sys.argv[1]).modelspace().query("POLYLINE[layer=='CUT']")]
print(json.dumps(max(lines, key=lambda l: max(x for x, _ in l) - min(x for x, _ in l))))
`
	out, err := exec.Command(python, "-c", read, filepath.Join(dir, "gauge-opening.dxf")).CombinedOutput()
	require.NoError(t, err, string(out))
	var line [][2]float64
	require.NoError(t, json.Unmarshal(out, &line), string(out))
	corners = nil
	for _, c := range line {
		corners = append(corners, r2.Point{X: c[0], Y: c[1]})
	}
	requireSides(t, sidesOf(corners))
}
