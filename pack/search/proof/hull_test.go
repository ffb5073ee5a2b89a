package proof

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/search/internal/kit"
	"rackwright/pack/search/model"
)

// slantedProblem has all that rows are made of: slanted sides, a rail, tilts, a post, and
// kinds of one and of many shapes.
func slantedProblem(rng *rand.Rand) pack.Problem {
	f := kit.Opening(r1.Interval{Lo: -140, Hi: 130}, r2.Point{}, r2.Point{X: 420}, r2.Point{X: 620, Y: 380}, r2.Point{X: 60, Y: 460})
	f.Rails = []frame.Rail{{Name: "cross tube", Path: []r3.Vector{{X: 200, Y: -200, Z: 150}, {X: 220, Y: 200, Z: 150}}, Diameter: 30}}
	length := func() float64 { return float64(60 + rng.IntN(100)) }
	turning := kit.Boxes("a", 2, length(), length(), length())
	tilting := kit.Boxes("b", 2, length(), length(), length())
	tilting.Tilts = []s1.Angle{0, 12 * s1.Degree}
	tilting.Stands = []pack.Stand{pack.Upright, pack.OnEnd}
	tilting.Posts = []pack.Post{{Name: "plus", Face: pack.Top, At: r2.Point{X: 20, Y: 20}, Diameter: 16, Height: 12}}
	cube := kit.Boxes("c", 1, 70, 70, 70)
	p := kit.NoGaps(f, turning, tilting, cube)
	p.Pack.Gaps = pack.Gaps{Beside: 3, Above: 6, Rail: 5, Post: 10, Boot: 4}
	return p
}

// guided goes down a tree in the way that an arrangement, good or bad, agrees with.
type guided struct {
	*prover
	n     *node
	spots []model.Spot
	depth int
}

func newGuided(t *testing.T, m *model.Model, rng *rand.Rand, hull bool) *guided {
	t.Helper()
	g := &guided{prover: newProver(m, NewInside(m), Settings{})}
	if hull {
		g.useHull()
		require.NotNil(t, g.hull)
	}
	g.n = g.root()
	for i := range m.Boxes {
		g.spots = append(g.spots, m.RandomSpot(i, rng))
	}
	for i := 1; i < len(m.Boxes); i++ { // boxes alike are in order
		if a, b := &g.spots[i-1], &g.spots[i]; m.Boxes[i].Kind == m.Boxes[i-1].Kind && g.sortBy.Dot(a.At) > g.sortBy.Dot(b.At) {
			*a, *b = *b, *a
		}
	}
	return g
}

// spare is that of the arrangement, by the clauses that the proof has.
func (g *guided) spare() float64 {
	left := math.Inf(1)
	for i, s := range g.spots {
		kind := g.m.Boxes[i].Kind
		for _, f := range g.m.Walls[kind][s.Pose] {
			left = min(left, f.Left(s.At))
		}
		for _, c := range g.rel.inner[kind][s.Pose] {
			if len(c.Planes) > 0 {
				left = min(left, c.Left(s.At))
			}
		}
		for j := range i {
			left = min(left, g.m.PairLeft(j, g.spots[j], i, s))
		}
	}
	return left
}

func (g *guided) take(d decision) {
	g.apply(g.n, d, g.depth)
	g.depth++
}

// narrow takes some poses, never its own, from a box.
func (g *guided) narrow(i int, rng *rand.Rand, all bool) {
	var set poseSet
	set.add(g.spots[i].Pose)
	for _, p := range g.n.boxes[i].poses {
		if !all && rng.IntN(2) == 0 {
			set.add(p)
		}
	}
	g.take(decision{turn: true, box: i, set: set})
}

// choosePlanes takes, for every relation of a box with another or the frame, the plane by
// which the arrangement keeps clear.
func (g *guided) choosePlanes(t *testing.T, of model.Relation) {
	t.Helper()
	p := g.spots[of.I].At
	own := g.rel.inner[g.m.Boxes[of.I].Kind][g.spots[of.I].Pose]
	if of.Sort == model.OfBoxes {
		p = p.Sub(g.spots[of.J].At)
		own = g.m.PairClauses(of.J, g.spots[of.J], of.I, g.spots[of.I])
	}
	for which, c := range g.clausesFor(g.n, of) {
		if len(c.Planes) == 0 {
			continue
		}
		of.Which = which
		_, best := own[which].Best(p)
		found := false
		for _, f := range c.Planes {
			if f.N == best.N && f.K == best.K {
				g.take(decision{choice: choice{of: of, n: f.N, k: f.K, least: f.D}})
				found = true
			}
		}
		require.True(t, found, "the plane of a layout is among those that are branched on")
	}
}

// excess is by how much the arrangement breaks the row that it breaks most.
func (g *guided) excess() float64 {
	x := make([]float64, len(g.x))
	for i, s := range g.spots {
		x[3*i], x[3*i+1], x[3*i+2] = s.At.X, s.At.Y, s.At.Z
		if kind := g.m.Boxes[i].Kind; g.hull != nil && g.hull.shapes[kind] > 0 {
			x[g.hull.first[i]+g.m.Poses[kind][s.Pose].Shape] = fullWeight
		}
	}
	x[3*len(g.spots)] = g.spare()
	most := math.Inf(-1)
	for _, r := range g.n.lp.Rows() {
		sum := -r.Bound
		for k, i := range r.Index {
			sum += r.Coef[k] * x[i]
		}
		most = max(most, sum)
	}
	return most
}

// A bound is one because every layout satisfies every row of the nodes that it agrees
// with. So does every arrangement, with the spare that it has, in whatever order relations
// and poses are decided.
func TestEveryArrangementSatisfiesTheRows(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	for range 150 {
		m := modelOf(slantedProblem(rng))
		for _, hull := range []bool{false, true} {
			g := newGuided(t, m, rng, hull)
			for _, k := range rng.Perm(len(m.Boxes) * len(m.Boxes)) {
				switch i, j := k/len(m.Boxes), k%len(m.Boxes); {
				case j < i:
					g.choosePlanes(t, model.Relation{Sort: model.OfBoxes, I: i, J: j})
				case j == i:
					g.choosePlanes(t, model.Relation{Sort: model.OfSolid, I: i})
				default:
					g.narrow(j, rng, rng.IntN(3) == 0)
				}
			}
			require.LessOrEqual(t, g.excess(), 1e-9)
		}
	}
}

// The same decisions bound no less with weights than without, and often more.
func TestWeightsOnlyLowerTheBound(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 9))
	lower := 0
	for range 40 {
		seed := rng.Uint64()
		m := modelOf(slantedProblem(rng))
		var value [2]float64
		for k := range value {
			again := rand.New(rand.NewPCG(seed, 0))
			g := newGuided(t, m, again, k == 1)
			for i := range m.Boxes {
				g.narrow(i, again, false)
				for j := range i {
					if again.IntN(2) == 0 {
						g.choosePlanes(t, model.Relation{Sort: model.OfBoxes, I: i, J: j})
					}
				}
			}
			open, _ := g.solve(g.n, math.Inf(-1))
			require.True(t, open)
			value[k] = g.n.value
		}
		require.LessOrEqual(t, value[1], value[0]+1e-6)
		if value[1] < value[0]-1 {
			lower++
		}
	}
	require.Greater(t, lower, 10)
}
