package geom

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// solidCover covers in space. work is a share of MostWork, coarse by how many times it may be off.
type solidCover struct {
	Motion
	outer, inner Polyhedron
	room         Block
	work         float64 // that its hulls may take
	coarse       float64
}

// steep is how far a stretch may turn, for inside of it there is the body at its middle alone.
const steep = 6 * math.Pi / 180

// swaths begins as fine as wanted and gets four times coarser until the hulls cost no more than
// they may.
func (c solidCover) swaths() []Swath {
	if !c.Turns {
		hull := func(p Polyhedron) Polyhedron { return Hull(c.ways(p, c.Range, 0)) }
		return []Swath{{hull(c.outer), hull(c.inner), c.Range}}
	}
	coarse := 1.0
	n := float64(len(c.outer.shape.corners))
	// What would be far too much is not even cut up to see.
	if float64(len(c.sectors()))*n*n/4*c.Range.Length()/steep > c.work {
		coarse = coarsest
	}
	pieces := c.cut(coarse)
	for work(pieces) > c.work && coarse < coarsest {
		coarse *= 4
		pieces = c.cut(coarse)
	}
	if work(pieces) > c.work {
		low, high := Bounds(c.outer)
		c.outer = PolyhedronFromBox(BoxFromCorners(low, high))
		pieces = c.cut(coarsest)
	}
	var all []Swath
	for _, p := range pieces {
		for _, r := range p.stretches {
			s := Swath{Outer: Hull(c.ways(p.outer, r, arcError*coarse)), Inner: p.inner.turned(c.Motion, r.Center()), Range: r}
			if p.inner.IsSliver() {
				s.Inner = Polyhedron{}
			}
			all = append(all, s)
		}
	}
	return all
}

// sectorPiece is a part of the body with the stretches that its movement is cut into.
type sectorPiece struct {
	outer, inner Polyhedron
	stretches    []r1.Interval
}

// coarsest is how many times as far off as it should be a cover may be before its body is no
// longer cut at all; then it is the hull of a few stretches.
const coarsest = 1024

// cut cuts body and movement, for a cover that may be coarse times as far off as it should be. The
// coarsest is not cut at hollows: its hulls fill them.
func (c solidCover) cut(coarse float64) []sectorPiece {
	c.coarse = coarse
	regions := c.sectors()
	if coarse >= coarsest {
		regions = [][]HalfSpace{nil}
	}
	var pieces []sectorPiece
	for _, f := range regions {
		p := sectorPiece{outer: c.outer.Clipped(f...), inner: c.inner.Clipped(f...)}
		if !p.outer.IsSliver() {
			p.stretches = c.stretches(p.outer)
			pieces = append(pieces, p)
		}
	}
	return pieces
}

// work is about what the hulls of pieces take: each point of one is held against its faces. The
// faces of a hull are about as many as its points.
func work(pieces []sectorPiece) float64 {
	sum := 0.0
	for _, p := range pieces {
		n := float64(len(p.outer.shape.corners))
		sum += n * n * float64(len(p.stretches))
	}
	return sum
}

// ways are points around the ways of all corners in a stretch. Outside of the arcs, by no more than
// off.
func (c solidCover) ways(p Polyhedron, r r1.Interval, off float64) []r3.Vector {
	var points []r3.Vector
	for _, q := range p.shape.corners {
		points = append(points, c.arc(q, r, off, true)...)
	}
	return points
}

// sectors are what the body is cut into, seen along the axis, see the function of this name. A
// region is bounded by planes through the axis.
func (c solidCover) sectors() [][]HalfSpace {
	axes := axesAlong(c.Along)
	flat := func(v r3.Vector) r2.Point { return r2.Point{X: axes[1].Dot(v), Y: axes[2].Dot(v)} }
	var seen, cuts []r2.Point
	for _, q := range c.outer.shape.corners {
		seen = append(seen, flat(q.Sub(c.About)))
	}
	shadow := Polygon{Corners: hullOf(seen)}
	for _, f := range c.outer.shape.faces {
		n := flat(f.normal)
		if n.Norm() < 1e-6 {
			continue // does not move along its normal
		}
		n = n.Normalize()
		cuts = append(cuts, c.feet(f, n, seen)...)
	}
	var all [][]HalfSpace
	for _, region := range around(cuts, mean(shadow.Corners), r2.Point{}, shadow.InteriorContains(r2.Point{})) {
		var spaces []HalfSpace
		for _, h := range region {
			n := unit(axes[1].Mul(h.N.X).Add(axes[2].Mul(h.N.Y)))
			spaces = append(spaces, HalfSpace{Normal: n, Offset: n.Dot(c.About)})
		}
		all = append(all, spaces)
	}
	return all
}

// feet are the directions from the axis in which a face has to be cut. One on either side, where
// the face reaches to both.
func (c solidCover) feet(f face, n r2.Point, seen []r2.Point) []r2.Point {
	along := r2.Point{X: -n.Y, Y: n.X}
	before, after, low, high := math.Inf(-1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, k := range f.loop {
		q := seen[k]
		before, after = max(before, -q.Dot(along)), max(after, q.Dot(along))
		low, high = min(low, q.Dot(n)), max(high, q.Dot(n))
	}
	if hollowOf(before, after, steep) <= cornered {
		return nil
	}
	var list []r2.Point
	if high > Tolerance {
		list = append(list, n)
	}
	if low < -Tolerance || len(list) == 0 {
		list = append(list, n.Mul(-1))
	}
	return list
}

// stretches cuts the movement of a body for its hulls. Halved until both the arcs and the twist of
// edges are within what is allowed there.
func (c solidCover) stretches(p Polyhedron) []r1.Interval {
	far, twist := c.reach(p)
	var all []r1.Interval
	var halve func(r r1.Interval)
	halve = func(r r1.Interval) {
		off := c.allowed(p, r)
		if r.Length() > chord(far, off) || twist*r.Length() > off {
			halve(r1.Interval{Lo: r.Lo, Hi: r.Center()})
			halve(r1.Interval{Lo: r.Center(), Hi: r.Hi})
			return
		}
		all = append(all, r)
	}
	for _, r := range cutEvenly(c.Range, steep*math.Sqrt(c.coarse)) {
		halve(r)
	}
	return all
}

// reach is how far from the axis a body reaches, and the twist of its edges: an edge e of the
// rim seen along its velocity v sweeps a surface that is not flat, which the hull of its
// beginning and its end is off by Δβ/4 · |(ω×e)·n|, with n square to e and v.
func (c solidCover) reach(p Polyhedron) (far, twist float64) {
	for _, q := range p.shape.corners {
		far = max(far, c.Along.Cross(q.Sub(c.About)).Norm())
	}
	for _, e := range p.shape.edges {
		a, b := p.shape.corners[e.from], p.shape.corners[e.to]
		v := c.Along.Cross(a.Add(b).Mul(0.5).Sub(c.About))
		left, right := v.Dot(p.shape.faces[e.left].normal), v.Dot(p.shape.faces[e.right].normal)
		if still := 1e-9 * far; left > still && right > still || left < -still && right < -still {
			continue // all of it moves outward, or inward
		}
		along := b.Sub(a)
		if n := unit(along.Cross(v)); n != (r3.Vector{}) {
			twist = max(twist, math.Abs(c.Along.Cross(along).Dot(n))/4)
		}
	}
	return far, twist
}

// allowed is how far the hull of a stretch may be off what is swept: farther away from the
// room that matters a tenth of how far away it is. Without a room it is the same everywhere.
func (c solidCover) allowed(p Polyhedron, r r1.Interval) float64 {
	if c.room.X.IsEmpty() {
		return hollow * c.coarse
	}
	low, high := Bounds(Polyhedron{shape: polytope{corners: c.ways(p, r, arcError)}})
	apart := max(
		c.room.X.Lo-high.X, low.X-c.room.X.Hi, c.room.Y.Lo-high.Y, low.Y-c.room.Y.Hi, c.room.Z.Lo-high.Z, low.Z-c.room.Z.Hi,
	)
	return max(hollow, apart/farther) * c.coarse
}

// farther divides the distance from the room in what is allowed.
const farther = 10
