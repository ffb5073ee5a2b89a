package proof

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/search/model"
)

// A bound must be true of every layout, so against a round solid it works with a flat
// body inside the region that a part may not enter. That region, for a part at a
// required distance of gap + s, is the solid grown by gap + s; the flat body is the
// hull of points on its surface, all of which move outwards in proportion to s. A
// part that keeps clear of the region keeps clear of the body, so one of the planes
// of their Minkowski difference holds: those are the clause.

// rim is a point of such a body: at + s·grow.
type rim struct{ at, grow r3.Vector }

// shaped is where the point is at a spare of 1 mm. The normals of the body are the
// same at any spare above −gap, so they are taken there, where no edge has length 0.
func (q rim) shaped() r3.Vector { return q.at.Add(q.grow) }

// hullBody is a convex body by its points and edges. Neighbours in the lists need not be neighbours
// in the body: an edge may have length 0, where a ring is a single point.
type hullBody struct {
	points []rim
	edges  [][2]int
}

// Inside are, by kind and pose, the clauses of the parts and the solids of the frame, with flat
// bodies inside the round ones and those that move.
//
// Floor is the least spare at which every body still lies inside of what it stands for: a body
// shrinks by one millimetre with each that the spare falls, and has vanished at its core. The
// search passes it on to whatever claims a bound.
type Inside struct {
	m       *model.Model
	clauses [][][]model.Clause // see made
	Floor   float64            // the spare down to which they are true: no bound may be claimed below it
}

// NewInside says how far they are true. The bodies take long where there are many, and are made when
// they are first needed. That the floor is known at once lets bounds be told before any body is
// made.
func NewInside(m *model.Model) *Inside {
	in := &Inside{m: m, Floor: math.Inf(-1)}
	for _, poses := range m.Solids {
		for _, clauses := range poses {
			for _, c := range clauses {
				if c.Round != nil {
					in.Floor = max(in.Floor, -coreOf(c).grow)
				}
			}
		}
	}
	return in
}

// made are the clauses; nil where the search ended before they were made. One goroutine may ask at a
// time. Without clauses nothing can be bounded, so callers give up; a half-made table is never
// kept.
func (in *Inside) made() [][][]model.Clause {
	if in.clauses != nil {
		return in.clauses
	}
	made := faceted{}
	all := make([][][]model.Clause, len(in.m.Solids))
	for kind, poses := range in.m.Solids {
		all[kind] = make([][]model.Clause, len(poses))
		for p, clauses := range poses {
			for _, c := range clauses {
				switch {
				case in.m.Ended():
					return nil
				case c.Round != nil:
					c = made.clause(in.m.Poses[kind][p], c, cornerAngles(in.m.Poses[kind][p], c))
				// Four times the size of everything is outside of every program's bounds.
				case c.Inner != nil:
					c = in.m.Poses[kind][p].Inside(c, 4*in.m.Size)
				}
				all[kind][p] = append(all[kind][p], c)
			}
		}
	}
	in.clauses = all
	return all
}

// faceted keeps the bodies inside round solids and the normals of their sums with boxes,
// which all poses of one tilt share.
type faceted map[facetKey]facetBody

// facetKey is what a body depends on: not on the part, whose reach comes in with innerPlane.
type facetKey struct {
	round geom.Solid
	gap   float64
	axes  [3]r3.Vector
}

// facetBody is a body as far as planes need it.
type facetBody struct {
	normals []r3.Vector
	far     []rim // by normal: a point that reaches furthest along it
}

// clause is c, which is against a round solid, with a body that has ring points at the
// given angles, the same for every call. All poses of the same axes get the same normals, in the
// same order: sets of poses rely on it (weaker).
func (f faceted) clause(p *model.Pose, c model.Clause, angles []float64) model.Clause {
	key := facetKey{c.Round, c.Gap, p.Axes}
	b, there := f[key]
	if !there {
		body := roundBody(c, angles)
		b.normals = facets(p, body)
		for _, n := range b.normals {
			b.far = append(b.far, body.furthest(n))
		}
		f[key] = b
	}
	inner := model.Clause{Part: c.Part, Round: c.Round, Gap: c.Gap}
	for k, n := range b.normals {
		inner.Planes = append(inner.Planes, innerPlane(p, c.Part, b.far[k], n))
	}
	return inner
}

// ringAngles spreads angles evenly, and around each of the given ones more and more
// closely, down to a quarter of a degree. What branches is where a box touches; away from there a
// coarse body does as well and has fewer planes.
func ringAngles(near []float64) []float64 {
	var angles []float64
	for i := range ringSteps {
		angles = append(angles, 2*math.Pi*float64(i)/ringSteps)
	}
	for _, a := range near {
		angles = append(angles, wrap(a))
		for d := 0.25; d < 10; d *= 2 {
			angles = append(angles, wrap(a+d*math.Pi/180), wrap(a-d*math.Pi/180))
		}
	}
	slices.Sort(angles)
	return slices.CompactFunc(angles, func(a, b float64) bool { return math.Abs(b-a) < 1e-6 })
}

// wrap brings an angle to between 0 and 2π.
func wrap(a float64) float64 {
	a = math.Mod(a, 2*math.Pi)
	if a < 0 {
		a += 2 * math.Pi
	}
	return a
}

// core is a round solid with what it has to grow by at a spare of 0. Growing it by grow gives the
// solid and its gap, by grow + s the region that nothing may enter at a spare of s.
type core struct {
	from, to     r3.Vector
	radius, grow float64
}

// inset is by how many millimetres at most the core of a cylinder is smaller than the
// cylinder. Grown back it lies inside of the cylinder, so what it shows is true down to
// a spare of −(gap + inset): enough to show that nothing fits where the gap is 0. The core of a bar
// with flat ends must have some room to grow, or its edges would be rounded by nothing.
const inset = 0.01

// coreOf returns the core of a clause with a round bar: its segment where the ends are round, a
// slightly smaller bar where they are flat. Nothing else that is round has a body for a bound.
func coreOf(c model.Clause) core {
	bar, ok := geom.BarOf(c.Round)
	if !ok {
		panic("search: a round solid that is no bar")
	}
	if !bar.FlatEnds {
		return core{bar.From, bar.To, 0, bar.Radius + c.Gap}
	}
	axis := bar.To.Sub(bar.From)
	e := min(inset, bar.Radius/2, axis.Norm()/4)
	step := axis.Normalize().Mul(e)
	return core{bar.From.Add(step), bar.To.Sub(step), bar.Radius - e, c.Gap + e}
}

// frameOf is the axis of a round solid and two directions square to it. Which two does not matter,
// but every caller has to have the same, for angles are told by them.
func frameOf(from, to r3.Vector) (t, u, v r3.Vector) {
	t = to.Sub(from)
	if t.Norm2() == 0 {
		t = r3.Vector{Y: 1}
	}
	t = t.Normalize()
	u = t.Ortho()
	return t, u, t.Cross(u)
}

// roundBody puts rings of points on the surface of the solid of a clause, grown by
// gap + s. Six rings: the rim of each end, where the side begins, and half-way round the edge
// between the two. For a tube the first and the last are one point each, the poles.
func roundBody(c model.Clause, angles []float64) hullBody {
	q := coreOf(c)
	t, u, v := frameOf(q.from, q.to)
	var b hullBody
	// ring adds points at a radius of radius + out·(grow + s), moved along by grow + s.
	ring := func(at r3.Vector, radius, out, along float64) {
		for _, a := range angles {
			sin, cos := math.Sincos(a)
			w := u.Mul(cos).Add(v.Mul(sin))
			more := w.Mul(out).Add(t.Mul(along))
			b.points = append(b.points, rim{at.Add(w.Mul(radius)).Add(more.Mul(q.grow)), more})
		}
	}
	half := math.Sqrt(0.5)
	ring(q.from, q.radius, 0, -1) // around the flat end; for a tube all of it is the pole
	ring(q.from, q.radius, half, -half)
	ring(q.from, q.radius, 1, 0)
	ring(q.to, q.radius, 1, 0)
	ring(q.to, q.radius, half, half)
	ring(q.to, q.radius, 0, 1)
	b.joinRings(len(angles))
	return b
}

// joinRings makes the edges around each ring and from each ring to the next. The first and the last
// ring bound the two ends.
func (b *hullBody) joinRings(n int) {
	for i := range b.points {
		b.edges = append(b.edges, [2]int{i, i - i%n + (i+1)%n})
		if i+n < len(b.points) {
			b.edges = append(b.edges, [2]int{i, i + n})
		}
	}
}

// facets lists the outward normals of the Minkowski sum of the body and the part, a
// box with the pose's axes: every facet is spanned by two edges, of the body or of
// the box, that are extreme along its normal.
//
// That is quadratic in the edges, with each candidate held against all points. It is done once for
// a solid and axes, not for each pose.
func facets(p *model.Pose, b hullBody) []r3.Vector {
	var normals []r3.Vector
	add := func(n r3.Vector) {
		if !slices.ContainsFunc(normals, func(o r3.Vector) bool { return o.Sub(n).Norm2() < 1e-18 }) {
			normals = append(normals, n)
		}
	}
	// Directions of the body's edges.
	var own []r3.Vector
	for _, e := range b.edges {
		own = append(own, b.points[e[1]].shaped().Sub(b.points[e[0]].shaped()).Normalize())
	}
	for _, a := range p.Axes {
		add(a)
		add(a.Mul(-1))
	}
	for i, e := range own {
		for _, a := range p.Axes {
			b.addExtreme(e.Cross(a), []int{i}, add)
		}
		for j := range i {
			if b.touch(i, j) {
				b.addExtreme(e.Cross(own[j]), []int{i, j}, add)
			}
		}
	}
	return normals
}

// touch tells whether two edges share a point: only such span a facet of the body.
func (b hullBody) touch(i, j int) bool {
	e, f := b.edges[i], b.edges[j]
	return e[0] == f[0] || e[0] == f[1] || e[1] == f[0] || e[1] == f[1]
}

// addExtreme adds n and −n, as unit vectors, where all the given edges are extreme. Both ends of an
// edge have to reach as far as the body does, but for rounding.
func (b hullBody) addExtreme(n r3.Vector, edges []int, add func(r3.Vector)) {
	if n.Norm2() < 1e-12 {
		return
	}
	n = n.Normalize()
	for _, n := range []r3.Vector{n, n.Mul(-1)} {
		most := b.reach(n)
		extreme := true
		for _, e := range edges {
			for _, k := range b.edges[e] {
				extreme = extreme && n.Dot(b.points[k].shaped()) > most-1e-7
			}
		}
		if extreme {
			add(n)
		}
	}
}

// reach is how far the body extends along n at a spare of 1 mm.
func (b hullBody) reach(n r3.Vector) float64 {
	most := math.Inf(-1)
	for _, q := range b.points {
		most = max(most, n.Dot(q.shaped()))
	}
	return most
}

// furthest is a point of the body that reaches furthest along n. The first of several, so that
// clauses are the same each time.
func (b hullBody) furthest(n r3.Vector) rim {
	return slices.MaxFunc(b.points, func(x, y rim) int { return cmp.Compare(n.Dot(x.shaped()), n.Dot(y.shaped())) })
}

// innerPlane is the plane with normal n that a body pushes the part to: n·c is at
// least the body's reach along n plus the part's against it. One of the points that
// reach furthest, q, stands for the body at every spare: that never asks too much. K is how fast
// this point moves outwards along n: at most 1, so such planes give up less with the spare than
// true ones.
func innerPlane(p *model.Pose, part int, q rim, n r3.Vector) model.Plane {
	return model.Plane{N: n, D: n.Dot(q.at) + p.Reach(part, n.Mul(-1)), K: n.Dot(q.grow)}
}
