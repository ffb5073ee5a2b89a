package design_test

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/design"
	"rackwright/pack/rack/judge"
	"rackwright/pack/rack/rackkit"
)

func problem(t testing.TB, dir, framePath, packPath string) pack.Problem {
	t.Helper()
	open := func(name string) *os.File {
		f, err := os.Open(filepath.Join(dir, name))
		require.NoError(t, err)
		t.Cleanup(func() { f.Close() })
		return f
	}
	f, err := frame.Read(open(framePath), framePath)
	require.NoError(t, err)
	p, err := pack.Read(open(packPath), packPath)
	require.NoError(t, err)
	out, err := pack.NewProblem(f, p)
	require.NoError(t, err)
	return out
}

// judged asks the judge of racks, as the command does.
func judged(p pack.Problem, l pack.Layout) design.Judge {
	return func(r *rack.Rack, loads bool) design.Verdict {
		report, err := judge.Judge(p, l, r, judge.Settings{NoLoads: !loads, Briefly: true})
		v := design.Verdict{Violations: len(report.Violations)}
		if err != nil {
			v.Violations++
		}
		for _, x := range report.Violations {
			v.Off += x.By
			v.Words = append(v.Words, x.Text)
			if x.Unit == "g" {
				v.Weak = append(v.Weak, x.Parts...)
			}
		}
		return v
	}
}

// The examples with a standing layout get a rack that breaks no rule, is read back as it was
// written, and comes out the same every time.
func TestExamples(t *testing.T) {
	const root = "../../../"
	for _, c := range []struct{ dir, frame, pack, layout string }{
		{root + "testdata/trail", "frame.yaml", "pack.yaml", "rack-layout.yaml"},
		{root + "cmd/rackwright/starter", "frame.yaml", "pack.yaml", "rack-layout.yaml"},
	} {
		p := problem(t, c.dir, c.frame, c.pack)
		l := rackkit.Layout(t, filepath.Join(c.dir, c.layout))
		got, err := design.New(t.Context(), p, l, design.Settings{}, judged(p, l))
		require.NoError(t, err)
		require.Zero(t, got.Verdict.Violations, "%s: %v", c.dir, got.Verdict.Words)
		var file, again bytes.Buffer
		require.NoError(t, rack.Write(&file, got.Rack))
		back, err := rack.Read(bytes.NewReader(file.Bytes()), "rack.yaml")
		require.NoError(t, err)
		require.NoError(t, rack.Write(&again, back))
		require.Equal(t, file.String(), again.String())
		report, err := judge.Judge(p, l, back, judge.Settings{})
		require.NoError(t, err)
		require.Empty(t, report.Violations)
		if testing.Short() {
			return
		}
	}
}

// What is not there for a rack is asked for by name, in words that a builder can act on.
func TestRefusals(t *testing.T) {
	const dir = "../../../testdata/trail"
	l := rackkit.Layout(t, dir+"/rack-layout.yaml")
	for _, c := range []struct {
		name, says string
		do         func(p *pack.Problem, l *pack.Layout)
	}{
		{"a mount that does not say where it faces", `"front engine mount" lacks what a rack needs to know: look at it, and add faces`, func(p *pack.Problem, _ *pack.Layout) {
			p.Frame.Mounts[0].Faces = p.Frame.Mounts[0].Faces.Mul(0)
		}},
		{"a mount that does not say what holds its bolt", "add holds (thread, hole or stud", func(p *pack.Problem, _ *pack.Layout) { p.Frame.Mounts[0].Holds = "" }},
		{"a mount without bolt", "add bolt (its size", func(p *pack.Problem, _ *pack.Layout) { p.Frame.Mounts[1].Bolt = "" }},
		{"a bolt in inches", "is no bolt that racks are made with", func(p *pack.Problem, _ *pack.Layout) { p.Frame.Mounts[1].Bolt = "3/8" }},
		{"no mounts", "no mounts to tie a rack to", func(p *pack.Problem, _ *pack.Layout) { p.Frame.Mounts = nil }},
		{"a mount inside a box", "is inside block", func(p *pack.Problem, l *pack.Layout) { p.Frame.Mounts[0].At = l.Placements[0].Centre }},
		{"a mount on no metal", "is on no metal: ", func(p *pack.Problem, _ *pack.Layout) { p.Frame.Mounts[0].At.X, p.Frame.Mounts[0].At.Z = 900, 900 }},
		{"something that hangs by a point in the air", "motor hangs on the rack at [100, 0, 20], which is not on a face of it", func(p *pack.Problem, _ *pack.Layout) {
			p.Frame.KeepOuts = append(slices.Clone(p.Frame.KeepOuts), frame.KeepOut{Name: "motor", Mass: 3, Hangs: []frame.Hang{{At: r3.Vector{X: 100, Z: 20}, Bolt: "M6"}}})
		}},
		{"a tilted box", "all trays of a rack have one tilt", func(_ *pack.Problem, l *pack.Layout) { l.Placements[0].Tilt = 0.1 }},
		{"boxes in the air", "hang in the air", func(_ *pack.Problem, l *pack.Layout) { l.Placements[4].Centre.Z -= 40 }},
		{"five levels", "its boxes stand on 5 levels", func(_ *pack.Problem, l *pack.Layout) {
			for i := range l.Placements {
				l.Placements[i].Centre.Z += float64(3 * i)
			}
		}},
	} {
		p := problem(t, dir, "frame.yaml", "pack.yaml")
		layout := pack.Layout{Placements: append([]pack.Placement(nil), l.Placements...)}
		c.do(&p, &layout)
		_, err := design.New(t.Context(), p, layout, design.Settings{}, judged(p, layout))
		require.ErrorContains(t, err, c.says, c.name)
	}
}
