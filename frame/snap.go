package frame

import (
	"math"

	"github.com/golang/geo/r2"

	"rackwright/geom"
)

// snapFree snaps the corners of a polygon of free space inward, snapSolid those of a
// solid outward. A corner so sharp that no point of the lattice near it will do, and a
// polygon that would no longer be one, are left as they are: then numbers are off the
// lattice, and only the exactness of comparisons is lost.
func snapFree(p geom.Polygon) geom.Polygon  { return snapped(p, 1) }
func snapSolid(p geom.Polygon) geom.Polygon { return snapped(p, -1) }

func snapped(p geom.Polygon, side float64) geom.Polygon {
	corners := make([]r2.Point, len(p.Corners))
	for i := range corners {
		corners[i] = snapCorner(p.Corners, i, side)
	}
	if _, err := geom.PolygonFromCorners(corners); err != nil {
		return p
	}
	return geom.Polygon{Corners: corners}
}

// snapCorner returns the nearest lattice point that lies on the wanted side of both
// edges of a corner. Then both ends of an edge do, and with them the whole edge. An
// axis-parallel edge stays one: both ends go to the first row beyond it. The sharper the
// corner, the further along it the point.
func snapCorner(corners []r2.Point, i int, side float64) r2.Point {
	n := len(corners)
	c := corners[i]
	w := wedge{c, inward(corners[(i+n-1)%n], c).Mul(side), inward(c, corners[(i+1)%n]).Mul(side)}
	for _, steps := range []int{1, 4, 16, 32} { // the last finds one for a corner of 4°
		if q, ok := w.nearest(steps); ok {
			return q
		}
	}
	return c
}

// wedge is the points from the corner on that lie to the side of both normals.
type wedge struct{ corner, into, onto r2.Point }

// keeps tells whether q is in the wedge, and in the first row beyond an edge that is
// axis-parallel.
func (w wedge) keeps(q r2.Point) bool {
	move := q.Sub(w.corner)
	for _, n := range []r2.Point{w.into, w.onto} {
		if move.Dot(n) < 0 || n.X == 0 && q.Y != beyond(w.corner.Y, n.Y) || n.Y == 0 && q.X != beyond(w.corner.X, n.X) {
			return false
		}
	}
	return true
}

// beyond returns the first lattice value from v on in a direction.
func beyond(v, direction float64) float64 {
	if direction > 0 {
		return geom.SnapUp(v)
	}
	return geom.SnapDown(v)
}

// nearest returns the lattice point of the wedge that is nearest to its corner, among
// those so many steps from it.
func (w wedge) nearest(steps int) (best r2.Point, found bool) {
	base := r2.Point{X: geom.SnapDown(w.corner.X), Y: geom.SnapDown(w.corner.Y)}
	least := math.Inf(1)
	for dx := -steps; dx <= steps+1; dx++ {
		for dy := -steps; dy <= steps+1; dy++ {
			q := base.Add(r2.Point{X: float64(dx) * geom.Lattice, Y: float64(dy) * geom.Lattice})
			if d := q.Sub(w.corner).Norm(); d < least && w.keeps(q) {
				best, least, found = q, d, true
			}
		}
	}
	return best, found
}

func inward(a, b r2.Point) r2.Point {
	d := b.Sub(a)
	return r2.Point{X: -d.Y, Y: d.X}.Normalize()
}
