package model

import (
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/search/internal/kit"
)

// What would take gigabytes is refused at once, in words that say what to leave out; an
// everyday problem is far from that.
func TestTooLargeToSearch(t *testing.T) {
	p := kit.Slanted(6)
	_, err := New(p, Options{})
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
	_, err = New(p, Options{})
	require.ErrorIs(t, err, ErrTooLarge)
	require.ErrorContains(t, err, "allow fewer tilts or stands")
}

// Pairings that came first are let go where too many planes are kept, and are made anew the same.
func TestPairsThatAreLetGo(t *testing.T) {
	m := made(kit.Slanted(2))
	p, q := m.Poses[0][0], m.Poses[0][1]
	want := m.PairingOf(p, q)
	require.Positive(t, m.kept.planes)
	m.kept.planes += maxStored
	m.PairingOf(q, p)
	require.Nil(t, m.pairs[p.ID*m.poseCount+q.ID].Load())
	require.Equal(t, want, m.PairingOf(p, q))
}
