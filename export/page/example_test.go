package page

import (
	"context"
	"fmt"
	"os"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/export"
	"rackwright/export/answer"
	"rackwright/export/layoutfile"
	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/outcome"
)

// example is the page of the courier with the layout that is checked in, and with one
// whose controller is 6 mm farther back.
func example(t testing.TB) Input {
	t.Helper()
	problem, layout := layoutOfExample(t, "courier", "../../testdata/courier/layout.yaml")
	moved := layout
	moved.Placements = append([]pack.Placement{}, moved.Placements...)
	moved.Placements[5].Centre.X -= 6
	return inputOf(t, problem, layout, moved)
}

// layoutOfExample reads an example and a layout of it.
func layoutOfExample(t testing.TB, name, layout string) (pack.Problem, pack.Layout) {
	t.Helper()
	file := func(path string) *os.File {
		f, err := os.Open(path)
		require.NoError(t, err)
		t.Cleanup(func() { f.Close() })
		return f
	}
	f, err := frame.Read(file("../../testdata/"+name+"/frame.yaml"), "frame.yaml")
	require.NoError(t, err)
	p, err := pack.Read(file("../../testdata/"+name+"/pack.yaml"), "pack.yaml")
	require.NoError(t, err)
	l, err := layoutfile.Read(file(layout), layout)
	require.NoError(t, err)
	problem, err := pack.NewProblem(f, p)
	require.NoError(t, err)
	return problem, l.Layout
}

// inputOf is the page of layouts.
func inputOf(t testing.TB, problem pack.Problem, layouts ...pack.Layout) Input {
	t.Helper()
	in := Input{Problem: problem, Date: "2031-05-17", Written: []string{"out/layout-1.yaml"}}
	for i, l := range layouts {
		judged := export.Judged{Layout: l, Report: pack.Check(problem, l)}
		one := Layout{Judged: judged, Name: fmt.Sprintf("Layout %d", i+1)}
		if judged.Report.Holds() {
			plan, err := entry.Plan(context.Background(), problem, l, entry.Settings{})
			require.NoError(t, err)
			one.Entry = plan
		}
		in.Layouts = append(in.Layouts, one)
	}
	in.Verdict = func(u geom.Unit) []string {
		return []string{answer.HoldsWords(in.Problem, outcome.Judge(in.Problem, in.Layouts[0].Layout), u)}
	}
	return in
}

// crate is a problem with an opening that n boxes of a name fill in rows of ten, and the
// layout that does.
func crate(t testing.TB, name string, n int) (pack.Problem, pack.Layout) {
	t.Helper()
	const l, w, h, air = 100.0, 60.0, 80.0, 10.0
	columns := 10
	outline, err := geom.PolygonFromCorners([]r2.Point{{}, {X: 10 * (l + air)}, {X: 10 * (l + air), Y: 2 * (h + air)}, {Y: 2 * (h + air)}})
	require.NoError(t, err)
	f := &frame.Frame{Name: name + " bay", Opening: frame.Opening{
		Outline: outline, Sides: []string{"floor", "front", "top", "rear"}, Open: []bool{false, false, true, false}, Metal: true,
		Stations: []frame.Station{{Across: r1.Interval{Lo: -w - air, Hi: w + air}}},
	}}
	p := &pack.Pack{Name: name, Gaps: pack.DefaultGaps(), Kinds: []pack.Kind{{
		Name: name, Count: n, Size: r3.Vector{X: l, Y: w, Z: h}, Stands: []pack.Stand{pack.Upright}, Tilts: []s1.Angle{0}, Volts: 12,
		Posts: []pack.Post{{Name: "plus", Face: pack.Top, At: r2.Point{X: 20, Y: 30}, Diameter: 10, Polarity: "+"}},
	}}}
	problem, err := pack.NewProblem(f, p)
	require.NoError(t, err)
	var layout pack.Layout
	for i := range n {
		x, y, z := float64(i%columns), float64(i/columns%2), float64(i/columns/2)
		layout.Placements = append(layout.Placements, pack.Placement{
			Box: name, Number: i + 1, Orientation: pack.Orientation{Up: pack.Top},
			Centre: r3.Vector{X: (x + 0.5) * (l + air), Y: (y - 0.5) * (w + air), Z: (z + 0.5) * (h + air)},
		})
	}
	return problem, layout
}
