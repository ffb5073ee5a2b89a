package ways

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
)

// Seen along the third leg a slanted bar blocks the start, and climbs out of the way
// as the first leg gets longer, while a low block takes over; a high one blocks all
// above. The window between low and high opens only where the bar has left it, and the
// bar still overlaps the high block there. By hand: the bar blocks t within
// √2·½ + 1 of s, so with 1 over the low block it is clear of 0.5 from 2.21 on.
func TestChainThatLeavesItsStart(t *testing.T) {
	bar := tilted(geom.Box{Centre: r3.Vector{X: 3.5, Y: 2.5, Z: 3.5}, Half: r3.Vector{X: 20, Y: 0.5, Z: 0.5}}, -45)
	low := block(2, 2, -5, 40, 3, 0.5)
	high := block(-10, 2, 2.5, 40, 3, 40)
	ceiling := block(-10, -1, 5, 40, 1.5, 6)
	m := mover(block(0, 0, 0, 1, 1, 1), anyRoom, 0, bar, low, high, ceiling)
	f := (&finder{Mover: m, present: SetOf(5).Without(0)}).gather()
	way, ok := f.plane(4, 2, 0, 8)
	require.True(t, ok)
	assert.GreaterOrEqual(t, way.Legs[0].X, 2.2071)
	assert.InDelta(t, 1, way.Legs[1].Z, 0.5)
	_, ok = f.plane(4, 2, 0, 2.2)
	assert.False(t, ok, "too early")
	m = mover(block(0, 0, 0, 1, 1, 1), anyRoom, 0, bar, block(2, 2, -5, 40, 3, 1.6), high, ceiling)
	_, ok = (&finder{Mover: m, present: SetOf(5).Without(0)}).gather().plane(4, 2, 0, 30)
	assert.False(t, ok, "no window")
}

func TestSets(t *testing.T) {
	s := SetOf(3).With(70)
	assert.Equal(t, []int{0, 1, 2, 70}, s.Members())
	assert.Equal(t, 4, s.Len())
	assert.True(t, s.Has(70) && !s.Has(71) && !s.Has(500))
	assert.True(t, s.Without(70).Within(SetOf(3)))
	assert.False(t, s.Within(SetOf(3)))
	assert.True(t, SetOf(3).Within(s))
	assert.Equal(t, s.Without(70).Union(Set{}.With(70)), s)
	assert.True(t, s.Intersects(Set{}.With(70)))
	assert.False(t, s.Intersects(Set{}.With(71)))
	assert.True(t, Set(nil).Empty() && Set(nil).With(1).Without(1).Empty() && !s.Empty())
	_, ok := s.firstIn(Set{}.With(71))
	assert.False(t, ok)
	first, ok := s.firstIn(SetOf(80).Without(0).Without(1))
	assert.True(t, ok && first == 2)
	assert.Equal(t, 4, s.Len(), "s itself never changed")
}
