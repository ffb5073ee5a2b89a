package geom

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
)

// Polygon is a simple polygon: at least three corners, counter-clockwise, no two in
// the same place, no edge touching another but at their shared corner. Make one with
// PolygonFromCorners; the zero value is no polygon. Side i runs from corner i to
// corner i+1, the last one back to corner 0.
//
// It need not be convex. Methods that need that say so; Hull and ConvexPieces give polygons that
// are.
type Polygon struct {
	Corners []r2.Point
}

// Area returns the enclosed area in mm². It is negative for corners that run clockwise, as
// those of a hole do. The sum of the triangles from the first corner, each with its sign.
func (p Polygon) Area() float64 {
	sum := 0.0
	for i := range p.Corners {
		// From the first corner, so that a small polygon far out keeps its digits.
		sum += cross(p.Corners[0], p.Corners[i], p.Corners[p.next(i)])
	}
	return sum / 2
}

// Bounds returns the least axis-parallel rectangle around the polygon.
func (p Polygon) Bounds() r2.Rect { return r2.RectFromPoints(p.Corners...) }

// IsConvex tells whether no corner is reflex. Straight corners are allowed. Only for simple
// polygons: a star that winds twice turns left everywhere as well.
func (p Polygon) IsConvex() bool {
	for i := range p.Corners {
		if p.reflex(i) {
			return false
		}
	}
	return true
}

// reflex tells whether the polygon turns right at corner i by more than Tolerance.
func (p Polygon) reflex(i int) bool {
	return turn(p.Corners[p.previous(i)], p.Corners[i], p.Corners[p.next(i)], Tolerance) == right
}

// Contains tells whether q is inside or on the edge, within Tolerance.
func (p Polygon) Contains(q r2.Point) bool {
	return p.onEdge(q) || p.encloses(q)
}

// InteriorContains tells whether q is inside and not on the edge, within Tolerance.
func (p Polygon) InteriorContains(q r2.Point) bool {
	return !p.onEdge(q) && p.encloses(q)
}

// onEdge tells whether q is within Tolerance of a side.
func (p Polygon) onEdge(q r2.Point) bool { return p.DistanceToEdge(q) <= Tolerance }

// DistanceToEdge returns the distance of q, inside or outside, from the nearest side.
func (p Polygon) DistanceToEdge(q r2.Point) float64 {
	least := math.Inf(1)
	for i, c := range p.Corners {
		least = min(least, distanceToSegment(q, c, p.Corners[p.next(i)]))
	}
	return least
}

// encloses counts the edges that a ray from q to +X crosses; q is not on an edge. An odd number of
// crossings is inside. An end of an edge counts with the lower one alone, so that a corner is not
// counted twice.
func (p Polygon) encloses(q r2.Point) bool {
	inside := false
	for i, a := range p.Corners {
		b := p.Corners[p.next(i)]
		if (a.Y > q.Y) == (b.Y > q.Y) {
			continue
		}
		// The edge passes right of q when q lies left of it looking up.
		if math.Signbit(cross(a, b, q)) == math.Signbit(b.Y-a.Y) {
			inside = !inside
		}
	}
	return inside
}

// Offset returns a convex polygon with each side moved outwards by d (inwards when
// d is negative) and mitred: the corners are where the moved sides meet. Straight
// corners are dropped. It reports false when nothing with an area is left. Mitred corners reach
// farther than d: at a sharp corner by d over the sine of half its angle. Where that matters the
// caller cuts them off.
func (p Polygon) Offset(d float64) (Polygon, bool) {
	p = p.Hull()
	moved := p.Corners
	switch {
	// Sides move out and corners are where they meet.
	case d > 0:
		moved = p.mitred(d)
	// Sides move in, and each cuts away what is beyond it.
	case d < 0:
		for i, c := range p.Corners {
			n := p.normal(i)
			moved = clip(moved, n, dot(n, c)+d)
		}
	}
	moved = dropRepeated(moved)
	if len(moved) < 3 {
		return Polygon{}, false
	}
	result := Polygon{Corners: moved}.Hull()
	return result, len(result.Corners) >= 3
}

// mitred returns the corners of a strictly convex polygon after each side has moved
// outwards by d. 1 + cos of the turn is never 0 in a convex polygon with an area.
func (p Polygon) mitred(d float64) []r2.Point {
	corners := make([]r2.Point, len(p.Corners))
	for i, c := range p.Corners {
		m, n := p.normal(p.previous(i)), p.normal(i)
		// The corner moves to where both sides have moved by d.
		corners[i] = c.Add(m.Add(n).Mul(d / (1 + dot(m, n))))
	}
	return corners
}

// clip returns the part of a convex polygon's corners with normal·q ≤ offset. Corners on the line
// are kept, once.
func clip(corners []r2.Point, normal r2.Point, offset float64) []r2.Point {
	var kept []r2.Point
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		da, db := dot(normal, a)-offset, dot(normal, b)-offset
		if da <= 0 {
			kept = append(kept, a)
		}
		if da < 0 && db > 0 || da > 0 && db < 0 {
			kept = append(kept, a.Add(b.Sub(a).Mul(da/(da-db))))
		}
	}
	return kept
}

// dropRepeated keeps the last of corners that follow each other in the same place.
func dropRepeated(corners []r2.Point) []r2.Point {
	var kept []r2.Point
	for i, c := range corners {
		if c != corners[(i+1)%len(corners)] {
			kept = append(kept, c)
		}
	}
	return kept
}

// next and previous go round.
func (p Polygon) next(i int) int     { return (i + 1) % len(p.Corners) }
func (p Polygon) previous(i int) int { return (i + len(p.Corners) - 1) % len(p.Corners) }

// normal returns the outward unit normal of side i. Its components are exactly 0 and
// ±1 for an axis-parallel side. By division, not by multiplying with an inverse, which would spoil
// the last bit.
func (p Polygon) normal(i int) r2.Point {
	e := p.Corners[p.next(i)].Sub(p.Corners[i])
	n := math.Sqrt(dot(e, e))
	return r2.Point{X: e.Y / n, Y: -e.X / n}
}

// extent returns the projections of the polygon on u. u need not have length 1: projections scale
// with it.
func (p Polygon) extent(u r2.Point) r1.Interval {
	e := r1.Interval{Lo: math.Inf(1), Hi: math.Inf(-1)}
	for _, c := range p.Corners {
		d := dot(u, c)
		e.Lo, e.Hi = min(e.Lo, d), max(e.Hi, d)
	}
	return e
}

// dot and cross are r2's with their products rounded, so that every processor gets
// the same bits; cross is twice the signed area of the triangle a, b, c.
func dot(p, q r2.Point) float64 { return float64(p.X*q.X) + float64(p.Y*q.Y) }

func cross(a, b, c r2.Point) float64 {
	u, v := b.Sub(a), c.Sub(a)
	return float64(u.X*v.Y) - float64(u.Y*v.X)
}

// side says on which side of a line a point lies, or how a path turns.
type side int

const (
	straight side = iota
	left
	right
)

// turn tells how the path from a by b to c turns. It is straight when b is not
// farther than tolerance from the line through a and c; the path may double back. A tolerance of 0
// makes it exact but for the rounding of cross.
func turn(a, b, c r2.Point, tolerance float64) side {
	v, chord := cross(a, b, c), c.Sub(a)
	limit := tolerance * math.Sqrt(dot(chord, chord))
	switch {
	case v > limit:
		return left
	case v < -limit:
		return right
	}
	return straight
}

// distanceToSegment returns the distance of q from the segment a–b.
func distanceToSegment(q, a, b r2.Point) float64 {
	v := q.Sub(nearestOnSegment(q, a, b))
	return math.Sqrt(dot(v, v))
}

// nearestOnSegment is the point of the segment a–b nearest to q; a where the two are one.
func nearestOnSegment(q, a, b r2.Point) r2.Point {
	e := b.Sub(a)
	length2 := dot(e, e)
	if length2 == 0 {
		return a
	}
	t := dot(q.Sub(a), e) / length2
	switch {
	case t <= 0:
		return a
	case t >= 1:
		return b
	}
	return a.Add(e.Mul(t))
}
