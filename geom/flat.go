package geom

import (
	"math"

	"github.com/golang/geo/r3"
)

// separation is how two bodies lie to each other: the signed shortest distance, the
// unit vector along which it is their gap, from a to b, and a pair of points. Points are only set
// where that is said; see separate.
type separation struct {
	distance float64
	normal   r3.Vector
	onA, onB r3.Vector
}

// flipped returns the separation from b to a. The normal points from a to b, so it turns round.
func (s separation) flipped() separation {
	return separation{s.distance, s.normal.Mul(-1), s.onB, s.onA}
}

// separateCores finds the separation of two cores: by the directions that can
// separate convex flat-faced bodies, which decide whether they overlap and how deep;
// and when they are apart by the nearest two features.
//
// Algorithm: S. Gottschalk, Separating axis theorem, TR96-024, UNC Chapel Hill
// (1996), with the axes of all faces and pairs of edges; a body without thickness is
// the limit of one with some. C. Ericson, Real-Time Collision Detection (2005),
// sections 5.1.9 and 5.1.10, for the features.
//
// Overlapping bodies are done with after the directions: the greatest gap, which is negative, is
// minus the least displacement. Only of bodies that are apart may the nearest points lie where no
// face and no pair of edges is.
func separateCores(a, b core) separation {
	s := separation{distance: math.Inf(-1)}
	for _, u := range a.normals {
		s.consider(a.solid, b.solid, u)
	}
	for _, u := range b.normals {
		s.consider(a.solid, b.solid, u.Mul(-1))
	}
	// By faces alone: the sheet gap.
	sheet := s.distance
	for _, d := range a.directions {
		for _, e := range b.directions {
			if u, ok := perpendicular(d, e); ok {
				s.consider(a.solid, b.solid, u)
				s.consider(a.solid, b.solid, u.Mul(-1))
			}
		}
	}
	// Written so that a distance that is no number counts as overlapping.
	if !(s.distance > 0) {
		return s
	}
	// From here on they are apart.
	p := newPairing(a.features(b.solid), b.features(a.solid), s)
	p.cornersToFaces()
	p.edgesToEdges()
	s = p.best
	s.normal = p.clearest(a.solid, b.solid)
	// Rounding must not put the distance below the sheet gap.
	s.distance = math.Max(s.distance, sheet)
	return s
}

// consider takes u when the gap along it is greater; of equals the first one stays. A gap that
// cannot be greater need not be worked out to the end; see gapOver.
func (s *separation) consider(a, b Solid, u r3.Vector) {
	if g := gapOver(a, b, u, s.distance); g > s.distance {
		s.distance, s.normal = g, u
	}
}

// perpendicular returns a unit vector perpendicular to both unit vectors, and false
// when they are parallel. Directions less than 1e-12 off parallel count as such: over
// 16 m they part by less than Tolerance would show.
func perpendicular(d, e r3.Vector) (r3.Vector, bool) {
	u := d.Cross(e)
	if u.Norm2() < 1e-24 {
		return r3.Vector{}, false
	}
	// Of nearly parallel directions the cross product keeps few digits. The error
	// along them would count over the whole length of an edge, so take it out: last
	// along an axis, where that leaves exactly 0, as unbounded prisms need.
	if isAxis(d) {
		d, e = e, d
	}
	u = unit(u)
	u = u.Sub(d.Mul(u.Dot(d)))
	return unit(u.Sub(e.Mul(u.Dot(e)))), true
}

// isAxis tells whether d lies along an axis of the vehicle. The sign does not matter.
func isAxis(d r3.Vector) bool {
	return d.X == 0 && d.Y == 0 || d.Y == 0 && d.Z == 0 || d.Z == 0 && d.X == 0
}

// pairing is the search for the nearest pair of features of two polytopes that are
// apart. Depths let it pass over features that are certainly farther from each other than a pair
// that is known.
type pairing struct {
	a, b           polytope
	depthA, depthB []float64 // of the corners, behind a sheet that separates the two
	sheet          float64   // thickness of that sheet
	best           separation
	normals        []r3.Vector // of the pairs as near as the best, within Tolerance
}

// newPairing prepares the search for a and b, which are apart by the sheet s.
func newPairing(a, b polytope, s separation) pairing {
	return pairing{
		a: a, b: b, sheet: s.distance,
		depthA: depths(a.corners, s.normal.Mul(-1)), depthB: depths(b.corners, s.normal),
		best:    separation{distance: math.Inf(1)},
		normals: []r3.Vector{s.normal},
	}
}

// consider takes a pair of features that is nearer. A pair at +Inf is none. Normals of ties are
// kept, since rounding decides which of them comes first; see clearest.
func (p *pairing) consider(s separation) {
	if math.IsInf(s.distance, 1) || s.distance > p.best.distance+Tolerance {
		return
	}
	if s.distance < p.best.distance-Tolerance {
		p.normals = p.normals[:1]
	}
	p.normals = appendNew(p.normals, s.normal)
	if s.distance < p.best.distance {
		p.best = s
	}
}

// clearest returns the normal with the greatest gap. Of pairs that rounding makes
// equally near only some have one that clears all of the bodies. The normal of the sheet that parts
// them is always among those tried.
func (p *pairing) clearest(a, b Solid) r3.Vector {
	best := separation{distance: math.Inf(-1)}
	for _, u := range p.normals {
		best.consider(a, b, u)
	}
	return best.normal
}

// depths returns how far each corner lies beyond the first one along u. Never negative, and 0 for
// at least one of them.
func depths(corners []r3.Vector, u r3.Vector) []float64 {
	d := make([]float64, len(corners))
	least := math.Inf(1)
	for i, c := range corners {
		d[i] = c.Dot(u)
		least = math.Min(least, d[i])
	}
	for i := range d {
		d[i] -= least
	}
	return d
}

// hopeless tells whether features at these depths cannot be nearer than the best. The sheet parts
// the bodies, so two points are at least its thickness and both depths apart.
func (p *pairing) hopeless(depthA, depthB float64) bool {
	return p.sheet+depthA+depthB > p.best.distance+Tolerance
}

// cornersToFaces looks at each corner of either body over each face of the other.
func (p *pairing) cornersToFaces() {
	for j, c := range p.b.corners {
		if p.hopeless(0, p.depthB[j]) {
			continue
		}
		p.consider(p.a.above(c))
	}
	for i, c := range p.a.corners {
		if p.hopeless(p.depthA[i], 0) {
			continue
		}
		p.consider(p.b.above(c).flipped())
	}
}

// above returns the separation of c from the nearest face that it stands above; its
// distance is +Inf when there is none.
func (p polytope) above(c r3.Vector) separation {
	s := separation{distance: math.Inf(1)}
	for _, f := range p.faces {
		if foot, d, ok := p.drop(c, f); ok && d < s.distance {
			s = separation{d, f.normal, foot, c}
		}
	}
	return s
}

// drop returns the foot of the perpendicular from c, which must not lie behind the
// face by more than rounding, and its length; false when the foot is outside of the
// face, or that is thin. The loop is counter-clockwise about the normal, so an inside foot is to
// the left of every side.
func (p polytope) drop(c r3.Vector, f face) (foot r3.Vector, distance float64, ok bool) {
	last := p.corners[f.loop[len(f.loop)-1]]
	distance = c.Sub(last).Dot(f.normal)
	if f.thin || distance < -Tolerance {
		return foot, distance, false
	}
	distance = math.Max(distance, 0)
	foot = c.Sub(f.normal.Mul(distance))
	for _, k := range f.loop {
		if p.corners[k].Sub(last).Cross(foot.Sub(last)).Dot(f.normal) < 0 {
			return foot, distance, false
		}
		last = p.corners[k]
	}
	return foot, distance, true
}

// edgesToEdges looks at each edge of the one with each of the other. Corners over edges and over
// corners are among these.
func (p *pairing) edgesToEdges() {
	for _, e := range p.a.edges {
		depthA := math.Min(p.depthA[e.from], p.depthA[e.to])
		if p.hopeless(depthA, 0) {
			continue
		}
		for _, f := range p.b.edges {
			if p.hopeless(depthA, math.Min(p.depthB[f.from], p.depthB[f.to])) {
				continue
			}
			p.consider(separateSegments(p.a.corners[e.from], p.a.corners[e.to], p.b.corners[f.from], p.b.corners[f.to]))
		}
	}
}

// separateSegments returns the nearest points of the segments a0–a1 and b0–b1, either
// of which may be a point. Where they touch the normal is zero. Clamping one place and then the
// other is exact for segments, because the square of the distance is convex (Ericson, section
// 5.1.9).
func separateSegments(a0, a1, b0, b1 r3.Vector) separation {
	d, e := a1.Sub(a0), b1.Sub(b0)
	// By the cross product: of nearly parallel segments d²e² − (d·e)² would keep no
	// digit. Square to both; zero where they are parallel, and then any place is as near.
	n := d.Cross(e)
	s := 0.0
	if n2 := n.Norm2(); n2 > 1e-24*d.Norm2()*e.Norm2() {
		s = clampUnit(b0.Sub(a0).Cross(e).Dot(n) / n2)
	}
	t := along(b0, e, a0.Add(d.Mul(s)))
	s = along(a0, d, b0.Add(e.Mul(t)))
	p, q := at(a0, a1, s), at(b0, b1, t)
	gap := q.Sub(p)
	return separation{gap.Norm(), squared(gap, d, s, e, t), p, q}
}

// squared returns the direction of gap, made perpendicular to the segments along d
// and e whose insides it starts and ends in: over a length of metres that matters. Where only one
// is inside it is square to that, and where neither is it runs from end to end.
func squared(gap, d r3.Vector, s float64, e r3.Vector, t float64) r3.Vector {
	insideA, insideB := s > 0 && s < 1, t > 0 && t < 1
	u := unit(gap)
	if insideA && insideB {
		if n, ok := perpendicular(unit(d), unit(e)); ok {
			return n.Mul(math.Copysign(1, n.Dot(gap)))
		}
	}
	if insideA {
		d = unit(d)
		u = unit(u.Sub(d.Mul(u.Dot(d))))
	}
	if insideB {
		e = unit(e)
		u = unit(u.Sub(e.Mul(u.Dot(e))))
	}
	return u
}

// along returns the place of the point of origin + t·d, t from 0 to 1, nearest to p.
// It is 0 where d is zero. The place is a part of the whole segment, not a length.
func along(origin, d, p r3.Vector) (t float64) {
	if d2 := d.Norm2(); d2 != 0 {
		t = clampUnit(p.Sub(origin).Dot(d) / d2)
	}
	return t
}

// at returns the point at place t of a segment, its very ends at 0 and 1. So that what touches at
// an end does so to the bit.
func at(from, to r3.Vector, t float64) r3.Vector {
	if t >= 1 {
		return to
	}
	return from.Add(to.Sub(from).Mul(t))
}

// clampUnit brings a number to between 0 and 1.
func clampUnit(t float64) float64 { return math.Max(0, math.Min(1, t)) }
