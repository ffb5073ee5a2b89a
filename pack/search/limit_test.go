package search

import (
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
)

// What would take gigabytes is refused at once, in words that say what to leave out; an
// everyday problem is far from that.
func TestTooLargeToSearch(t *testing.T) {
	p := slanted(6)
	_, err := newModel(p, options{})
	require.NoError(t, err)
	kind := p.Pack.Kinds[0]
	kind.Tilts, kind.Posts = nil, nil
	for i := range pack.MaxTilts {
		kind.Tilts = append(kind.Tilts, s1.Angle(i)*s1.Degree)
	}
	for range pack.MaxPosts {
		kind.Posts = append(kind.Posts, pack.Post{Face: pack.Top, At: r2.Point{X: 20, Y: 20}, Diameter: 8})
	}
	p.Pack.Kinds = nil
	for range pack.MaxKinds {
		p.Pack.Kinds = append(p.Pack.Kinds, kind)
	}
	_, err = Fit(testContext, p, Settings{})
	require.ErrorIs(t, err, ErrTooLarge)
	require.ErrorContains(t, err, "allow fewer tilts or stands")
}

// Pairs of poses that are not kept are made anew, and are the same.
func TestPairsThatAreNotKept(t *testing.T) {
	m := modelOf(slanted(2))
	p, q := m.poses[0][0], m.poses[0][1]
	want := m.pairingOf(p, q)
	require.Positive(t, m.stored.Load())
	full := modelOf(slanted(2))
	full.stored.Store(maxStored)
	require.Equal(t, want, full.pairingOf(full.poses[0][0], full.poses[0][1]))
	require.Nil(t, full.pairs[p.id*full.poseCount+q.id].Load())
}

// A search that has to end gives an improvement a moment more, counted in work and not
// in time, and then takes what there is.
func TestImprovementEndsWithTheSearch(t *testing.T) {
	m := modelOf(slanted(3))
	r := runOf(testContext, m.problem, Settings{Seed: 1}.withDefaults())
	r.tryBatch(0, 2)
	from := r.any.best[0].spots
	ended := false
	m, err := newModel(m.problem, options{stop: func() bool { return ended }})
	require.NoError(t, err)
	v := &improver{m: m, grace: 1000}
	require.False(t, v.halt(1<<40), "the search goes on")
	ended = true
	require.False(t, v.halt(900))
	require.True(t, v.halt(900))
	require.True(t, v.halt(0))
	require.False(t, (&improver{m: m}).halt(1<<40), "without a grace there is no end")

	spots, spare := raise(m, from, new(effort))
	require.GreaterOrEqual(t, spare, m.sharpLeft(from))
	require.InDelta(t, spare, m.sharpLeft(spots), 1e-9)
}
