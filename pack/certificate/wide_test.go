package certificate

import (
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
)

const (
	wideFrame = `{format: 1, frame: f, opening: {outline: [[0, 0], [300, 20], [310, 200], [0, 210]], across: 150},
  rails: [{name: tube, path: [[150, -260, 100], [120, 270, 120]], diameter: 20}],
  keepouts: [{name: tank, outline: [[100, 150], [180, 140], [550, 690]], across: 260}, {name: block, box: {low: [-500, -300, -400], high: [30, 30, 30]}}]}`
	widePack = `{format: 1, pack: p, boxes: [{name: box, count: 2, size: [80, 60, 50], tilt: [0, 36],
  posts: [{name: plus, face: front, at: [20, 20], diameter: 10, height: 5}]}]}`
)

// spaceTilted is the space of a problem with other numbers for its one tilt.
func spaceTilted(t *testing.T, sin, cos enclosure) *Space {
	t.Helper()
	f, err := frame.Read(strings.NewReader(wideFrame), "frame")
	require.NoError(t, err)
	k, err := pack.Read(strings.NewReader(widePack), "pack")
	require.NoError(t, err)
	p, err := pack.NewProblem(f, k)
	require.NoError(t, err)
	s, err := NewSpace(p)
	require.NoError(t, err)
	require.Len(t, s.tilts, 2)
	s.tilts[1].sin, s.tilts[1].cos = sin, cos
	s.along[1] = waysOf(s.tilts[1])
	require.NotNil(t, s.solids[0].round)
	var points [][]float64
	for _, x := range []float64{-6, 6} {
		points = append(points, []float64{150 + x, -260, 100}, []float64{150, -260, 100 + x}, []float64{120 + x, 270, 120}, []float64{120, 270, 120 + x})
	}
	require.NoError(t, s.addBody(Body{Solid: 0, Points: points}))
	for k := range s.solids {
		s.solids[k].findWays(s.tilts, s.along)
	}
	return s
}

// The sides of the triangle with sides 3, 4 and 5 give a tilt with a rational sine and
// cosine, so that all can be reckoned exactly, and with wide enclosures of the two: whatever
// the exact inequalities allow inside the bounds, those of the enclosures do.
func TestWideEnclosuresAllowWhatTheExactOnesDo(t *testing.T) {
	sin, cos := big.NewRat(3, 5), big.NewRat(4, 5)
	about := func(a *big.Rat, below, above int64) enclosure {
		return enclosure{sub(a, big.NewRat(below, 1000)), add(a, big.NewRat(above, 1000))}
	}
	exact := spaceTilted(t, exactly(sin), exactly(cos))
	alone, between := vector(310, 75, 210), vector(310, 150, 210) // by the opening
	for _, wide := range []*Space{
		spaceTilted(t, about(sin, 20, 30), about(cos, 10, 5)),
		spaceTilted(t, about(sin, 0, 7), about(cos, 0, 2)),
		spaceTilted(t, about(sin, 1, 0), about(cos, 3, 0)),
	} {
		all := exact.kinds[0].all()
		sets := []PoseSet{all, exact.kinds[0].tilted(all, exact.tilts[1]), exact.kinds[0].tilted(all, exact.tilts[0])}
		tried := 0
		for i, a := range sets {
			for w := range exact.walls {
				require.False(t, less(exact.inside(0, w).least(a, PoseSet{}), wide.inside(0, w).least(a, PoseSet{})))
			}
			for part := range 2 {
				for k := range exact.solids {
					if k > 0 || part == 0 {
						tried += requireAllows(t, exact, wide, relation{a: Part{0, part}, b: Part{Box: none}, solid: k}, a, PoseSet{}, alone)
					}
				}
				for j := range sets {
					for other := range 2 {
						tried += requireAllows(t, exact, wide, relation{a: Part{0, part}, b: Part{1, other}}, sets[i], sets[j], between)
					}
				}
			}
		}
		require.Greater(t, tried, 1000)
	}
}

// tilted is the poses of a set that have a tilt.
func (k *kind) tilted(set PoseSet, only *tilt) PoseSet {
	var some PoseSet
	for i, p := range k.poses {
		if set.Has(i) && p.tilt == only {
			some.Add(i)
		}
	}
	return some
}

// requireAllows requires that every place within reach that is just far enough along a way
// is so along the way that encloses it. It counts the places.
func requireAllows(t *testing.T, exact, wide *Space, r relation, a, b PoseSet, reach vec) (places int) {
	t.Helper()
	for _, w := range exact.waysApart(r, a, b) {
		n, d := w.near(), exact.clear(r, w).least(a, b)
		found := false
		for _, v := range wide.waysApart(r, a, b) {
			if !v.holds(n) || (v.only == nil) != (w.only == nil) {
				continue
			}
			found = true
			for _, p := range onPlane(n, d, reach) {
				places++
				require.False(t, less(dot(v.near(), p), wide.clear(r, v).least(a, b)), "%v along %v", r, n.rounded())
			}
		}
		require.True(t, found, "%v has no way %v", r, n.rounded())
	}
	return places
}

// holds tells whether the components of n may be those of v.
func (n direction) holds(v vec) bool {
	for k := range 3 {
		if less(v[k], n[k].low) || less(n[k].high, v[k]) {
			return false
		}
	}
	return true
}

// onPlane are points with n·p = d that are within reach: where the plane meets its edges.
func onPlane(n vec, d *big.Rat, reach vec) []vec {
	var all []vec
	for axis := range 3 {
		if n[axis].Sign() == 0 {
			continue
		}
		i, j := (axis+1)%3, (axis+2)%3
		for _, x := range []*big.Rat{reach[i], neg(reach[i])} {
			for _, y := range []*big.Rat{reach[j], neg(reach[j])} {
				var p vec
				p[i], p[j] = x, y
				p[axis] = quo(sub(d, add(mul(n[i], x), mul(n[j], y))), n[axis])
				if !less(reach[axis], most(p[axis], neg(p[axis]))) {
					all = append(all, p)
				}
			}
		}
	}
	return all
}

// Where no pose that is left has a way, what was chosen cannot be; else it can.
func TestWaysThatCannotBe(t *testing.T) {
	s := spaceTilted(t, exactly(big.NewRat(3, 5)), exactly(big.NewRat(4, 5)))
	all := s.kinds[0].all()
	level, tilted := s.kinds[0].tilted(all, s.tilts[0]), s.kinds[0].tilted(all, s.tilts[1])
	ofSolid, ofBoxes := relation{b: Part{Box: none}, solid: 1}, relation{b: Part{Box: 1}}
	require.Len(t, s.waysApart(ofBoxes, level, level), 6)
	require.Len(t, s.waysApart(ofBoxes, level, tilted), 10)
	require.Len(t, s.waysApart(ofBoxes, tilted, level), 10)
	require.Len(t, s.waysApart(ofBoxes, tilted, tilted), 6)
	for _, r := range []relation{ofSolid, ofBoxes} {
		for _, w := range s.waysApart(r, all, all) {
			cannot := func(a, b PoseSet) bool {
				return state{Space: s, facts: facts{sets: []PoseSet{a, b}}}.cannotBe(choice{r, w})
			}
			require.False(t, cannot(all, level))
			require.Equal(t, w.only == s.tilts[1], cannot(level, level))
			require.Equal(t, w.only == s.tilts[0], cannot(tilted, tilted))
			require.Equal(t, r == ofSolid && w.only == s.tilts[1], cannot(level, tilted))
		}
	}
	turn := Node{Turn: &Turn{Box: 0, Sets: [][]int{{0, 1, 2, 3}, {4, 5, 6, 7}}}, Then: make([]Node, 2)}
	tree := &Node{Clear: []int{0, 0, 1}}
	for range s.waysApart(ofSolid, all, all) {
		tree.Then = append(tree.Then, turn)
	}
	require.ErrorContains(t, s.verify(Proof{Tree: tree}, func(*Node) {}), "a node has to be one of", "the first way is one of all poses")
}
