package search

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// withPosts is a problem with posts, a tube and a drum.
func withPosts() pack.Problem {
	f := chest(600, 400, 300)
	f.Opening.Sides = []string{"floor", "front", "top", "rear"}
	f.Opening.Open = []bool{false, false, true, false}
	f.Rails = []frame.Rail{{Name: "stay", Path: []r3.Vector{{X: 0, Y: 30, Z: 0}, {X: 200, Y: 60, Z: 300}}, Diameter: 30}}
	f.KeepOuts = []frame.KeepOut{
		{Name: "relay", Box: &frame.Corners{Low: r3.Vector{X: 500, Y: 0, Z: 0}, High: r3.Vector{X: 600, Y: 90, Z: 120}}},
		{Name: "drum", Round: &frame.Round{From: r3.Vector{X: 300, Y: 300, Z: 40}, To: r3.Vector{X: 300, Y: 400, Z: 40}, Diameter: 80}},
	}
	k := boxes("block", 2, 120, 70, 90)
	k.Posts = []pack.Post{
		{Face: pack.Top, At: r2.Point{X: 20, Y: 35}, Diameter: 12, Height: 6},
		{Face: pack.Front, At: r2.Point{X: 35, Y: 45}, Diameter: 12, Height: 6},
	}
	return bare(f, k)
}

// Where the clauses of the tools' reach hold, geom measures that no tool is in the frame; where
// they lack much, one nearly always is: of a slanted tube they know some directions only.
func TestReachIsRoomForTools(t *testing.T) {
	r := runOf(testContext, withPosts(), Settings{}.withDefaults())
	require.NotNil(t, r.m.reach)
	rng := rand.New(rand.NewPCG(1, 2))
	free, blocked, wrong := 0, 0, 0
	for range 4000 {
		s := randomSpot(r.m, 0, rng)
		p, left := r.m.poseOf(0, s), math.Inf(1)
		for _, c := range r.m.reach[0][s.pose] {
			left = min(left, c.left(s.at))
		}
		distance := math.Inf(1)
		for k, q := range p.parts {
			for _, o := range r.m.fixed() {
				if q.post != caseOnly {
					distance = min(distance, geom.Distance(r.m.toolRoom(p, k, s.at), o))
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
	r := runOf(testContext, withPosts(), Settings{}.withDefaults())
	rng := rand.New(rand.NewPCG(5, 6))
	inTheWay := func(i int, a spot, j int, b spot) bool {
		p, least := r.m.poseOf(i, a), math.Inf(1)
		for k, q := range p.parts {
			if q.post != caseOnly {
				least = min(least, geom.Distance(r.m.toolRoom(p, k, a.at), r.m.poseOf(j, b).solid(0, b.at)))
			}
		}
		return least < 0
	}
	s := newSeparator(r.m, []spot{{}, {}}, 0, rng)
	both, one, none := 0, 0, 0
	for range 20000 {
		a, b := randomSpot(r.m, 0, rng), randomSpot(r.m, 1, rng)
		pair, o := r.m.pairingIn(0, a, 1, b), offsetOf(b.at.Sub(a.at))
		lack, _ := pair.toolLack(&o, &s.beside[1][0])
		first, second := inTheWay(0, a, 1, b), inTheWay(1, b, 0, a)
		require.Equal(t, first && second, lack > 0, "%v %v", a, b)
		left, _ := pair.toolsLeft(o.d)
		require.Equal(t, left < 0, lack > 0, "%v %v", a, b)
		require.False(t, lack > 0 && pair.apart.left(o.d) >= 0, "%v %v", a, b)
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

// roomy tells whether geom measures that the tools over two boxes have their room.
func roomy(r *run, spots []spot) bool {
	blocked := [2]bool{}
	for i, s := range spots {
		p, other := r.m.poseOf(i, s), spots[1-i]
		for k, q := range p.parts {
			if q.post == caseOnly {
				continue
			}
			room := r.m.toolRoom(p, k, s.at)
			if slices.ContainsFunc(r.m.fixed(), func(o geom.Solid) bool { return geom.Distance(room, o) < -1e-6 }) {
				return false
			}
			blocked[i] = blocked[i] || geom.Distance(room, r.m.poseOf(1-i, other).solid(0, other.at)) < -1e-6
		}
	}
	return !blocked[0] || !blocked[1]
}

// An improvement for tools ends where geom measures that they have their room, or changes
// nothing; others end in their way now and then.
func TestImprovementForTools(t *testing.T) {
	r := runOf(testContext, withPosts(), Settings{}.withDefaults())
	rng := rand.New(rand.NewPCG(7, 8))
	mended, inTheWay, lacking := 0, 0, 0
	for range 1500 {
		spots := []spot{randomSpot(r.m, 0, rng), randomSpot(r.m, 1, rng)}
		v := newImprover(r.m, spots)
		v.forTools()
		before, lacked := v.spare, v.lacking
		v.run(math.Inf(-1))
		if v.lacking {
			require.Equal(t, spots, v.spots)
			lacking++
			continue
		}
		require.True(t, roomy(r, v.spots), "%v", v.spots)
		if lacked {
			mended++
		} else {
			require.GreaterOrEqual(t, v.spare, before)
		}
		if plain, _ := raise(r.m, spots, new(effort)); !roomy(r, plain) {
			inTheWay++
		}
	}
	t.Logf("%d mended, %d not, %d in the way without", mended, lacking, inTheWay)
	require.Greater(t, min(mended, lacking, inTheWay), 10)
}

// The tables of the tools' reach are not made where every layout is an answer, nor where
// the others are large already.
func TestReachIsLeftOut(t *testing.T) {
	require.Nil(t, runOf(testContext, withPosts(), Settings{AnyEntry: true}.withDefaults()).m.reach)
	p := withPosts()
	kind := p.Pack.Kinds[0]
	for len(kind.Posts) < pack.MaxPosts {
		kind.Posts = append(kind.Posts, kind.Posts[0])
	}
	p.Pack.Kinds = nil
	for posed(p, p.Obstacles(), options{}, posesOf).tables().cost <= maxReach {
		p.Pack.Kinds = append(p.Pack.Kinds, kind)
		if len(p.Pack.Kinds) > pack.MaxKinds {
			p.Frame.Rails[0].Path = append(p.Frame.Rails[0].Path, r3.Vector{X: 200, Y: 60, Z: 300 + 10*float64(len(p.Frame.Rails[0].Path))})
			p.Pack.Kinds = p.Pack.Kinds[:pack.MaxKinds]
		}
	}
	require.Nil(t, runOf(testContext, p, Settings{}.withDefaults()).m.reach)
}

// Square clauses say what their planes do.
func TestSquareClausesAreTheirPlanes(t *testing.T) {
	m := modelOf(withPosts())
	rng := rand.New(rand.NewPCG(3, 4))
	square := 0
	for range 2000 {
		a, b := randomSpot(m, 0, rng), randomSpot(m, 1, rng)
		pair := m.pairingIn(0, a, 1, b)
		for _, c := range append([]clause{pair.apart}, pair.clauses...) {
			require.True(t, c.isSquare)
			square++
			planes := c
			planes.isSquare = false
			left, f := c.best(b.at.Sub(a.at))
			wantLeft, want := planes.best(b.at.Sub(a.at))
			require.Equal(t, wantLeft, left)
			require.Equal(t, want, f)
		}
	}
	tilted := slanted(2)
	tilted.Pack.Kinds[0].Tilts = append(tilted.Pack.Kinds[0].Tilts, 0.1)
	n := modelOf(tilted)
	for _, p := range n.poses[0] {
		for _, q := range n.poses[0] {
			require.Equal(t, p.tilt == 0 && q.tilt == 0, n.pairingOf(p, q).clauses[0].isSquare)
		}
	}
}
