package rackplan

import (
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack/rack/detour"
)

// A tube through the lower row of boxes goes round them and the rack; the template has each piece
// with its length and each bend with its angle, and the words say who decides.
func TestRemovalOnTheTrailBike(t *testing.T) {
	a := example(t)
	was := *a.Problem.Frame
	was.Rails = append([]frame.Rail{}, was.Rails...)
	was.Rails = append(was.Rails, frame.Rail{Name: "brace", Path: []r3.Vector{{X: -60, Y: 30, Z: 100}, {X: 420, Y: 30, Z: 100}}, Diameter: 25, Removable: true})
	all := Removals(&was, []string{"brace"}, a.Problem, a.Layout, a.Rack)
	require.Len(t, all, 1)
	require.Equal(t, 480.0, all[0].Was)
	require.NotNil(t, all[0].Way, all[0].Why)
	text := strings.Join(all[0].Words(), "\n")
	require.Contains(t, text, "it carries the vehicle")
	require.Contains(t, text, "someone qualified")
	require.Greater(t, all[0].Way.Length(), 480.0)
	line := flat(*all[0].Way)
	for i, l := range all[0].Way.Pieces() {
		require.InDelta(t, l, line[i+1].Sub(line[i]).Norm(), 1e-9)
	}
	for i, bend := range all[0].Way.Bends() {
		x, y := line[i+1].Sub(line[i]), line[i+2].Sub(line[i+1])
		require.InDelta(t, bend, math.Acos(x.Dot(y)/x.Norm()/y.Norm())*180/math.Pi, 1e-6)
	}
	b, size := all[0].Template().Bounds(), all[0].Template().Size
	require.True(t, b.X.Lo >= 0 && b.Y.Lo >= 0 && b.X.Hi <= size.X && b.Y.Hi <= size.Y)
	require.Empty(t, Removals(&was, nil, a.Problem, a.Layout, a.Rack))
}

// Two bends against each other lie as a Z, two to the same side as a U; both are flat.
func TestBendsLieFlat(t *testing.T) {
	z := detour.Way{Diameter: 20, Points: []r3.Vector{{}, {X: 100}, {X: 100, Y: 100}, {X: 200, Y: 100}}}
	u := detour.Way{Diameter: 20, Points: []r3.Vector{{}, {X: 100}, {X: 100, Y: 100}, {Y: 100}}}
	for way, want := range map[*detour.Way]float64{&z: math.Hypot(200, 100), &u: 100} {
		line := flat(*way)
		require.InDelta(t, want, line[3].Sub(line[0]).Norm(), 1e-9)
		require.InDelta(t, 0, twistOf(*way), 1e-9)
		left, right := beside(line, 10), beside(line, -10)
		require.InDelta(t, 20, left[0].Sub(right[0]).Norm(), 1e-9)
		require.InDelta(t, 20*math.Sqrt2, left[1].Sub(right[1]).Norm(), 1e-9) // a mitre of 45 degrees
	}
	require.Equal(t, r2.Point{}, flat(z)[0])
}
