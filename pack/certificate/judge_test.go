package certificate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// Wherever boxes are, each relation has as much left by the inequalities of proofs as the
// judge says, or more: a proof asks nothing of a layout that the judge does not. Here no
// number is on the lattice, posts are flush or nearly so, and boxes are tilted.
func TestAsksNoMoreThanTheJudge(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 1))
	tight := 0
	for range 4 {
		p := crooked(t, rng)
		s, err := NewSpace(p)
		require.NoError(t, err)
		s.addRing(t, p)
		for range 10 {
			c := compared(t, s, p, scattered(rng, s, p))
			c.betweenBoxes()
			c.toFrame()
			tight += c.tight
		}
	}
	require.Greater(t, tight, 1000)
}

// crooked is a random problem with two boxes.
func crooked(t *testing.T, rng *rand.Rand) pack.Problem {
	t.Helper()
	u := func(low, high float64) float64 { return low + (high-low)*rng.Float64() }
	f, err := frame.Read(strings.NewReader(fmt.Sprintf(`{format: 1, frame: f, opening: {outline: [[0.1, %.5f], [300.3, 0.7], [%.5f, 250.7], [150.2, %.5f], [0.3, 270.1]],
  stations: [{z: 0, across: %.5f}, {z: %.5f, across: %.5f}, {z: 300, across: 200.123}], metal: %v},
  rails: [{name: tube, path: [[150.1, -120.7, 90.3], [%.5f, 130.9, 110.2]], diameter: %.5f}],
  keepouts: [{name: tank, outline: [[100.7, %.5f], [180.3, 140.1], [150.9, 190.2]], across: %.5f, metal: false}, {name: block, box: {low: [-50.1, -30.3, -40.9], high: [%.5f, 30.7, 30.3]}, gap: %.5f}]}`,
		u(0, 30), u(250, 350), u(200, 260), u(150, 250), u(50, 200), u(100, 300), rng.IntN(2) == 0, u(100, 200), u(10, 50), u(130, 150), u(20, 90), u(10, 60), u(0, 10))), "frame")
	require.NoError(t, err)
	kind := func(name string) string {
		posts := ""
		for i, face := range []string{"front", "top", "right"} {
			posts += fmt.Sprintf("{name: p%d, face: %s, at: [%.5f, %.5f], diameter: %.5f, height: %v},", i, face, u(20, 30), u(20, 30), u(5, 20), []float64{0, 0.0003, 0.0007, 12.3}[rng.IntN(4)])
		}
		return fmt.Sprintf(`{name: %s, size: [%.5f, %.5f, %.5f], stand: [%s], tilt: [%v, %.3f], posts: [%s]}`,
			name, u(50, 120), u(50, 120), u(50, 120), []string{"upright", "inverted", "on-side", "on-end"}[rng.IntN(4)], []float64{0, 45}[rng.IntN(2)], u(-40, 40), posts)
	}
	k, err := pack.Read(strings.NewReader(fmt.Sprintf(`{format: 1, pack: p, gaps: {beside: %.4f, above: %.4f, wall: %.4f}, boxes: [%s, %s]}`,
		u(0, 9), u(0, 9), u(0, 3), kind("a"), kind("b"))), "pack")
	require.NoError(t, err)
	p, err := pack.NewProblem(f, k)
	require.NoError(t, err)
	return p
}

// addRing gives the tube a body.
func (s *Space) addRing(t *testing.T, p pack.Problem) {
	t.Helper()
	k := slices.IndexFunc(s.solids, func(q solid) bool { return q.round != nil })
	tube := p.Frame.Rails[0]
	r := math.Floor(tube.Diameter/2*16)/16 - 0.25
	var points [][]float64
	for _, e := range tube.Path {
		for _, d := range [][2]float64{{r, 0}, {-r, 0}, {0, r}, {0, -r}} {
			points = append(points, []float64{math.Round((e.X+d[0])*16) / 16, math.Round(e.Y*16) / 16, math.Round((e.Z+d[1])*16) / 16})
		}
	}
	require.NoError(t, s.addBody(Body{Solid: k, Points: points}))
}

// scattered puts the boxes anywhere, turned as they may.
func scattered(rng *rand.Rand, s *Space, p pack.Problem) pack.Layout {
	var l pack.Layout
	for i, k := range p.Pack.Kinds {
		var all []pack.Orientation
		for o := range s.kinds[i].named {
			all = append(all, o)
		}
		slices.SortFunc(all, func(a, b pack.Orientation) int { return strings.Compare(fmt.Sprint(a), fmt.Sprint(b)) })
		l.Placements = append(l.Placements, pack.Placement{
			Box: k.Name, Number: 1, Orientation: all[rng.IntN(len(all))],
			Centre: r3.Vector{X: 300 * rng.Float64(), Y: 200*rng.Float64() - 100, Z: 250 * rng.Float64()},
		})
	}
	return l
}

// comparison is of one layout.
type comparison struct {
	*Space
	t       *testing.T
	problem pack.Problem
	at      []vec
	sets    []PoseSet
	left    map[[2]pack.Part]float64 // as the judge says
	tight   int                      // relations of which both say nearly the same
}

// compared has what the judge says of a layout.
func compared(t *testing.T, s *Space, p pack.Problem, l pack.Layout) comparison {
	c := comparison{t: t, Space: s, problem: p, left: map[[2]pack.Part]float64{}}
	for box, b := range l.Placements {
		pose, ok := s.PoseOf(box, b.Orientation)
		require.True(t, ok)
		var set PoseSet
		set.Add(pose)
		c.at, c.sets = append(c.at, vector(b.Centre.X, b.Centre.Y, b.Centre.Z)), append(c.sets, set)
	}
	report := pack.Check(p, l)
	require.Empty(t, report.Faults)
	for _, r := range report.Relations {
		c.left[[2]pack.Part{r.A, r.B}] = r.Left
	}
	return c
}

// part is what the judge calls a part.
func (c *comparison) part(p Part) pack.Part {
	k := c.problem.Pack.Kinds[p.Box]
	q := pack.Part{Box: k.Name, Number: 1}
	if p.Part > 0 {
		q.Post = k.Posts[p.Part-1].Name
	}
	return q
}

// margin is how much a relation has left.
func (c *comparison) margin(r relation) float64 {
	between, setB := c.at[r.a.Box], PoseSet{}
	if r.b.Box != none {
		between, setB = minus(c.at[r.a.Box], c.at[r.b.Box]), c.sets[r.b.Box]
	}
	most := math.Inf(-1)
	for _, w := range c.waysApart(r, c.sets[r.a.Box], setB) {
		n := w.near()
		left, _ := sub(dot(n, between), c.clear(r, w).least(c.sets[r.a.Box], setB)).Float64()
		most = max(most, left/n.rounded().Norm())
	}
	return most
}

// compare requires that a proof leaves no less than the judge, but for rounding.
func (c *comparison) compare(judge, proof float64, what ...any) {
	c.t.Helper()
	require.GreaterOrEqual(c.t, proof, judge-1e-8, what...)
	if proof < judge+0.01 {
		c.tight++
	}
}

func (c *comparison) betweenBoxes() {
	for a := range c.partsOf(0) {
		for b := range c.partsOf(1) {
			left, ok := c.left[[2]pack.Part{c.part(Part{0, a}), c.part(Part{1, b})}]
			require.True(c.t, ok)
			c.compare(left, c.margin(relation{a: Part{0, a}, b: Part{1, b}}), "%v %v", a, b)
			c.compare(left, c.margin(relation{a: Part{1, b}, b: Part{0, a}}), "%v %v", a, b)
		}
	}
}

// toFrame compares the relations with the frame: those with walls together, since the judge
// takes the sides as one with what is outside of a corner that points inward.
func (c *comparison) toFrame() {
	for box := range c.at {
		sides, proof := math.Inf(1), math.Inf(1)
		for w, wall := range c.walls {
			left, _ := sub(dot(wall.n, c.at[box]), c.inside(box, w).least(c.sets[box], PoseSet{})).Float64()
			proof = min(proof, left/wall.n.rounded().Norm())
		}
		for part := range c.partsOf(box) {
			k := 0
			for _, o := range c.problem.Frame.Obstacles(0) {
				left, ok := c.left[[2]pack.Part{c.part(Part{box, part}), {Obstacle: o.Name}}]
				require.True(c.t, ok)
				if _, half := o.Solid.(geom.HalfSpace); half {
					sides = min(sides, left)
					continue
				}
				r := relation{a: Part{box, part}, b: Part{Box: none}, solid: k}
				k++
				switch {
				case !o.Solid.Round():
					c.compare(left, c.margin(r), "%v", o.Name)
				case part == 0 && left >= 0:
					require.GreaterOrEqual(c.t, c.margin(r), -1e-8)
				}
			}
		}
		c.compare(sides, proof, "walls")
	}
}
