package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/search/internal/kit"
)

// made is the model of a problem; withTools is one with room for tools.
func made(p pack.Problem) *Model {
	m, err := New(p, Options{})
	if err != nil {
		panic(err)
	}
	return m
}

func withTools(p pack.Problem) *Model {
	tool := entry.DefaultTool()
	m, err := New(p, Options{Tool: &tool})
	if err != nil {
		panic(err)
	}
	return m
}

// Where the clauses of the tools' reach hold, geom measures that no tool is in the frame; where
// they lack much, one nearly always is: of a slanted tube they know some directions only.
func TestReachIsRoomForTools(t *testing.T) {
	m := withTools(kit.WithPosts())
	require.NotNil(t, m.Reach)
	rng := rand.New(rand.NewPCG(1, 2))
	free, blocked, wrong := 0, 0, 0
	for range 4000 {
		s := m.RandomSpot(0, rng)
		p, left := m.PoseOf(0, s), math.Inf(1)
		for _, c := range m.Reach[0][s.Pose] {
			left = min(left, c.Left(s.At))
		}
		distance := math.Inf(1)
		for k, q := range p.Parts {
			for _, o := range m.fixed() {
				if q.post != caseOnly {
					distance = min(distance, geom.Distance(m.toolRoom(p, k, s.At), o.solid))
				}
			}
		}
		switch {
		case left >= 0:
			free++
			require.GreaterOrEqual(t, distance, -geom.Tolerance, "%v", s)
		case left < -1:
			blocked++
			if distance >= 0 {
				wrong++
			}
		}
	}
	require.Greater(t, free, 200)
	require.Greater(t, blocked, 200)
	require.Less(t, wrong, blocked/50)
}

// What the clauses say of the tools of two boxes is what geom measures: something is lacking
// just where each case is in the way of a tool over a post of the other.
func TestToolsOfTwoBoxes(t *testing.T) {
	m := withTools(kit.WithPosts())
	rng := rand.New(rand.NewPCG(5, 6))
	inTheWay := func(i int, a Spot, j int, b Spot) bool {
		p, least := m.PoseOf(i, a), math.Inf(1)
		for k, q := range p.Parts {
			if q.post != caseOnly {
				least = min(least, geom.Distance(m.toolRoom(p, k, a.At), m.PoseOf(j, b).Solid(0, b.At)))
			}
		}
		return least < 0
	}
	both, one, none := 0, 0, 0
	for range 20000 {
		a, b := m.RandomSpot(0, rng), m.RandomSpot(1, rng)
		pair, d := m.PairingIn(0, a, 1, b), b.At.Sub(a.At)
		first, second := inTheWay(0, a, 1, b), inTheWay(1, b, 0, a)
		left, _ := pair.ToolsLeft(d)
		require.Equal(t, first && second, left < 0, "%v %v", a, b)
		require.False(t, left < 0 && pair.Apart.Left(d) >= 0, "%v %v", a, b)
		switch {
		case first && second:
			both++
		case first || second:
			one++
		default:
			none++
		}
	}
	require.Greater(t, min(both, one, none), 200)
}

// The tables of the tools' reach are not made where every layout is an answer, nor where
// the others are large already.
func TestReachIsLeftOut(t *testing.T) {
	require.Nil(t, made(kit.WithPosts()).Reach)
	p := kit.WithPosts()
	kind := p.Pack.Kinds[0]
	for len(kind.Posts) < pack.MaxPosts {
		kind.Posts = append(kind.Posts, kind.Posts[0])
	}
	p.Pack.Kinds = nil
	for posed(p, p.Obstacles(), Options{}, (*Model).posesFor).tables().cost <= maxReach {
		p.Pack.Kinds = append(p.Pack.Kinds, kind)
		if len(p.Pack.Kinds) > pack.MaxKinds {
			p.Frame.Rails[0].Path = append(p.Frame.Rails[0].Path, r3.Vector{X: 200, Y: 60, Z: 300 + 10*float64(len(p.Frame.Rails[0].Path))})
			p.Pack.Kinds = p.Pack.Kinds[:pack.MaxKinds]
		}
	}
	require.Nil(t, withTools(p).Reach)
}
