package proof

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack/search/internal/depths"
	"rackwright/pack/search/model"
)

func chosen(i, j int, n r3.Vector) decision {
	return decision{choice: choice{of: model.Relation{Sort: model.OfBoxes, I: i, J: j}, n: n, k: 1}}
}

// What was refuted once is refuted wherever the same decisions come together, in any
// order, and rests on those alone.
func TestNogoods(t *testing.T) {
	a, b, c := chosen(1, 0, r3.Vector{X: 1}), chosen(2, 0, r3.Vector{X: 1}), chosen(2, 1, r3.Vector{Z: 1})
	other := chosen(2, 1, r3.Vector{Z: -1})
	m := newMemory()
	m.learn(depths.Of(0).Or(depths.Of(2)), []decision{a, b}, &c) // a and c, not b

	m.enter(b, 0)
	_, by := m.refuted(c, 1)
	require.Nil(t, by, "a is not on the path")
	m.enter(a, 1)
	used, by := m.refuted(c, 2)
	require.NotNil(t, by)
	require.Equal(t, depths.Of(1).Or(depths.Of(2)), used)
	_, by = m.refuted(other, 2)
	require.Nil(t, by)
	m.leave(a, 1)
	_, by = m.refuted(c, 1)
	require.Nil(t, by)

	m.enter(c, 1)
	used, by = m.refuted(a, 2)
	require.NotNil(t, by, "the other way round")
	require.Equal(t, depths.Of(1).Or(depths.Of(2)), used)
}

// What rests on decisions that have no name, or on too many, is not kept.
func TestNogoodsThatAreNotKept(t *testing.T) {
	a := chosen(1, 0, r3.Vector{X: 1})
	m := newMemory()
	m.learn(depths.Set{}.Inverted(), []decision{a}, nil)
	m.learn(depths.Set{}, []decision{a}, nil)
	m.learn(depths.Of(0).Or(depths.Of(5)), []decision{a}, nil)
	require.Zero(t, m.kept)
}

// What one prover has learnt of few decisions, the others know after a round, once.
func TestNogoodsAreShared(t *testing.T) {
	a, b := chosen(1, 0, r3.Vector{X: 1}), chosen(2, 0, r3.Vector{X: 1})
	one, two := newMemory(), newMemory()
	one.learn(depths.Of(0).Or(depths.Of(1)), []decision{a, b}, nil)
	share([]*memory{one, two})
	two.learn(depths.Of(0).Or(depths.Of(1)), []decision{b, a}, nil)
	share([]*memory{one, two})
	require.Equal(t, 1, one.kept)
	two.enter(b, 0)
	used, by := two.refuted(a, 1)
	require.NotNil(t, by)
	require.Equal(t, depths.Of(0).Or(depths.Of(1)), used)
}
