package geom

import (
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"
)

// The corners, edges and faces of a body fit together: every edge is a side of two faces
// and runs along them in opposite directions, every face is flat, lies farthest out along
// its normal and turns left about it, and there are two more corners and faces than edges
// (Euler's formula for convex polyhedra).
func TestFeaturesFitTogether(t *testing.T) {
	slanted := about(33)
	leftHanded := [3]r3.Vector{slanted[1], slanted[0], slanted[2]}
	depth := r1.Interval{Lo: -4, Hi: 9}
	for name, c := range map[string]struct {
		body interface {
			Solid
			polytope() polytope
		}
		corners, edges, faces int
	}{
		"box":                 {box(1, 2, 3, 8, 10, 14), 8, 12, 6},
		"slanted box":         {Box{Centre: r3.Vector{X: 50, Y: -20, Z: 7}, Axes: slanted, Half: r3.Vector{X: 2, Y: 3, Z: 5}}, 8, 12, 6},
		"left-handed axes":    {Box{Axes: leftHanded, Half: r3.Vector{X: 2, Y: 3, Z: 5}}, 8, 12, 6},
		"wedge":               {Prism{Profile: polygon(t, 0, 0, 40, 0, 40, 30), Depth: depth}, 6, 9, 5},
		"wedge from in front": {Prism{Profile: polygon(t, 0, 0, 40, 0, 40, 30), View: FrontView, Depth: depth}, 6, 9, 5},
		"tiny wedge":          {Prism{Profile: polygon(t, 0, 0, 0.04, 0, 0.04, 0.03), Depth: r1.Interval{Lo: -0.01, Hi: 0.02}}, 6, 9, 5},
		"five corners":        {Prism{Profile: polygon(t, 0, 0, 40, 0, 50, 20, 30, 30, 5, 25), View: FrontView, Depth: depth}, 10, 15, 7},
	} {
		t.Run(name, func(t *testing.T) {
			p := c.body.polytope()
			require.Equal(t, []int{c.corners, c.edges, c.faces}, []int{len(p.corners), len(p.edges), len(p.faces)})
			require.Equal(t, 2, len(p.corners)-len(p.edges)+len(p.faces))
			sides := map[[2]int][]int{} // faces that an edge is a side of, by its ends in the face's order
			for i, f := range p.faces {
				require.InDelta(t, 1, f.normal.Norm(), 1e-15)
				require.False(t, f.thin)
				out := c.body.Extent(f.normal).Hi
				for k, corner := range f.loop {
					next := f.loop[(k+1)%len(f.loop)]
					after := f.loop[(k+2)%len(f.loop)]
					require.InDelta(t, out, p.corners[corner].Dot(f.normal), 1e-12)
					turn := p.corners[next].Sub(p.corners[corner]).Cross(p.corners[after].Sub(p.corners[next]))
					require.Greater(t, turn.Dot(f.normal), 1e-4)
					sides[[2]int{corner, next}] = append(sides[[2]int{corner, next}], i)
				}
			}
			require.Len(t, sides, 2*len(p.edges))
			seen := map[[2]int]bool{}
			for _, e := range p.edges {
				there, back := sides[[2]int{e.from, e.to}], sides[[2]int{e.to, e.from}]
				require.Len(t, there, 1)
				require.Len(t, back, 1)
				require.ElementsMatch(t, []int{e.left, e.right}, slices.Concat(there, back))
				seen[[2]int{min(e.from, e.to), max(e.from, e.to)}] = true
			}
			require.Len(t, seen, len(p.edges))
		})
	}
}

// The corners of a box: bit i of the number of a corner says on which side of axis i it is.
func TestCornersOfABox(t *testing.T) {
	for k, corner := range box(1, 2, 3, 8, 10, 14).polytope().corners {
		want := r3.Vector{X: []float64{1, 8}[k&1], Y: []float64{2, 10}[k>>1&1], Z: []float64{3, 14}[k>>2]}
		require.Equal(t, want, corner)
	}
}

// A face is thin when one of its sides is no longer than Tolerance: with it there is no
// telling inside from outside.
func TestThinFaces(t *testing.T) {
	thin := func(p polytope) (list []bool) {
		for _, f := range p.faces {
			list = append(list, f.thin)
		}
		return list
	}
	no, yes := false, true
	for _, c := range []struct {
		body interface{ polytope() polytope }
		want []bool // front and back, left and right, top and bottom
	}{
		{box(0, 0, 0, 5, 6, 7), []bool{no, no, no, no, no, no}},
		{box(0, 0, 0, 5, 6, 0), []bool{yes, yes, yes, yes, no, no}},
		{box(0, 0, 0, 5, 6, Tolerance), []bool{yes, yes, yes, yes, no, no}},
		{box(0, 0, 0, 5, 6, 1.5*Tolerance), []bool{no, no, no, no, no, no}},
		{box(0, 0, 0, 0, 6, 7), []bool{no, no, yes, yes, yes, yes}},
		{box(0, 0, 0, 5, 0, 7), []bool{yes, yes, no, no, yes, yes}},
		// The three sides, then the ends.
		{Prism{Profile: polygon(t, 0, 0, 4, 0, 0, 3), Depth: r1.IntervalFromPoint(5)}, []bool{yes, yes, yes, no, no}},
		{Prism{Profile: Polygon{points(0, 0, 4, 0, 4, 3, 0, Tolerance/2)}, Depth: r1.Interval{Hi: 5}}, []bool{no, no, no, yes, yes, yes}},
		{Prism{Profile: polygon(t, 0, 0, 4, 0, 0, 3), Depth: r1.Interval{Hi: 1e-3}}, []bool{no, no, no, no, no}},
	} {
		require.Equal(t, c.want, thin(c.body.polytope()), "%v", c.body)
	}
}

// What a prism is cut off at lies beyond the other body, and beyond its own end; a bounded
// prism stays as it is.
func TestBoundedPrism(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct{ depth, other, least r1.Interval }{
		{r1.Interval{Lo: 2, Hi: 5}, r1.Interval{Lo: -50, Hi: 50}, r1.Interval{Lo: 2, Hi: 5}},
		{r1.Interval{Lo: -inf, Hi: inf}, r1.Interval{Lo: -50, Hi: 70}, r1.Interval{Lo: -51, Hi: 71}},
		{r1.Interval{Lo: -inf, Hi: inf}, r1.Interval{Lo: -inf, Hi: 70}, r1.Interval{Lo: 69, Hi: 71}},
		{r1.Interval{Lo: -inf, Hi: inf}, r1.Interval{Lo: -50, Hi: inf}, r1.Interval{Lo: -51, Hi: -49}},
		{r1.Interval{Lo: -inf, Hi: inf}, r1.Interval{Lo: -inf, Hi: inf}, r1.Interval{Lo: -1, Hi: 1}},
		{r1.Interval{Lo: -inf, Hi: 5}, r1.Interval{Lo: 8, Hi: 9}, r1.Interval{Lo: 4, Hi: 5}},
		{r1.Interval{Lo: -inf, Hi: 5}, r1.Interval{Lo: -30, Hi: 9}, r1.Interval{Lo: -31, Hi: 5}},
		{r1.Interval{Lo: 5, Hi: inf}, r1.Interval{Lo: -9, Hi: -8}, r1.Interval{Lo: 5, Hi: 6}},
		{r1.Interval{Lo: 5, Hi: inf}, r1.Interval{Lo: -9, Hi: 30}, r1.Interval{Lo: 5, Hi: 31}},
	} {
		got := Prism{Depth: c.depth}.bounded(c.other).Depth
		require.Equal(t, c.least, got, "%v beside %v", c.depth, c.other)
	}
}

// The directions of a prism's edges, listed without its corners, are those of its edges.
func TestDirectionsOfAPrism(t *testing.T) {
	for _, view := range []View{SideView, FrontView} {
		p := Prism{Profile: polygon(t, 0, 0, 40, 0, 50, 20, 30, 30, 5, 25), View: view, Depth: r1.Interval{Lo: -4, Hi: 9}}
		listed, edges := p.directions(), p.polytope().directions()
		parallelIn := func(list []r3.Vector) func(r3.Vector) bool {
			return func(d r3.Vector) bool {
				return slices.ContainsFunc(list, func(e r3.Vector) bool { return d.Cross(e).Norm() < 1e-9*d.Norm()*e.Norm() })
			}
		}
		for _, d := range listed {
			require.InDelta(t, 1, d.Norm(), 1e-12)
			require.True(t, parallelIn(edges)(d), "%v", d)
		}
		for _, e := range edges {
			require.True(t, parallelIn(listed)(e), "%v", e)
		}
	}
}
