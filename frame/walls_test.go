package frame

import (
	"testing"

	"github.com/golang/geo/r1"
	"github.com/stretchr/testify/require"
)

func TestWidthAtAHeight(t *testing.T) {
	across := func(lo, hi float64) r1.Interval { return r1.Interval{Lo: lo, Hi: hi} }
	stations := []Station{{Z: 0, Across: across(-110, 110)}, {Z: 300, Across: across(-140, 140)}, {Z: 400, Across: across(-100, 140)}}
	for z, want := range map[float64]r1.Interval{
		-5: across(-110, 110), 0: across(-110, 110), 150: across(-125, 125), 300: across(-140, 140),
		350: across(-120, 140), 400: across(-100, 140), 999: across(-100, 140),
	} {
		require.Equal(t, want, Opening{Stations: stations}.AcrossAt(z))
	}
}
