package loads

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack/rack"
)

// Where the metal around a hole gives, thicker metal would do; else what would do for the part.
func TestWhatWouldDoAroundAHole(t *testing.T) {
	flat := rack.Section{Form: rack.Flat, Width: 30, Thick: 4}
	r := &rack.Rack{Bars: []rack.Bar{{Name: "upright", Section: flat}}, Fasteners: []rack.Fastener{{Name: "bolt", Size: "M6", Class: "8.8"}}}
	hole := Direction{Weakest: "bolt", How: tears + "upright"}
	require.Equal(t, "the metal around its hole in upright gives; metal of 6 mm would do there, or a hole farther from its edges", hole.WouldDo(r, 1.3))
	shank := Direction{Weakest: "bolt", How: "tension and shear"}
	require.Equal(t, WouldDo(r, "bolt", 1.5), shank.WouldDo(r, 1.5))
}

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
