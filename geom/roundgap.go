package geom

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// separateCylinder returns the separation from a core to a cylinder.
//
// Apart, the nearest point of the core lies on an edge, where the distance to the
// cylinder is a convex function with a closed form, or inside a face, opposite the
// point of the cylinder that is farthest against the face's normal. Both give the
// distance to rounding.
//
// Overlapping, the depth is the least over all directions of the overlap of the
// projections. Of a convex body the least is found at a smooth place of its surface;
// of the difference of the two that is a face of the core, an end of the cylinder, an
// edge against the side, a corner against the side (all in closed form), or an edge
// against a rim. The last is searched for over the directions perpendicular to the
// edge, from samples 5° apart or less, each refined. A dip narrower than that could
// be overlooked; then the depth comes out too great, by less than 0.4 % of the
// cylinder's radius.
//
// There is no simple closed form for an edge against a rim; hence the search.
func separateCylinder(a core, b Cylinder) separation {
	p := a.features(b)
	c := cylinderFrame(b)
	if !c.overlaps(p) {
		// Two points within Tolerance of each other give no direction to rely on.
		if s := c.nearest(a, p); s.distance > Tolerance {
			return s
		}
	}
	s := c.deepest(a, p)
	// Of bodies that touch, rounding must not make two that are apart.
	s.distance = math.Min(s.distance, 0)
	return s
}

// framed is a cylinder by its middle, axis and half length. What is asked again and again of a
// cylinder is worked out once.
type framed struct {
	Cylinder
	middle, axis r3.Vector
	half         float64
}

// cylinderFrame works it out.
func cylinderFrame(c Cylinder) framed {
	return framed{
		Cylinder: c,
		middle:   c.From.Add(c.To).Mul(0.5),
		axis:     c.Axis(),
		half:     c.To.Sub(c.From).Norm() / 2,
	}
}

// nearestTo returns the point of the cylinder that is nearest to p. A point inside is its own
// nearest.
func (c framed) nearestTo(p r3.Vector) r3.Vector {
	v := p.Sub(c.middle)
	s := v.Dot(c.axis)
	radial := v.Sub(c.axis.Mul(s))
	if rho := radial.Norm(); rho > c.Radius {
		radial = radial.Mul(c.Radius / rho)
	}
	return c.middle.Add(radial).Add(c.axis.Mul(math.Max(-c.half, math.Min(c.half, s))))
}

// overlaps tells whether a polytope meets the cylinder: whether what is left of it
// between the planes of the ends, seen along the axis, comes within the radius. Corners between the
// ends and where edges pass through them are the corners of what is left.
func (c framed) overlaps(p polytope) bool {
	// Seen along the axis the cylinder is a circle.
	axes := axesAlong(c.axis)
	var seen []r2.Point
	see := func(q r3.Vector) {
		v := q.Sub(c.middle)
		seen = append(seen, r2.Point{X: v.Dot(axes[1]), Y: v.Dot(axes[2])})
	}
	height := func(k int) float64 { return p.corners[k].Sub(c.middle).Dot(c.axis) }
	for k, q := range p.corners {
		if math.Abs(height(k)) <= c.half {
			see(q)
		}
	}
	for _, e := range p.edges {
		from, to := height(e.from), height(e.to)
		for _, end := range []float64{-c.half, c.half} {
			if (from < end) != (to < end) {
				see(at(p.corners[e.from], p.corners[e.to], (end-from)/(to-from)))
			}
		}
	}
	return distanceToHull(r2.Point{}, hullOf(seen)) <= c.Radius
}

// distanceToHull returns the distance of q from a convex polygon, a segment or a
// point given by its corners; 0 inside, +Inf without corners. Corners are counter-clockwise, so
// inside is left of every side.
func distanceToHull(q r2.Point, hull []r2.Point) float64 {
	least, inside := math.Inf(1), len(hull) > 2
	for i, a := range hull {
		b := hull[(i+1)%len(hull)]
		least = math.Min(least, distanceToSegment(q, a, b))
		inside = inside && !math.Signbit(cross(a, b, q))
	}
	if inside {
		return 0
	}
	return least
}

// nearest returns the separation from a core with features p that does not meet the
// cylinder. A face is above the cylinder where the point of it that is farthest against the face's
// normal lies over the face.
func (c framed) nearest(a core, p polytope) separation {
	best := separation{distance: math.Inf(1)}
	for _, e := range p.edges {
		if s := c.nearestOnEdge(p.corners[e.from], p.corners[e.to]); s.distance < best.distance {
			best = s
			best.normal = c.squared(s, unit(p.corners[e.to].Sub(p.corners[e.from])), a.solid)
		}
	}
	// Inside a face only the point farthest against its normal can be nearest.
	for _, f := range p.faces {
		q := support(c.Cylinder, f.normal.Mul(-1))
		if foot, d, ok := p.drop(q, f); ok && d < best.distance {
			best = separation{d, f.normal, foot, q}
		}
	}
	return best
}

// nearestOnEdge returns the separation of the nearest point of an edge. The square
// of the distance is convex along it, so its derivative has one change of sign,
// found by halving until the place cannot be told apart.
func (c framed) nearestOnEdge(from, to r3.Vector) separation {
	d := to.Sub(from)
	rises := func(t float64) bool {
		p := at(from, to, t)
		return p.Sub(c.nearestTo(p)).Dot(d) > 0
	}
	lo, hi := 0.0, 1.0
	switch {
	case rises(lo):
		hi = lo
	case !rises(hi):
		lo = hi
	}
	for range 60 {
		mid := lo + (hi-lo)/2
		if mid == lo || mid == hi {
			break
		}
		if rises(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	p := at(from, to, hi)
	q := c.nearestTo(p)
	return separation{distance: q.Sub(p).Norm(), onA: p, onB: q}
}

// squared returns the direction of a separation from an edge along d. Rounding of
// the points matters when they are near to each other, so it tries the exact
// directions too and takes the one with the greatest gap. Between an edge and a rim neither is
// exact, and the gap along the joining line is the greatest.
func (c framed) squared(s separation, d r3.Vector, a Solid) r3.Vector {
	u := unit(s.onB.Sub(s.onA))
	best := separation{distance: math.Inf(-1)}
	best.consider(a, c.Cylinder, u)
	best.consider(a, c.Cylinder, unit(u.Sub(d.Mul(u.Dot(d)))))
	for _, v := range c.exact(d) {
		best.consider(a, c.Cylinder, v)
		best.consider(a, c.Cylinder, v.Mul(-1))
	}
	return best.normal
}

// exact returns the directions in which an edge along d can lie flat against the
// side of the cylinder or beside an end.
func (c framed) exact(d r3.Vector) []r3.Vector {
	list := []r3.Vector{c.axis}
	if u, ok := perpendicular(c.axis, d); ok {
		list = append(list, u)
	}
	return list
}

// deepest returns the direction of least overlap. Each candidate is a true bound on the
// displacement; missing one only makes it come out greater.
func (c framed) deepest(a core, p polytope) separation {
	best := separation{distance: math.Inf(-1)}
	both := func(u r3.Vector) {
		best.consider(a.solid, c.Cylinder, u)
		best.consider(a.solid, c.Cylinder, u.Mul(-1))
	}
	for _, n := range a.normals {
		best.consider(a.solid, c.Cylinder, n)
	}
	for _, d := range a.directions {
		for _, u := range c.exact(d) {
			both(u)
		}
	}
	// A corner against the side is nearest along the radius to it.
	for _, q := range p.corners {
		v := q.Sub(c.middle)
		if radial := unit(v.Sub(c.axis.Mul(v.Dot(c.axis)))); radial != (r3.Vector{}) {
			both(radial)
		}
	}
	for _, e := range p.edges {
		if p.corners[e.from] != p.corners[e.to] {
			best = c.deepestAlong(a, p, e, best)
		}
	}
	return best
}

// deepestAlong looks for a direction of less overlap than best among those
// perpendicular to an edge and between the normals of its faces; among all those
// perpendicular to it when it has no faces. Every sample that is no less than both of its
// neighbours begins a search.
func (c framed) deepestAlong(a core, p polytope, e edge, best separation) separation {
	axes := axesAlong(direction(p.corners[e.from], p.corners[e.to]))
	turn := fan{first: axes[1], second: axes[2], angle: 2 * math.Pi}
	if e.left != e.right {
		turn = fanBetween(p.faces[e.left].normal, p.faces[e.right].normal)
	}
	gap := func(angle float64) float64 { return GapAlong(a.solid, c.Cylinder, turn.at(angle)) }
	n, width := turn.stretches()
	for k := range n + 1 {
		middle := width * float64(k)
		g := gap(middle)
		if g < math.Max(gap(middle-width), gap(middle+width)) {
			continue
		}
		angle := climb(gap, middle-width, middle+width)
		best.consider(a.solid, c.Cylinder, turn.at(angle))
	}
	return best
}

// fan is the directions from first by angle towards second, which are perpendicular
// unit vectors. It may go all the way round.
type fan struct {
	first, second r3.Vector
	angle         float64
}

// fanBetween returns the fan from m to n, the short way round.
func fanBetween(m, n r3.Vector) fan {
	across := n.Sub(m.Mul(n.Dot(m)))
	return fan{first: m, second: unit(across), angle: math.Atan2(across.Norm(), n.Dot(m))}
}

// stretches returns into how many stretches, two or more, each of less than 5°, the fan
// is cut, and how wide they are.
func (f fan) stretches() (n int, width float64) {
	const most = math.Pi / 36
	n = int(f.angle/most) + 2
	return n, f.angle / float64(n)
}

// at is the direction at an angle from the first, in radians.
func (f fan) at(angle float64) r3.Vector {
	return unit(f.first.Mul(math.Cos(angle)).Add(f.second.Mul(math.Sin(angle))))
}

// climb returns where f, which has one peak between lo and hi, is greatest.
//
// Algorithm: golden section search, J. Kiefer, Sequential minimax search for a
// maximum, Proc. Amer. Math. Soc. 4 (1953) 502–506.
func climb(f func(float64) float64, lo, hi float64) float64 {
	ratio := (math.Sqrt(5) - 1) / 2
	p, q := hi-ratio*(hi-lo), lo+ratio*(hi-lo)
	fp, fq := f(p), f(q)
	// 0.618⁸⁰ ≈ 2e-17: as far as float64 can tell places apart.
	for range 80 {
		if fp >= fq {
			hi, q, fq = q, p, fp
			p = hi - ratio*(hi-lo)
			fp = f(p)
		} else {
			lo, p, fp = p, q, fq
			q = lo + ratio*(hi-lo)
			fq = f(q)
		}
	}
	return (lo + hi) / 2
}
