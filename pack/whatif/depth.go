package whatif

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack/lp"
)

// depthOf is how far the deepest point of some prisms is below a surface that they are
// inside of.
func depthOf(solids []geom.Solid, surface frame.Profile) float64 {
	deepest := 0.0
	for _, solid := range solids {
		s, ok := solid.(geom.Prism)
		if !ok {
			continue
		}
		if surface.Outline.IsConvex() {
			whole := geom.Prism{Profile: surface.Outline.Hull(), Depth: surface.Across}
			deepest = max(deepest, depthInConvex(s, whole))
			continue
		}
		// A prism has its points of the side view at each depth across, so the least of
		// the two distances is greatest where both are.
		side := max(s.Depth.Lo, min(s.Depth.Hi, surface.Across.Center()))
		ends := min(side-surface.Across.Lo, surface.Across.Hi-side)
		deepest = max(deepest, min(ends, depthInOutline(s.Profile, surface.Outline)))
	}
	return deepest
}

// depthInConvex is the greatest, over the points of a notch, of the distance to the
// nearest face of the whole. Both are convex, so it is the optimum of a linear program.
func depthInConvex(notch, whole geom.Solid) float64 {
	const far = 1e5
	s := lp.New([]float64{0, 0, 0, 1}, []float64{-far, -far, -far, 0}, []float64{far, far, far, far})
	push := func(n r3.Vector, at, deep float64) {
		s.Push(lp.Row{Index: []int{0, 1, 2, 3}, Coef: []float64{n.X, n.Y, n.Z, deep}, Bound: at})
	}
	for _, n := range notch.Normals() {
		push(n, notch.Extent(n).Hi, 0)
	}
	for _, n := range whole.Normals() {
		push(n, whole.Extent(n).Hi, 1)
	}
	if s.Solve(math.Inf(-1)) != lp.Optimal {
		return 0 // touches the surface only
	}
	return s.Value()
}

// fine is how much greater in mm a depth below an outline may come out.
const fine = 0.01

// depthInOutline is the greatest distance of a point of a convex part from the outline
// that it is inside of, at most fine more than it is.
//
// Method: squares around the part are quartered, as long as the distance at the middle and
// half of the diagonal, which it cannot exceed, are more than the greatest distance known
// by more than fine.
func depthInOutline(part, outline geom.Polygon) float64 {
	best := 0.0
	for _, c := range part.Corners {
		best = max(best, outline.DistanceToEdge(c))
	}
	b := part.Bounds()
	squares := []square{{b.Center(), max(b.X.Length(), b.Y.Length()) / 2}}
	for len(squares) > 0 {
		q := squares[len(squares)-1]
		squares = squares[:len(squares)-1]
		at := outline.DistanceToEdge(q.middle)
		if at+q.half*math.Sqrt2 <= best+fine || !q.meets(part) {
			continue
		}
		if part.Contains(q.middle) {
			best = max(best, at)
		}
		for _, d := range []r2.Point{{X: -1, Y: -1}, {X: -1, Y: 1}, {X: 1, Y: -1}, {X: 1, Y: 1}} {
			squares = append(squares, square{q.middle.Add(d.Mul(q.half / 2)), q.half / 2})
		}
	}
	return best + fine
}

// square is a level square.
type square struct {
	middle r2.Point
	half   float64 // of its side
}

// meets tells whether the square meets a convex polygon, or may do so.
func (q square) meets(p geom.Polygon) bool {
	for i, a := range p.Corners {
		side := p.Corners[(i+1)%len(p.Corners)].Sub(a)
		out := r2.Point{X: side.Y, Y: -side.X}
		if out.Dot(q.middle.Sub(a)) > q.half*(math.Abs(out.X)+math.Abs(out.Y)) {
			return false
		}
	}
	return true
}
