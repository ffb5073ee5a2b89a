package design

import (
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack/rack"
)

// Uprights between trays that are too weak as flats become plates, the narrowest that is stronger;
// where no sheet is on hand, angle.
func TestWeakUprightsBecomePlates(t *testing.T) {
	section := func(text string) rack.Section {
		s, err := rack.ParseSection(text)
		require.NoError(t, err)
		return s
	}
	c := measures{riser: section("flat 30x4"), upright: section("angle 30x30x3"), angle: section("angle 25x25x3")}
	d := &designer{}
	next, name, ok := d.stronger(c, "upper upright 1a", rack.DefaultStock())
	require.True(t, ok)
	require.Equal(t, "plate 40x4", name)
	require.Equal(t, section(name), next.riser)
	next, name, ok = d.stronger(next, "upper upright 1a", rack.DefaultStock())
	require.True(t, ok)
	require.Equal(t, "plate 60x4", name)
	require.Equal(t, section(name), next.riser)
	bare := rack.DefaultStock()
	bare.Plates = nil
	_, name, ok = d.stronger(c, "upper upright 1a", bare)
	require.True(t, ok)
	require.Contains(t, name, "angle ")
}
