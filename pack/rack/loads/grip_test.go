package loads

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack/rack"
	"rackwright/pack/rack/beam"
)

// What a clamp uses, by hand: 4 × 5000 N pressed on the rail, by 0.2, over 1.25, is 3200 N of slip (EN
// 1993-1-8 3.9.1); its bands lift an edge at 10 000 N × 25 mm / 6; about a rail of 28 mm a moment is a
// force at 14 mm; each closing bolt has what is left of 0.9 × 800 MPa × 20.1 mm² / 1.25 = 11.6 kN.
func TestWhatAClampHolds(t *testing.T) {
	c := rack.Clamp{Name: "clamp", Along: r3.Vector{X: 1}, Faces: r3.Vector{Z: 1}, Diameter: 28, Bolt: "M8"}
	require.InDelta(t, 5000, rack.ClampForce, 1e-9)
	require.InDelta(t, 3200, c.Slip(0), 1e-9)
	require.InDelta(t, 3200-0.2*1000/1.25, c.Slip(1000), 1e-9)
	require.Zero(t, c.Slip(20001))
	require.InDelta(t, 41667, c.Tilts(), 1)
	require.Equal(t, r3.Vector{Z: 14 + 3 + 12}, c.Face())
	const high = 29.0
	face := grip{at: c.Face(), clamp: c}
	middle := grip{at: c.At, clamp: c}
	for _, x := range []struct {
		what string
		g    grip
		by   beam.Carried
		want float64
	}{
		{"along, at its middle", middle, beam.Carried{Force: r3.Vector{X: 800}}, 800 / 3200.0},
		{"along, at its face", face, beam.Carried{Force: r3.Vector{X: -800}}, 800/3200.0 + 800*high/c.Tilts()},
		{"across, at its face", face, beam.Carried{Force: r3.Vector{Y: 800}}, 800 * high / 14 / 3200},
		{"turned about its rail", middle, beam.Carried{Moment: r3.Vector{X: 7000}}, 7000 / 14 / 3200.0},
		{"along and turned", middle, beam.Carried{Force: r3.Vector{X: 300}, Moment: r3.Vector{X: 14 * 400}}, 500 / 3200.0},
		{"tilted", middle, beam.Carried{Moment: r3.Vector{Y: 3000, Z: 4000}}, 5000 / c.Tilts()},
		{"pulled off", face, beam.Carried{Force: r3.Vector{Z: 2000}}, 1000 / (0.9*800*20.12/1.25 - 5000)},
		{"pulled off and along", middle, beam.Carried{Force: r3.Vector{X: 800, Z: 1000}}, 800 / c.Slip(1000)},
	} {
		require.InEpsilon(t, x.want, x.g.uses(x.by).use, 0.001, x.what)
	}
	require.Equal(t, "slip on its rail", middle.uses(beam.Carried{Force: r3.Vector{X: 1}}).how)
	require.Equal(t, "pull on the bolts that close it", face.uses(beam.Carried{Force: r3.Vector{Z: 2000}}).how)
}
