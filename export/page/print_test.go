package page

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/go-rod/rod/lib/proto"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
	"rackwright/pack"
)

// A printed page has all the tables and drawings, each layout on sheets of its own.
func TestPrints(t *testing.T) {
	in := example(t)
	o := open(t, in, 900)
	o.settle()
	for paper, size := range map[string][2]float64{"A4": {8.27, 11.69}, "letter": {8.5, 11}} { // inches; ISO 216, ANSI Y14.1
		pdf, err := o.PDF(&proto.PagePrintToPDF{PaperWidth: &size[0], PaperHeight: &size[1], PreferCSSPageSize: true})
		require.NoError(t, err)
		var b bytes.Buffer
		_, err = b.ReadFrom(pdf)
		require.NoError(t, err)
		data := b.Bytes()
		path := filepath.Join(t.TempDir(), "page.pdf")
		require.NoError(t, os.WriteFile(path, data, 0o600))
		text := squeeze(pdfText(t, path))
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
		require.Equal(t, 3, strings.Count(text, squeeze(in.Problem.Frame.Hash)), "on the sheets of each layout and at the end")
		require.Contains(t, text, "2031-05-17")
		requireNothingCutOff(t, path, size)
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

func pdfText(t *testing.T, path string) string {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
		t.Skip("pdftotext is missing")
	}
	out, err := exec.Command("pdftotext", "-layout", path, "-").Output()
	require.NoError(t, err)
	return string(out)
}

// squeeze leaves out white space, for lines break anywhere.
func squeeze(text string) string { return strings.Join(strings.Fields(text), "") }
