package frame

import (
	"math"

	"github.com/golang/geo/r2"

	"rackwright/geom"
)

// core returns what of a polygon is d or more from its surface, in convex pieces; none
// when there is nothing.
//
// Of a convex polygon it is the polygon with its sides moved in. Else strips of that
// thickness along the sides are taken out of its convex pieces, and a fan at each corner
// that points inward. The fan has flat sides inside of the true arc, so that what is left
// is never too small, by less than 2 % of d too large, there alone.
func core(p geom.Polygon, d float64) []geom.Polygon {
	if p.IsConvex() {
		if in, ok := p.Offset(-d); ok {
			return []geom.Polygon{in}
		}
		return nil
	}
	left := p.ConvexPieces()
	for i := range p.Corners {
		for _, region := range rind(p.Corners, i, d) {
			var next []geom.Polygon
			for _, piece := range left {
				next = append(next, piece.Without(region)...)
			}
			left = next
		}
	}
	return left
}

// rind is what is within d of the side from corner i on, and of that corner where it
// points inward, as convex regions.
func rind(corners []r2.Point, i int, d float64) [][]geom.HalfPlane {
	n := len(corners)
	a, b := corners[i], corners[(i+1)%n]
	before, side, after := a.Sub(corners[(i+n-1)%n]), b.Sub(a), corners[(i+2)%n].Sub(b)
	along, in := side.Normalize(), inward(a, b)
	start, startSides := longer(turn(before, side), before, a, d)
	end, endSides := longer(turn(side, after), after, b, d)
	strip := []geom.HalfPlane{
		{N: in, At: in.Dot(a) + d},
		{N: in.Mul(-1), At: -in.Dot(a)},
		{N: along, At: along.Dot(b) + end},
		{N: along.Mul(-1), At: start - along.Dot(a)},
	}
	regions := [][]geom.HalfPlane{append(append(strip, startSides...), endSides...)}
	if angle := -turn(before, side); angle > 0 {
		regions = append(regions, fan(a, in, angle, d))
	}
	return regions
}

// turn is the angle from one side to the next, positive to the left: a corner that points
// outward.
func turn(side, next r2.Point) float64 { return math.Atan2(side.Cross(next), side.Dot(next)) }

// longer is by how much a strip along a side may go on past a corner, where it turns into
// a neighbour: then fewer pieces are left over. Inside of the neighbour every point of the
// strip beyond the corner is within d of it, as long as its foot is on it.
func longer(turn float64, neighbour, corner r2.Point, d float64) (float64, []geom.HalfPlane) {
	more := (neighbour.Norm() - d*math.Sin(turn)) / math.Cos(turn)
	if turn < 0 || turn >= math.Pi/2 || more <= 0 {
		return 0, nil
	}
	out := r2.Point{X: neighbour.Y, Y: -neighbour.X}.Normalize()
	return more, []geom.HalfPlane{{N: out, At: out.Dot(corner)}}
}

// finest is the largest angle of one flat side of a fan.
const finest = math.Pi / 8

// fan is the sector of a disc of radius d around a corner, with flat sides inside of its
// arc: clockwise by angle, less than π, to the direction last.
func fan(corner, last r2.Point, angle, d float64) []geom.HalfPlane {
	sides := int(math.Ceil(angle / finest))
	step := angle / float64(sides)
	at := func(a float64) r2.Point { // the direction a before the last one
		sin, cos := math.Sincos(a)
		return r2.Point{X: last.X*cos - last.Y*sin, Y: last.X*sin + last.Y*cos}
	}
	first := at(angle)
	region := []geom.HalfPlane{
		{N: r2.Point{X: last.Y, Y: -last.X}}, {N: r2.Point{X: -first.Y, Y: first.X}},
	}
	for i := range sides {
		region = append(region, geom.HalfPlane{N: at((float64(i) + 0.5) * step), At: d * math.Cos(step/2)})
	}
	for i := range region {
		region[i].At += region[i].N.Dot(corner)
	}
	return region
}

// inward is the unit normal of the side from a to b of a counter-clockwise polygon, into it.
func inward(a, b r2.Point) r2.Point {
	d := b.Sub(a)
	return r2.Point{X: -d.Y, Y: d.X}.Normalize()
}
