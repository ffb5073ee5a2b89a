package design_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/design"
	"rackwright/pack/rack/judge"
)

const stackFrame = `{format: 1, frame: stack, opening: {outline: [[-200, -60], [500, -60], [500, 700], [-200, 700]], across: 400},
rails: [{name: cradle, path: [[-40, 110, -25], [400, 110, -25]], diameter: 25, mirror: true}],
mounts: [{name: front lug, at: [310, 70, 30], bolt: M8, mirror: true, faces: right, holds: hole}, {name: rear lug, at: [-20, 70, 30], bolt: M8, mirror: true, faces: right, holds: hole}]}`

// stack is two boxes on one level, and what they carry: a box at each of some places.
func stack(t *testing.T, size string, at ...r3.Vector) (pack.Problem, pack.Layout) {
	t.Helper()
	d := drawn{frame: stackFrame, pack: `{format: 1, pack: stack, gaps: {above: 4}, boxes: [{name: box, count: 2, size: [130, 110, 90], mass: 4, carries: 9, stand: [upright]},
{name: charger, count: 1, size: ` + size + `, mass: 1.5, carries: 3, stand: [upright]}]}`}
	p := d.problem(t)
	p.Pack.Kinds[1].Count = len(at)
	up := pack.Orientation{Up: pack.Top, Front: pack.Front}
	l := pack.Layout{Placements: []pack.Placement{
		{Box: "box", Number: 1, Orientation: up, Centre: r3.Vector{X: 80, Z: 85}},
		{Box: "box", Number: 2, Orientation: up, Centre: r3.Vector{X: 213, Z: 85}},
	}}
	for i, c := range at {
		l.Placements = append(l.Placements, pack.Placement{Box: "charger", Number: i + 1, Orientation: up, Centre: c})
	}
	require.True(t, pack.Check(p, l).Holds())
	require.True(t, pack.StandingOf(p, l).Stands())
	return p, l
}

// A box on two others, and one on each of two others, get a rack that the judge finds nothing wrong
// with; it finds what is wrong without a stop.
func TestBoxesThatOthersCarry(t *testing.T) {
	for _, c := range []struct {
		name, size string
		at         []r3.Vector
	}{
		{"on two", "[150, 80, 50]", []r3.Vector{{X: 146, Z: 159}}},
		{"on one", "[110, 80, 50]", []r3.Vector{{X: 80, Z: 159}}},
		{"one on each", "[100, 100, 60]", []r3.Vector{{X: 80, Z: 164}, {X: 213, Z: 164}}},
	} {
		p, l := stack(t, c.size, c.at...)
		got, err := design.New(t.Context(), p, l, design.Settings{}, judged(p, l))
		require.NoError(t, err, c.name)
		require.Zero(t, got.Verdict.Violations, "%s: %v", c.name, got.Why)
		report, err := judge.Judge(p, l, got.Rack, judge.Settings{})
		require.NoError(t, err)
		require.Empty(t, report.Violations, c.name)
		isStop := func(b rack.Bar) bool { return strings.Contains(b.Name, "end stop") }
		i := slices.IndexFunc(got.Rack.Bars, isStop)
		require.GreaterOrEqual(t, i, 0, c.name)
		without := got.Rack.Bars[i].Name
		got.Rack.Bars = slices.Delete(got.Rack.Bars, i, i+1)
		got.Rack.Pads = slices.DeleteFunc(got.Rack.Pads, func(p rack.Pad) bool { return p.To == without })
		report, err = judge.Judge(p, l, got.Rack, judge.Settings{NoLoads: true})
		require.NoError(t, err)
		require.True(t, slices.ContainsFunc(report.Violations, func(v judge.Violation) bool {
			return v.Rule == judge.Held && strings.Contains(v.Text, "nothing keeps charger")
		}), "%s: %v", c.name, report.Violations)
	}
}

// Boxes on boxes on boxes are told how they are made to stand on trays.
func TestBoxesThreeHigh(t *testing.T) {
	p, l := stack(t, "[100, 100, 40]", r3.Vector{X: 80, Z: 154}, r3.Vector{X: 80, Z: 198})
	_, err := design.New(t.Context(), p, l, design.Settings{}, judged(p, l))
	require.ErrorIs(t, err, design.ErrStacked)
	require.ErrorContains(t, err, "charger 2 stands on boxes that are themselves carried")
}
