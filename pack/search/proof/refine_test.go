package proof

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// betweenRails is a box between two rails alike, which have the same facets.
func betweenRails(t *testing.T) (*prover, *relaxed, []int) {
	t.Helper()
	f := kit.Chest(400, 500, 200)
	f.Rails = []frame.Rail{
		{Name: "rear", Path: []r3.Vector{{X: 60, Y: -100, Z: 100}, {X: 60, Y: 600, Z: 100}}, Diameter: 40},
		{Name: "front", Path: []r3.Vector{{X: 340, Y: -100, Z: 100}, {X: 340, Y: 600, Z: 100}}, Diameter: 40},
	}
	m := modelOf(kit.NoGaps(f, kit.Upright(kit.Boxes("b", 1, 40, 300, 30))))
	v := newProver(m, NewInside(m), Settings{})
	x := v.rel.of(0, v.allowed[0])
	var round []int
	for k, c := range m.Solids[0][x.poses[0]] {
		if c.Round != nil {
			round = append(round, k)
		}
	}
	require.Len(t, round, 2)
	return v, x, round
}

// touch is a place at which the box touches the rear rail somewhat above its middle, and
// the direction in which it does.
var (
	touch = r3.Vector{X: 96, Y: 250, Z: 128}
	slant = r3.Vector{X: 0.8, Z: 0.6}
)

// Workers hand decisions to one another: what a decision names must be the same thing in
// whatever order a worker made its finer bodies.
func TestFurtherClausesHaveOnePlace(t *testing.T) {
	a, inA, round := betweenRails(t)
	b, inB, _ := betweenRails(t)
	other := r3.Vector{X: 304, Y: 250, Z: 128}
	require.True(t, a.rel.refineOne(inA, round[0], slant, touch, 1e3))
	require.True(t, a.rel.refineOne(inA, round[1], r3.Vector{X: -0.8, Z: 0.6}, other, 1e3))
	require.True(t, b.rel.refineOne(inB, round[1], r3.Vector{X: -0.8, Z: 0.6}, other, 1e3))
	require.True(t, b.rel.refineOne(inB, round[0], slant, touch, 1e3))
	require.Equal(t, inA.finer, inB.finer)
	require.NotEqual(t, inA.finer[round[0]], inA.finer[round[1]])
}

// A body that grows again asks nothing more of a plane that was chosen before: what keeps
// clear by a plane that only the grown body has was counted to the old plane's branch.
func TestAGrowingBodyAsksNothingMoreOfAChosenPlane(t *testing.T) {
	v, x, round := betweenRails(t)
	require.True(t, v.rel.refineOne(x, round[0], slant, touch, 1e3))
	n := v.root()
	before := v.byPlanes(n, model.Relation{Sort: model.OfFiner, Which: round[0]})
	for k := range x.finer[round[0]].Planes {
		x.finer[round[0]].Planes[k].D++ // as if the body had grown
	}
	for _, c := range before.children {
		require.Equal(t, c.decision.choice.least, v.demand(n, c.decision.choice))
	}
}
