package ways

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
)

func block(x0, y0, z0, x1, y1, z1 float64) geom.Box {
	return geom.BoxFromCorners(r3.Vector{X: x0, Y: y0, Z: z0}, r3.Vector{X: x1, Y: y1, Z: z1})
}

// mover returns a mover in the room among standing solids, which are owners 1, 2, …
func mover(body geom.Box, room geom.Box, air float64, standing ...geom.Solid) *Mover {
	place := Place{Room: room, Air: air, Standing: [][]geom.Solid{nil}}
	for _, s := range standing {
		place.Standing = append(place.Standing, []geom.Solid{s})
	}
	return NewMover([]geom.Box{body}, place)
}

var anyRoom = block(0, 0, 0, 10, 10, 10)

func firstWay(m *Mover, standing int) (Way, bool) {
	for legs := 1; legs <= MaxLegs; legs++ {
		if w, ok := m.Way(legs, 0, SetOf(standing+1).Without(0)); ok {
			return w, true
		}
	}
	return Way{}, false
}

func TestStraightOut(t *testing.T) {
	m := mover(block(4, 4, 4, 6, 6, 6), anyRoom, 0)
	w, ok := m.Way(1, 2, nil)
	require.True(t, ok)
	assert.Equal(t, []r3.Vector{{Z: 6}}, w.Legs, "from 4 to beyond the room at 10")
	w, _ = m.Way(1, 5, nil)
	assert.Equal(t, []r3.Vector{{X: -6}}, w.Legs)
}

// A cage: five sides of a cube closed, the sixth open but for a lid that covers all
// but a strip as wide as the body.
func TestSidewaysThenOut(t *testing.T) {
	cage := []geom.Solid{
		block(-1, -1, -1, 11, 11, 0), block(-1, -1, 0, 0, 11, 11), block(10, -1, 0, 11, 11, 11),
		block(-1, -1, 0, 11, 0, 11), block(-1, 10, 0, 11, 11, 11),
		block(-1, -1, 10, 8, 11, 11),
	}
	w, ok := firstWay(mover(block(4, 4, 4, 6, 6, 6), anyRoom, 0, cage...), len(cage))
	require.True(t, ok)
	assert.Equal(t, []r3.Vector{{X: 4}, {Z: 6}}, w.Legs, "the strip from 8 to 10 is as wide as the body: one stop, exact")
	_, ok = firstWay(mover(block(4, 4, 4, 6, 6, 6), anyRoom, 1.0/64, cage...), len(cage))
	assert.False(t, ok, "with any air the strip is too narrow")
}

// As before, but a shelf above the body ends before the strip: round two corners.
func TestThreeLegs(t *testing.T) {
	cage := []geom.Solid{
		block(-1, -1, -1, 11, 11, 0), block(-1, -1, 0, 0, 11, 11), block(10, -1, 0, 11, 11, 11),
		block(-1, -1, 0, 11, 0, 11), block(-1, 10, 0, 11, 11, 11),
		block(-1, -1, 10, 8, 11, 11), block(0, 0, 10, 11, 8, 11),
	}
	w, ok := firstWay(mover(block(1, 1, 4, 3, 3, 6), anyRoom, 0, cage...), len(cage))
	require.True(t, ok)
	assert.ElementsMatch(t, []r3.Vector{{X: 7}, {Y: 7}}, w.Legs[:2])
	assert.Equal(t, r3.Vector{Z: 6}, w.Legs[2])
	cage = append(cage, block(8, 8, 10, 8.5, 8.5, 11))
	_, ok = firstWay(mover(block(1, 1, 4, 3, 3, 6), anyRoom, 0, cage...), len(cage))
	assert.False(t, ok, "a stud in the hole closes it")
}
