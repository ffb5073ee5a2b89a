package loads

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack/rack"
)

// A hole near the end of a flat carries less along it than across it, and the worse of both counts.
func TestBearingGoesByTheEdgesAroundAHole(t *testing.T) {
	m6, err := rack.ThreadOf("M6")
	require.NoError(t, err)
	flat := rack.Bar{Section: rack.Section{Form: rack.Flat, Width: 40, Thick: 3}, To: r3.Vector{X: 100}, A: r3.Vector{Y: 1}, B: r3.Vector{Z: 1}}
	hole := bored{flat, rack.Hole{Leg: rack.LegA, At: 92, Across: 20, Diameter: m6.Hole}}
	along, across := m6.Bearing(3, 8, 20), m6.Bearing(3, 20, 8)
	require.InEpsilon(t, 1000/along, hole.bearing(m6, r3.Vector{X: 1000}), 1e-12)
	require.InEpsilon(t, 1000/across, hole.bearing(m6, r3.Vector{Y: 1000, Z: 5000}), 1e-12)
	require.InEpsilon(t, 1000/min(along, across), hole.bearing(m6, r3.Vector{X: 1000, Y: 1000}), 1e-12)
}
