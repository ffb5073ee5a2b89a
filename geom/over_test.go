package geom

import (
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// gapOver is GapAlong, to the bit, wherever that is no less than what it is asked for, and else
// less than that.
func TestGapOverAgainstGapAlong(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, u := anySolid(t), anySolid(t), rotation(t, "u")[0]
		gap := GapAlong(a, b, u)
		if least := number(t, -500, 500, "least"); gap >= least {
			require.Equal(t, gap, gapOver(a, b, u, least))
		} else {
			require.Less(t, gapOver(a, b, u, least), least)
		}
		require.Equal(t, gap, gapOver(a, b, u, gap))
	})
}

// counted counts the corners that are looked at.
type counted struct {
	of     Polyhedron
	looked *int
}

func (c counted) Extent(u r3.Vector) r1.Interval { return c.of.Extent(u) }
func (c counted) Normals() []r3.Vector           { return c.of.Normals() }
func (c counted) Round() bool                    { return false }

func (c counted) lowest(u r3.Vector, floor float64) float64 {
	for k, q := range c.of.shape.corners {
		if u.Dot(q) < floor {
			*c.looked += k + 1
			return u.Dot(q)
		}
	}
	*c.looked += len(c.of.shape.corners)
	return c.of.lowest(u, floor)
}

// What a wheel is swept through has some 200 corners and 100 faces: of the 20,000 projections of
// all on all a tenth is enough to find the widest sheet.
func TestFewCornersDecideASheet(t *testing.T) {
	wheel := PolyhedronAround(Cylinder{From: r3.Vector{X: 900, Y: -50, Z: 10}, To: r3.Vector{X: 900, Y: 50, Z: 10}, Radius: 300}, 96)
	wheel.Curved = false
	looked := 0
	gap, _ := SheetGap(upright, counted{wheel, &looked})
	plain, _ := SheetGap(upright, wheel)
	require.Equal(t, plain, gap)
	require.Less(t, looked, 192*98/10)
	require.Greater(t, looked, 100)
}
