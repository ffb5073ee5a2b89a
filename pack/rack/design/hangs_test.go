package design_test

import (
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/rack/design"
)

// hangBench is an opening with mounts in its floor, and something that hangs on the rack.
func hangBench(what string) drawn {
	return drawn{
		frame: `format: 1
frame: bench
opening: {outline: [[0, 0], [520, 0], [520, 300], [0, 300]], sides: [floor, front, top, rear], open: [top], across: 300}
mounts:
  - {name: front lug, at: [300, 80, 0], bolt: M8, mirror: true, faces: up, holds: thread}
  - {name: rear lug, at: [140, 80, 0], bolt: M8, mirror: true, faces: up, holds: thread}
keepouts:
  - {name: motor plate, mass: 2, metal: true, ` + what + `}
`,
		pack: "{format: 1, pack: two, boxes: [{name: block, count: 2, size: [150, 110, 120], mass: 7, stand: [upright]}]}",
	}
}

// What hangs on the rack gets a tie of its own at each of its points, whichever side of the rack it is on:
// the judge, which imports no designer, asks for a bolt there that draws a bar against it.
func TestTiesOfWhatHangs(t *testing.T) {
	for _, c := range []struct {
		name, what string
		ties       int
	}{
		{"beside", "box: {low: [200, 135, 20], high: [260, 141, 120]}, hangs_on_rack: [{at: [230, 135, 60], bolt: M8}]", 1},
		{"in front", "box: {low: [440, -60, 20], high: [446, 60, 140]}, hangs_on_rack: [{at: [440, 40, 60], bolt: M8}, {at: [440, -40, 60], bolt: M8}]", 2},
		{"in front, at the bar", "box: {low: [440, -60, 20], high: [446, 60, 140]}, hangs_on_rack: [{at: [440, 0, 34], bolt: M6}]", 1},
		{"below", "box: {low: [190, -60, -6], high: [230, 60, 2]}, hangs_on_rack: [{at: [210, 40, 2], bolt: M8}]", 1},
		{"higher", "box: {low: [440, -60, 100], high: [446, 60, 240]}, hangs_on_rack: [{at: [440, 0, 200], bolt: M6}]", 1},
	} {
		got := seek(t, hangBench(c.what).problem(t))
		require.True(t, got.Sound() && !got.Weak(), "%s: %v %v", c.name, got.Err, got.Result.Why)
		ties := 0
		for _, f := range got.Result.Rack.Fasteners {
			if strings.HasSuffix(f.Name, "to motor plate") {
				ties++
			}
		}
		require.Equal(t, c.ties, ties, c.name)
		if testing.Short() {
			return
		}
	}
}

// A point that is not on a face of what hangs, and one that no bar reaches, are told.
func TestWhatCannotHang(t *testing.T) {
	off := seek(t, hangBench("box: {low: [200, 135, 20], high: [260, 141, 120]}, hangs_on_rack: [{at: [230, 130, 60], bolt: M8}]").problem(t))
	require.ErrorContains(t, off.Err, "motor plate hangs on the rack at [230, 130, 60], which is not on a face of it")
	p := hangBench("box: {low: [200, -20, 260], high: [260, 20, 266]}, hangs_on_rack: [{at: [230, 0, 260], bolt: M8}]").problem(t)
	var l pack.Layout
	for i, x := range []float64{143, 297} {
		l.Placements = append(l.Placements, pack.Placement{
			Box: "block", Number: i + 1, Centre: r3.Vector{X: x, Z: 87}, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front},
		})
	}
	got, err := design.New(t.Context(), p, l, design.Settings{}, judged(p, l))
	require.NoError(t, err)
	require.Nil(t, got.Rack)
	require.Contains(t, strings.Join(got.Why, " "), "no straight bar of the tray reaches it there")
}
