package design_test

import (
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/rack/design"
	"rackwright/pack/rack/judge"
)

// legBench is an opening with four mounts, and two boxes over or under these.
func legBench(faces string) drawn {
	mount := func(name, x string) string {
		return strings.NewReplacer("NAME", name, "AT", x, "FACES", faces).Replace("  - {name: NAME lug, at: [AT, 70, HIGH], bolt: M8, mirror: true, faces: FACES, holds: hole, thick: 5}\n")
	}
	at, open := "0", "top"
	if faces == "down" {
		at, open = "420", "front"
	}
	return drawn{
		frame: strings.NewReplacer("HIGH", at, "OPEN", open).Replace(`format: 1
frame: bench
opening: {outline: [[0, 0], [520, 0], [520, 420], [0, 420]], sides: [floor, front, top, rear], open: [OPEN], across: 300}
mounts:
` + mount("front", "430") + mount("rear", "90")),
		pack: "{format: 1, pack: two, boxes: [{name: block, count: 2, size: [150, 110, 120], mass: 7, stand: [upright]}]}",
	}
}

// Mounts that face up far below a tray get legs, and from mounts that face down it hangs; the judge
// finds no rule broken.
func TestLegsAndHangers(t *testing.T) {
	for _, c := range []struct {
		faces, bar string
		z          float64
	}{{"up", "foot bar", 200}, {"down", "hanger bar", 100}} {
		p := legBench(c.faces).problem(t)
		var l pack.Layout
		for i, x := range []float64{183, 337} {
			l.Placements = append(l.Placements, pack.Placement{
				Box: "block", Number: i + 1, Centre: r3.Vector{X: x, Z: c.z}, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front},
			})
		}
		got, err := design.New(t.Context(), p, l, design.Settings{}, judged(p, l))
		require.NoError(t, err)
		require.NotNil(t, got.Rack, "%s: %v", c.faces, got.Why)
		require.Zero(t, got.Verdict.Violations, "%s: %v", c.faces, got.Why)
		bars := 0
		for _, b := range got.Rack.Bars {
			if strings.Contains(b.Name, c.bar) {
				bars++
			}
		}
		require.Equal(t, 2, bars, c.faces)
		report, err := judge.Judge(p, l, got.Rack, judge.Settings{})
		require.NoError(t, err)
		require.Empty(t, report.Violations)
		for _, d := range report.Loads.Directions {
			require.GreaterOrEqual(t, d.Holds, float64(judge.Aim), "%s %s", c.faces, d.Name)
		}
	}
}
