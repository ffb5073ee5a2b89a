package design_test

import (
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/design"
	"rackwright/pack/rack/judge"
)

// scooterFloor is a floor with four threads in it, our own invention.
const scooterFloor = `format: 1
frame: Floor
units: mm
accuracy: 1
opening: {outline: [[0, 0], [420, 0], [420, 260], [0, 260]], sides: [floor, front, top, back], open: [top], across: [-130, 130]}
mounts:
  - {name: rear floor bolt, at: [28, 40, 0], bolt: BOLT, mirror: true, faces: up, holds: thread}
  - {name: front floor bolt, at: [392, 40, 0], bolt: BOLT, mirror: true, faces: up, holds: thread}
`

const twoBlocks = `format: 1
pack: two blocks
units: mm
gaps: {beside: 3, above: 20, wall: 5, rail: 5, keepout: 5, post: 20, boot: 3}
boxes:
  - {name: block, count: 2, size: [150, 130, 110], mass: 6, stand: [upright], posts: [{name: plus, face: top, at: [30, 65], diameter: 12, height: 6, polarity: "+"}]}
`

func onFloor(t *testing.T, bolt string) (pack.Problem, pack.Layout) {
	t.Helper()
	p := drawn{frame: strings.ReplaceAll(scooterFloor, "BOLT", bolt), pack: twoBlocks}.problem(t)
	var l pack.Layout
	for i, x := range []float64{133, 287} {
		l.Placements = append(l.Placements, pack.Placement{
			Box: "block", Number: i + 1, Centre: r3.Vector{X: x, Z: 105}, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front},
		})
	}
	return p, l
}

// Where the bolt of a mount needs more metal around it than any flat has, the bar over it is cut from
// sheet; without sheet in the stock no rack is given that the bolt would tear out of.
func TestBoltsTooLargeForFlatsGetPlates(t *testing.T) {
	for bolt, want := range map[string]string{"M8": "flat 30x4", "M12": "plate 34x4"} { // 2 × 1.2 × 13.5 mm, in whole mm
		p, l := onFloor(t, bolt)
		got, err := design.New(t.Context(), p, l, design.Settings{}, judged(p, l))
		require.NoError(t, err)
		require.Zero(t, got.Verdict.Violations, "%s: %v", bolt, got.Verdict.Words)
		floor, ok := got.Rack.Bar("floor bar 1")
		require.True(t, ok)
		require.Equal(t, want, floor.Section.String())
		report, err := judge.Judge(p, l, got.Rack, judge.Settings{})
		require.NoError(t, err)
		require.Empty(t, report.Violations)
	}
	p, l := onFloor(t, "M12")
	stock := rack.DefaultStock()
	stock.Plates = nil
	got, err := design.New(t.Context(), p, l, design.Settings{Stock: stock}, judged(p, l))
	require.NoError(t, err)
	require.NotZero(t, got.Verdict.Violations)
	require.Contains(t, strings.Join(got.Verdict.Words, "\n"), "1.2 times the hole")
}

// Bolts into threads, through holes and nuts on studs all tie a rack; the stud is the vehicle's, and
// what is on it comes off along it.
func TestThreadsHolesAndStuds(t *testing.T) {
	for _, holds := range []frame.Holds{frame.Thread, frame.Hole, frame.Stud} {
		p, l := onFloor(t, "M8")
		for i := range p.Frame.Mounts {
			p.Frame.Mounts[i].Holds = holds
		}
		got, err := design.New(t.Context(), p, l, design.Settings{}, judged(p, l))
		require.NoError(t, err)
		require.Zero(t, got.Verdict.Violations, "%s: %v", holds, got.Verdict.Words)
		report, err := judge.Judge(p, l, got.Rack, judge.Settings{})
		require.NoError(t, err)
		require.Len(t, report.Loads.Directions, 6, "%s", holds)
		studs := 0
		for _, f := range got.Rack.Fasteners {
			if got.Rack.Stud(f) {
				studs++
			}
		}
		require.Equal(t, map[bool]int{true: 4, false: 0}[holds == frame.Stud], studs)
		for _, s := range report.Order {
			if studs > 0 && s.Name == "floor bar 1" {
				require.Less(t, s.Legs[len(s.Legs)-1].Z, -40.0, "onto its studs from above")
			}
		}
	}
}

// A rack that only holds too little is better than one that lacks room, however much too little.
func TestAskingForMoreThanARackHoldsGivesTheRack(t *testing.T) {
	p, l := onFloor(t, "M8")
	got, err := design.New(t.Context(), p, l, design.Settings{}, func(r *rack.Rack, loads bool) design.Verdict {
		report, err := judge.Judge(p, l, r, judge.Settings{Hold: 40, NoLoads: !loads})
		require.NoError(t, err)
		v := design.Verdict{Violations: len(report.Violations)}
		for _, x := range report.Violations {
			v.Off += x.By
			v.Words = append(v.Words, x.Text)
			if x.Unit == "g" {
				v.Weak = append(v.Weak, x.Parts...)
			}
		}
		return v
	})
	require.NoError(t, err)
	require.NotNil(t, got.Rack)
	require.Greater(t, got.Verdict.Violations, 1)
	require.Len(t, got.Verdict.Weak, got.Verdict.Violations, "%v", got.Verdict.Words)
}
