package inspection

import (
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/export/drawing"
	"rackwright/export/rackplan"
	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
	"rackwright/pack/rack/rackkit"
	"rackwright/pack/wire"
)

func open(t *testing.T, path string) *os.File {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	t.Cleanup(func() { f.Close() })
	return f
}

func exampleOf(t *testing.T, name, packName string) pack.Problem {
	t.Helper()
	f, err := frame.Read(open(t, "../../testdata/"+name+"/frame.yaml"), "frame")
	require.NoError(t, err)
	k, err := pack.Read(open(t, "../../testdata/"+name+"/"+packName), "pack")
	require.NoError(t, err)
	p, err := pack.NewProblem(f, k)
	require.NoError(t, err)
	return p
}

// made is full, which takes a while.
var made *Input

// full is the trail with a rack, its wiring and a vehicle.
func full(t *testing.T) Input {
	t.Helper()
	if made != nil {
		return *made
	}
	p := exampleOf(t, "trail", "pack.yaml")
	layout := rackkit.Layout(t, "../../testdata/trail/rack-layout.yaml")
	kg := func(v float64) *float64 { return &v }
	p.Frame.Vehicle = &frame.Vehicle{Wheels: []frame.Wheel{
		{Name: "front", At: r2.Point{X: 780}, Radius: 300, Weighed: kg(58), Before: kg(71), Allowed: kg(60)},
		{Name: "rear", At: r2.Point{X: -560}, Radius: 300, Weighed: kg(71), Before: kg(82), Allowed: kg(230)},
	}}
	r, err := rack.Read(open(t, "../../pack/rack/judge/testdata/trail-rack.yaml"), "rack")
	require.NoError(t, err)
	report, err := judge.Judge(p, layout, r, judge.Settings{})
	require.NoError(t, err)
	plan, err := wire.Make(p, layout, wire.Settings{})
	require.NoError(t, err)
	made = &Input{
		Problem: p, Layout: &layout, Name: "layout.yaml", Date: "2020-02-02", Wiring: &plan,
		Rack: &rackplan.Answer{Problem: p, Layout: layout, Rack: r, Report: report},
	}
	return *made
}

// inputs are all examples with nothing else known, and one with everything.
func inputs(t *testing.T) map[string]Input {
	t.Helper()
	all := map[string]Input{"trail with all": full(t)}
	for _, name := range []string{"trail", "courier", "cargo", "lane"} {
		all[name] = Input{Problem: exampleOf(t, name, "pack.yaml")}
	}
	return all
}

func words(in Input, u geom.Unit) string {
	text := []string{in.Title(), Foot}
	for _, s := range Sections(in, u) {
		text = append(append(append(text, s.Title), s.Ticks...), s.Notes...)
		for _, f := range s.Fields {
			text = append(text, f.Label, f.Value)
		}
		if s.Table != nil {
			text = append(text, strings.Join(s.Table.Head, " "))
			for _, r := range s.Table.Rows {
				text = append(text, strings.Join(r, " "))
			}
		}
	}
	return strings.Join(text, "\n")
}

// Nothing on the sheet claims that anything is lawful, fit for the road or without danger, and no
// sum is called what the rule calls a mass in running order: it leaves the batteries out.
func TestNothingIsClaimed(t *testing.T) {
	claim := regexp.MustCompile(`(?i)\b(il)?legal|\blawful|\bsafe|complian|\bcompl(y|ies)|approv|roadworth|road-worth|certif|permitted|\bpass(es|ed)\b|running order|\bmeets\b|guarant`)
	for name, in := range inputs(t) {
		for _, u := range []geom.Unit{geom.Millimetre, geom.Inch} {
			require.Empty(t, claim.FindAllString(words(in, u), -1), name)
		}
	}
	require.Contains(t, words(full(t), geom.Millimetre), "None of these rules is about this vehicle.")
	for _, l := range rackplan.Levels() { // each with what it is about
		require.Contains(t, words(full(t), geom.Millimetre), l.Rule+": "+l.About)
	}
}

// What is not known is a blank, never a nought or a word.
func TestUnknownIsBlank(t *testing.T) {
	in := Input{Problem: exampleOf(t, "courier", "pack.yaml")}
	for _, s := range Sections(in, geom.Millimetre) {
		for _, f := range s.Fields {
			if f.Label != "What is packed" {
				require.Empty(t, f.Value, f.Label)
			}
		}
		if s.Table != nil && s.Title == "Loads on the wheels" {
			for _, r := range s.Table.Rows {
				require.Empty(t, strings.Join(r[1:], ""))
			}
		}
	}
	for _, s := range Sections(full(t), geom.Millimetre) {
		for _, f := range s.Fields {
			blank := regexp.MustCompile(`maker|Make|ticket|widest|rame number`).MatchString(f.Label)
			require.Equal(t, blank, f.Value == "", "%s: %s", f.Label, f.Value)
		}
	}
	require.Contains(t, words(full(t), geom.Millimetre), "The front wheel bears")
}

// The sheet is one page of either paper, and all of it is within what home printers print.
func TestOneSheet(t *testing.T) {
	for name, in := range inputs(t) {
		for _, word := range Papers {
			paper, err := drawing.ParsePaper(word)
			require.NoError(t, err)
			for _, u := range []geom.Unit{geom.Millimetre, geom.Inch} {
				pages := Pages(in, u, paper)
				require.Len(t, pages, 1, "%s on %s", name, word)
				for _, text := range pages[0].Texts {
					area := text.Area()
					require.True(t, area.X.Lo >= 10 && area.X.Hi <= paper.Size.X-10 && area.Y.Lo >= 10 && area.Y.Hi <= paper.Size.Y-10, "%s: %v", text.Line, area)
					require.GreaterOrEqual(t, text.Size, 1.8, "%s on %s: %s", name, word, text.Line)
				}
			}
		}
	}
}

// Box, rack and cable each cover a frame number that lies behind them (derived: the line of sight
// runs through a point of them).
func TestBoxRackAndCableCoverTheNumber(t *testing.T) {
	in := full(t)
	behind := func(at r3.Vector) []string {
		f := *in.Problem.Frame
		f.Number = &frame.Number{At: r3.Vector{X: at.X, Y: -3000, Z: at.Z}, SeenFrom: frame.FromLeft}
		moved := in
		moved.Problem.Frame = &f
		return Covering(moved)
	}
	box := in.Layout.Placements[0]
	require.Contains(t, behind(box.Centre), box.Part().String())
	bar := in.Rack.Rack.Bars[0]
	low, high := geom.Bounds(bar.Solids()...)
	require.Contains(t, behind(low.Add(high).Mul(0.5)), bar.Name)
	cable := in.Wiring.Cables()[0]
	middle := cable.Path.Points[len(cable.Path.Points)/2]
	require.Contains(t, strings.Join(behind(middle), "\n"), fmt.Sprintf("the cable from %s to %s", cable.From, cable.To))
	require.Empty(t, behind(r3.Vector{X: 9000, Z: 9000}))
}
