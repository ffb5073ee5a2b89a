package design_test

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/design"
	"rackwright/pack/rack/judge"
)

// leaning is two boxes on one level between lugs on two tubes, all of it turned nose down about the
// vehicle's cross axis, in an opening that is far around it.
func leaning(t *testing.T, degrees float64) (pack.Problem, pack.Layout) {
	t.Helper()
	m := geom.Motion{Turns: true, Along: r3.Vector{Y: 1}}
	tilt := s1.Angle(degrees) * s1.Degree
	turned := func(x, y, z float64) r3.Vector { return m.Point(r3.Vector{X: x, Y: y, Z: z}, tilt.Radians()) }
	text := func(v r3.Vector) string { return fmt.Sprintf("[%.9f, %.9f, %.9f]", v.X, v.Y, v.Z) }
	d := drawn{
		frame: fmt.Sprintf(`{format: 1, frame: leaning, opening: {outline: [[-900, -900], [900, -900], [900, 900], [-900, 900]], across: 600},
rails: [{name: cradle, path: [%s, %s], diameter: 25, mirror: true}],
mounts: [{name: front lug, at: %s, bolt: M8, mirror: true, faces: right, holds: hole}, {name: rear lug, at: %s, bolt: M8, mirror: true, faces: right, holds: hole}]}`,
			text(turned(-40, 110, -25)), text(turned(400, 110, -25)), text(turned(310, 70, 30)), text(turned(-20, 70, 30))),
		pack: fmt.Sprintf("{format: 1, pack: two, boxes: [{name: box, count: 2, size: [130, 110, 90], mass: 4, stand: [upright], tilt: [%g]}]}", degrees),
	}
	var l pack.Layout
	for i, x := range []float64{80, 213} {
		l.Placements = append(l.Placements, pack.Placement{
			Box: "box", Number: i + 1, Centre: turned(x, 0, 85),
			Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front, Tilt: tilt},
		})
	}
	return d.problem(t), l
}

// Boxes that stand tilted get the rack that they get when all is turned level, turned with them; the
// judge finds nothing wrong with it, and what it holds is reckoned with the vehicle's own directions:
// level boxes and tilted ones pull differently at the same rack.
func TestTiltedLevel(t *testing.T) {
	design1 := func(degrees float64) (pack.Problem, pack.Layout, *rack.Rack, judge.Report) {
		p, l := leaning(t, degrees)
		require.True(t, pack.Check(p, l).Holds())
		got, err := design.New(t.Context(), p, l, design.Settings{}, judged(p, l))
		require.NoError(t, err)
		require.Zero(t, got.Verdict.Violations, got.Why)
		report, err := judge.Judge(p, l, got.Rack, judge.Settings{})
		require.NoError(t, err)
		require.Empty(t, report.Violations)
		return p, l, got.Rack, report
	}
	_, _, level, straight := design1(0)
	p, l, tilted, report := design1(12)
	require.InDelta(t, 12, tilted.Tilt.Degrees(), 1e-9)
	back := tilted.Level()
	require.Len(t, back.Bars, len(level.Bars))
	for i, b := range level.Bars {
		require.Equal(t, b.Name, back.Bars[i].Name)
		require.InDelta(t, 0, b.From.Sub(back.Bars[i].From).Norm(), 1e-5)
		require.InDelta(t, 0, b.To.Sub(back.Bars[i].To).Norm(), 1e-5)
	}
	require.Len(t, back.Fasteners, len(level.Fasteners))
	require.Len(t, back.Pads, len(level.Pads))
	require.NotEqual(t, straight.Loads.Directions[0].Holds, report.Loads.Directions[0].Holds)

	var file, again bytes.Buffer
	require.NoError(t, rack.Write(&file, tilted))
	require.Contains(t, file.String(), "tilt_deg: 12\n")
	read, err := rack.Read(bytes.NewReader(file.Bytes()), "rack.yaml")
	require.NoError(t, err)
	require.NoError(t, rack.Write(&again, read))
	require.Equal(t, file.String(), again.String())
	report, err = judge.Judge(p, l, read, judge.Settings{})
	require.NoError(t, err)
	require.Empty(t, report.Violations)

	_, err = judge.Judge(p, l, level, judge.Settings{})
	require.ErrorContains(t, err, "box 1 is not tilted as the trays of the rack are, which is by 0° nose down")
	read.Bars = read.Bars[1:]
	report, err = judge.Judge(p, l, read, judge.Settings{})
	require.NoError(t, err)
	require.NotEmpty(t, report.Violations)
}

// Boxes at two tilts are no trays of one rack.
func TestTwoTilts(t *testing.T) {
	p, l := leaning(t, 12)
	p.Pack.Kinds[0].Tilts = append(p.Pack.Kinds[0].Tilts, 0)
	l.Placements[0].Tilt = 0
	l.Placements[0].Centre.X -= 60
	_, err := design.New(t.Context(), p, l, design.Settings{}, judged(p, l))
	require.ErrorIs(t, err, design.ErrTilts)
	require.ErrorContains(t, err, "such as tilt: [0]")
}
