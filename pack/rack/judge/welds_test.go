package judge_test

import (
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
)

func onWeld(name string, do func(w *rack.Weld)) func(*rack.Rack) {
	return func(r *rack.Rack) {
		i := slices.IndexFunc(r.Welds, func(w rack.Weld) bool { return w.Name == name })
		do(&r.Welds[i])
	}
}

// weldSpoils are done to the welded rack: their names say weld.
func weldSpoils() []spoil {
	const seam = "weld lower seam bar 1 to lower side member left"
	return []spoil{
		{"weld to a mount", judge.FrameUntouched, onWeld(seam, func(w *rack.Weld) { w.Joins[1] = "rear engine mount left" })},
		{"weld from tray to tray", judge.Assembly, onWeld(seam, func(w *rack.Weld) { w.Joins[1] = "upper side member left" })},
		{"weld of an upright", judge.Assembly, onWeld(seam, func(w *rack.Weld) { w.Joins[1] = "lower upright 1a" })},
		{"weld of a hold-down", judge.Assembly, onWeld(seam, func(w *rack.Weld) { w.Joins[1] = "lower hold-down 1" })},
		{"weld too thick for its bars", judge.Holds, onWeld(seam, func(w *rack.Weld) { w.Throat = 2.2 })},
		{"weld too thin", judge.Holds, onWeld(seam, func(w *rack.Weld) { w.Throat = 1.4 })},
		{"weld too short", judge.Holds, onWeld(seam, func(w *rack.Weld) { w.Runs = w.Runs[:1] })},
		{"weld beside its bars", judge.Holds, onWeld(seam, func(w *rack.Weld) {
			for i := range w.Runs {
				w.Runs[i].From.X, w.Runs[i].To.X = w.Runs[i].From.X+0.5, w.Runs[i].To.X+0.5
			}
		})},
		{"welds of a bar gone", judge.Holds, func(r *rack.Rack) {
			r.Welds = slices.DeleteFunc(r.Welds, func(w rack.Weld) bool { return w.Joins[0] == "lower seam bar 1" })
		}},
		{"a nut on a weld", judge.Room, func(r *rack.Rack) {
			f := fastener(r, "lower rod 1 left")
			f.From, f.To = f.From.Add(r3.Vector{X: -8}), f.To.Add(r3.Vector{X: -8})
		}},
	}
}

// A welded rack keeps the rules, its trays come as one each, and no bolt is where a weld is.
func TestWeldedRack(t *testing.T) {
	p, l, r := trailWith(t, "testdata/trail-welded.yaml")
	report, err := judge.Judge(p, l, r, judge.Settings{})
	require.NoError(t, err)
	require.Empty(t, report.Violations)
	require.Less(t, report.Loads.Balance, 1e-6)
	trays := map[string]int{}
	for _, s := range report.Order {
		if len(s.Bars) > 0 {
			trays[s.Name] = len(s.Bars)
			require.NotEmpty(t, s.Legs)
		}
	}
	require.Equal(t, map[string]int{"lower tray": 5, "upper tray": 8}, trays)
	names := map[string]bool{}
	for _, f := range r.Fasteners {
		names[f.Name] = true
	}
	for _, w := range r.Welds {
		for _, side := range []string{"left", "right"} {
			require.False(t, names["bolt "+w.Joins[0]+" "+side], "no bolt where %s is", w.Name)
		}
	}
}
