package whatif_test

import (
	"context"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/whatif"
)

// A box put by hand into a rail that unbolts and 7 mm too near to a tank (derived): what
// it takes is both, the notch no deeper than that and as large as the box and its gap.
func TestWhatALayoutTakes(t *testing.T) {
	f := chest(200, 200, 150)
	f.KeepOuts = []frame.KeepOut{block("tank", r3.Vector{X: -50, Y: -50, Z: 88}, r3.Vector{X: 250, Y: 250, Z: 150}, 20)}
	f.Rails = []frame.Rail{tube("low", 100, 60, true), tube("far", 100, 400, true), tube("fixed", 100, -60, false)}
	p := problem(f, kind("b", 1, 100, 100, 90))
	layout := pack.Layout{Placements: []pack.Placement{{
		Box: "b", Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}, Centre: r3.Vector{X: 100, Y: 100, Z: 45},
	}}}
	c, ok := whatif.Taken(context.Background(), p, layout, settings())
	require.True(t, ok)
	require.ElementsMatch(t, []string{"low", "tank"}, c.Names())
	require.Equal(t, layout, c.Layout)
	require.InDelta(t, 7, c.Depth(), 0.02)
	require.InDelta(t, 110, c.Notches[0].Size().X, 0.05)
	require.True(t, c.Report.Holds())
	requireRoom(t, f, c)

	f.KeepOuts[0].Trim = 6.9
	_, ok = whatif.Taken(context.Background(), p, layout, settings())
	require.False(t, ok, "deeper than is allowed")
	f.KeepOuts = nil
	c, ok = whatif.Taken(context.Background(), p, layout, settings())
	require.True(t, ok)
	require.Equal(t, []string{"low"}, c.Names())
	f.Rails[0].Removable = false
	_, ok = whatif.Taken(context.Background(), p, layout, settings())
	require.False(t, ok)
}

// 5.3 mm are needed, and 8.3 are to spare elsewhere: the notch is cut wider, but to no more
// than the next whole millimetre, whatever the trim.
func TestWhatALayoutTakesIsShallow(t *testing.T) {
	for _, trim := range []float64{20, 6.5, 6} {
		f := chest(200, 200, 150)
		f.KeepOuts = []frame.KeepOut{block("tank", r3.Vector{X: -50, Y: -50, Z: 88}, r3.Vector{X: 250, Y: 250, Z: 150}, trim)}
		layout := pack.Layout{Placements: []pack.Placement{{
			Box: "b", Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}, Centre: r3.Vector{X: 100, Y: 100, Z: 48.3},
		}}}
		c, ok := whatif.Taken(context.Background(), problem(f, kind("b", 1, 100, 100, 80)), layout, settings())
		require.True(t, ok)
		require.Greater(t, c.Depth(), 5.3)
		require.LessOrEqual(t, c.Depth(), 6.0, "of %g", trim)
	}
}
