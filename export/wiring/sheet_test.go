package wiring

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/export/answer"
	"rackwright/export/drawing"
	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/wire"
)

// row of boxes with posts on top, joined as a wiring says.
func inRow(t *testing.T, count int, wiring string) (pack.Problem, pack.Layout, wire.Plan) {
	t.Helper()
	f, err := frame.Read(strings.NewReader(fmt.Sprintf(
		"{format: 1, frame: bay, opening: {outline: [[0, 0], [%d, 0], [%[1]d, 300], [0, 300]], across: 300}}", 160*count+20)), "f")
	require.NoError(t, err)
	p, err := pack.Read(strings.NewReader(fmt.Sprintf(`
format: 1
pack: row
wiring: %s
boxes:
  - name: block
    count: %d
    size: [150, 100, 100]
    volts: 12.8
    amp_hours: 60
    charge_volts: 14.6
    posts:
      - {name: plus, face: top, at: [25, 25], diameter: 12, height: 10, polarity: "+", bolt: M6}
      - {name: minus, face: top, at: [125, 25], diameter: 12, height: 10, polarity: "-", bolt: M8}
`, wiring, count)), "p")
	require.NoError(t, err)
	problem, err := pack.NewProblem(f, p)
	require.NoError(t, err)
	var l pack.Layout
	for i := range count {
		at := pack.Placement{Box: "block", Number: i + 1, Orientation: p.Kinds[0].Orientations()[0]}
		at.Centre.X, at.Centre.Z = 80+160*float64(i), 60
		l.Placements = append(l.Placements, at)
	}
	plan, err := wire.Make(problem, l, wire.Settings{})
	require.NoError(t, err)
	return problem, l, plan
}

// Everything lies within what printers print, nothing written lies on anything else written,
// and nothing of the plan is missing. Up to five batteries all is on one sheet.
func TestSheets(t *testing.T) {
	for _, c := range []struct {
		count  int
		wiring string
	}{{2, "{amps: 60}"}, {5, "{amps: 120, cables: [35]}"}, {12, "{series: 3, parallel: 4, amps: 100}"}} {
		problem, layout, plan := inRow(t, c.count, c.wiring)
		for _, word := range Papers {
			paper, err := drawing.ParsePaper(word)
			require.NoError(t, err)
			pages, err := Sheets(problem, layout, plan, "row.yaml", paper)
			require.NoError(t, err)
			if c.count <= 5 {
				require.Len(t, pages, 1)
			}
			var text strings.Builder
			for _, page := range pages {
				require.Equal(t, paper.Size, page.Size)
				b := page.Bounds()
				require.GreaterOrEqual(t, min(b.Lo().X, b.Lo().Y), 10.0)
				require.LessOrEqual(t, b.Hi().X, paper.Size.X-10)
				require.LessOrEqual(t, b.Hi().Y, paper.Size.Y-10)
				for i, a := range page.Texts {
					if !strings.HasPrefix(a.Line, "Wiring of") && !strings.HasPrefix(a.Line, "Thick:") { // head and foot
						text.WriteString(a.Line + " ")
					}
					for _, o := range page.Texts[:i] {
						require.False(t, a.Area().InteriorIntersects(o.Area()), "%q lies on %q", a.Line, o.Line)
					}
				}
			}
			for _, part := range answer.WiringParts(problem, plan, problem.Pack.Unit) {
				for _, l := range part.Lines {
					require.Contains(t, text.String(), strings.Join(strings.Fields(l.Text), " "))
				}
			}
			for _, row := range answer.CableRows(problem, plan, problem.Pack.Unit) {
				require.Contains(t, text.String(), strings.Join(row.Cells(), " "))
			}
		}
	}
}

// As many cables are drawn as there are jumpers, in each picture where they can be seen, and
// the names of the columns come with the lugs that the posts' bolts ask for.
func TestPictures(t *testing.T) {
	problem, layout, plan := inRow(t, 3, "{amps: 60}")
	paper, err := drawing.ParsePaper("a4")
	require.NoError(t, err)
	pages, err := Sheets(problem, layout, plan, "row.yaml", paper)
	require.NoError(t, err)
	cables := 0
	for _, p := range pages[0].Paths {
		if p.Width == thick {
			cables++
		}
	}
	require.Equal(t, 2*len(plan.Jumpers), cables, "straight ones, in two pictures")
	require.Equal(t, "M6, M8", answer.CableRows(problem, plan, problem.Pack.Unit)[0].Lugs)
}
