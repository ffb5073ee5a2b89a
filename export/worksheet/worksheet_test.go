package worksheet

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"

	"rackwright/export/drawing"
	"rackwright/frame"
	"rackwright/frame/survey"
)

// ring is a frame whose marks stand on a circle, every two of them taped.
func ring(t *testing.T, count int, spoilt float64) *frame.Frame {
	t.Helper()
	var names, taped []string
	at := func(i int) r2.Point {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.1*float64(i%3)) / float64(count))
		return r2.Point{X: 300 * cos, Y: 300 * sin}
	}
	for i := range count {
		names = append(names, fmt.Sprintf("{name: M%d, near: [%.0f, %.0f]}", i, at(i).X-300, at(i).Y))
		for k := range i {
			length := at(i).Sub(at(k)).Norm()
			if i == 2 && k == 0 {
				length += spoilt
			}
			taped = append(taped, fmt.Sprintf("{from: M%d, to: M%d, length: %.1f}", k, i, length))
		}
	}
	text := "format: 1\nframe: ring\naccuracy: 2\nmarks: [" + strings.Join(names, ", ") + "]\nlevel: {origin: M0, along: M0-M1, slope: 122}\ntaped: [" +
		strings.Join(taped, ", ") + "]\nopening: {outline: [M0, M1, M2, M3], across: 200}\n"
	f, err := frame.Read(strings.NewReader(text), "ring.yaml")
	require.NoError(t, err)
	return f
}

// Everything lies on its paper, within what printers print, and every distance has a blank,
// on as many pages as it takes.
func TestSheets(t *testing.T) {
	for _, count := range []int{4, 6, 12} {
		f := ring(t, count, 0)
		for _, paper := range Papers {
			pages := Sheets(f, nil, paper)
			require.Equal(t, count > 8, len(pages) > 1)
			var text bytes.Buffer
			for _, page := range pages {
				require.Equal(t, paper.Size, page.Size)
				b := page.Bounds()
				require.GreaterOrEqual(t, b.Lo().X, 9.0)
				require.GreaterOrEqual(t, b.Lo().Y, 9.0)
				require.LessOrEqual(t, b.Hi().X, paper.Size.X-9)
				require.LessOrEqual(t, b.Hi().Y, paper.Size.Y-5)
				require.NoError(t, page.WriteSVG(&text))
			}
			for _, m := range f.Survey.Network.Measurements {
				require.Contains(t, text.String(), ">"+f.Survey.Network.PairName(survey.Pair{From: m.From, To: m.To})+"<")
			}
		}
	}
}

// Long names are written as large as the numbers, in one column.
func TestLongNames(t *testing.T) {
	rows := []blank{{name: "belly front lug–belly rear lug", about: both(500)}, {name: "A–B", about: both(10)}}
	for _, paper := range Papers {
		g := gridOf(rows, paper)
		require.Equal(t, 1, g.columns)
		require.Equal(t, 2, gridOf(rows[1:], paper).columns)
		d := drawing.Drawing{Size: paper.Size}
		require.Equal(t, 2, g.table(&d, rows, 0, 200))
		for _, text := range d.Texts {
			require.GreaterOrEqual(t, text.Size, small, text.Line)
		}
	}
}

// A plan's sheet has the planned distances alone.
func TestSheetsOfPlans(t *testing.T) {
	f := ring(t, 5, 0)
	plan := survey.Plan{Pairs: []survey.Pair{{From: 0, To: 3}}}
	var b bytes.Buffer
	require.NoError(t, Sheets(f, &plan, Papers[0])[0].WriteSVG(&b))
	require.Contains(t, b.String(), ">M0–M3<")
	require.NotContains(t, b.String(), ">M0–M2<")
}

// The ellipses are as large as the picture says they are, by the factor that it tells, and
// the wrong distance is thick and marked.
func TestPicture(t *testing.T) {
	f := ring(t, 6, 0)
	d := Picture(f)
	text := svg(t, d)
	found := regexp.MustCompile(`drawn ([0-9.]+) times`).FindStringSubmatch(text)
	require.NotNil(t, found)
	factor, err := strconv.ParseFloat(found[1], 64)
	require.NoError(t, err)
	scale := barScale(t, d)
	for i := range f.Survey.Places {
		long := 0.0
		for _, p := range d.Paths {
			if p.Closed && !p.Dotted && len(p.Points) == 72 {
				if b := r2.RectFromPoints(p.Points...); b.Center().Sub(d.Circles[i].Centre).Norm() < 1e-6 {
					for _, q := range p.Points {
						long = max(long, q.Sub(b.Center()).Norm())
					}
				}
			}
		}
		require.InDelta(t, survey.AtMost*f.Survey.Adjusted.Ellipse(i).Long*scale*factor, long, 0.01*long)
	}
	require.NotContains(t, text, ">wrong?<")
	spoilt := svg(t, Picture(ring(t, 6, 40)))
	require.Contains(t, spoilt, ">wrong?<")
	require.NotContains(t, spoilt, "drawn 0 times")
}

// barScale is how many mm of paper are a mm of the frame, by the bar.
func barScale(t *testing.T, d drawing.Drawing) float64 {
	t.Helper()
	for _, p := range d.Paths[max(0, len(d.Paths)-3):] {
		if a, b := p.Points[0], p.Points[1]; a.Y == b.Y {
			return math.Abs(b.X-a.X) / 100
		}
	}
	t.Fatal("no bar")
	return 0
}

func svg(t *testing.T, d drawing.Drawing) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, d.WriteSVG(&b))
	return b.String()
}

// Another program finds the size of the page and its words in PDF.
func TestPDF(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
		t.Skip("pdftotext is missing")
	}
	f := ring(t, 6, 0)
	for _, paper := range Papers {
		var b bytes.Buffer
		require.NoError(t, Sheets(f, nil, paper)[0].WritePDF(&b))
		path := filepath.Join(t.TempDir(), "sheet.pdf")
		require.NoError(t, os.WriteFile(path, b.Bytes(), 0o600))
		out, err := exec.Command("pdfinfo", path).Output()
		require.NoError(t, err)
		require.Regexp(t, fmt.Sprintf(`Page size: +%.0f[.0-9]* x %.0f`, math.Floor(paper.Size.X/25.4*72), math.Floor(paper.Size.Y/25.4*72)), string(out))
		out, err = exec.Command("pdftotext", "-layout", path, "-").Output()
		require.NoError(t, err)
		require.Contains(t, string(out), "Worksheet for measuring ring")
		require.Contains(t, string(out), "M0–M5")
		require.Regexp(t, `\d+ mm · \d+ \d/\d in`, string(out))
	}
}
