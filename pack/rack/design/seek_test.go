package design_test

import (
	"fmt"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/rack/design"
	"rackwright/pack/rack/judge"
)

// The trail example has a post on the end of each box: with these on the side of the seat post's
// upright no rack goes in, with the boxes turned half round one does. The judge imports no designer.
func TestBoxesTurnedHalfRound(t *testing.T) {
	p := example(t, "trail")
	got := seek(t, p)
	require.True(t, got.Sound() && !got.Weak(), got.Result.Why)
	report, err := judge.Judge(p, got.Layout, got.Result.Rack, judge.Settings{})
	require.NoError(t, err)
	require.Empty(t, report.Violations)
	require.True(t, pack.Check(p, got.Layout).Holds())
}

// Boxes that stand on five levels do not hang; they are told to be too many levels.
func TestTooManyLevels(t *testing.T) {
	d := drawn{
		frame: "{format: 1, frame: tower, opening: {outline: [[0, 0], [140, 0], [140, 600], [0, 600]], across: 190}}",
		pack:  "{format: 1, pack: five, boxes: [{name: box, count: 5, size: [100, 80, 40], stand: [upright]}]}",
	}
	p, l := d.problem(t), pack.Layout{}
	for i := range 5 {
		l.Placements = append(l.Placements, pack.Placement{Box: "box", Number: i + 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}, Centre: r3.Vector{X: 70, Z: 50 + 100*float64(i)}})
	}
	_, err := design.New(t.Context(), p, l, design.Settings{}, judged(p, l))
	require.ErrorIs(t, err, design.ErrManyLevels)
	require.ErrorContains(t, err, "5 levels")
	require.NotContains(t, err.Error(), "hang")
}

// Where no rows leave room the error tells which come nearest, by how much and at what; in an opening
// that is longer by that they do. Here end bars want 8 mm at either end of a box of 100 mm.
func TestNoRowsTellsWhatLacks(t *testing.T) {
	at := func(long int) design.Tried {
		d := drawn{
			frame: fmt.Sprintf("{format: 1, frame: short, opening: {outline: [[0, 0], [%d, 0], [%d, 200], [0, 200]], across: 220, sides: [floor, front, top, rear]}, mounts: [{name: lug, at: [20, 60, 20], bolt: M8, faces: right, holds: hole}, {name: lug 2, at: [20, -60, 20], bolt: M8, faces: left, holds: hole}]}", long, long),
			pack:  "{format: 1, pack: one, boxes: [{name: box, size: [100, 80, 90], stand: [upright]}, {name: wide, size: [100, 80, 90], stand: [upright]}]}",
		}
		return seek(t, d.problem(t))
	}
	require.NotErrorIs(t, at(116).Err, design.ErrNoRows)
	short := at(106).Err
	require.ErrorIs(t, short, design.ErrNoRows)
	var none design.NoRows
	require.ErrorAs(t, short, &none)
	require.Len(t, none.Wants, 1)
	require.InDelta(t, 10, none.Sum(), 1)
	require.ErrorContains(t, short, "change the frame file")
}
