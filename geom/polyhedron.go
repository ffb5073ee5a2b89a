package geom

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"
)

// Polyhedron is a bounded convex body with flat faces, such as what is left of another
// after a cut. The zero value has no points.
//
// It is a value: cutting one gives another, and the corners of the first are not changed.
type Polyhedron struct {
	shape polytope
	// Curved tells that it stands for a body with a curved surface: then the shortest
	// distance counts to it, as to that.
	Curved bool
}

// PolyhedronFromBox returns a box as a polyhedron.
func PolyhedronFromBox(b Box) Polyhedron { return Polyhedron{shape: b.polytope()} }

// PolyhedronFromPrism returns a bounded prism as a polyhedron.
func PolyhedronFromPrism(p Prism) Polyhedron { return Polyhedron{shape: p.polytope()} }

// Extent implements Solid. Empty where there are no corners.
func (p Polyhedron) Extent(u r3.Vector) r1.Interval {
	e := r1.Interval{Lo: math.Inf(1), Hi: math.Inf(-1)}
	for _, c := range p.shape.corners {
		d := u.Dot(c)
		e.Lo, e.Hi = min(e.Lo, d), max(e.Hi, d)
	}
	return e
}

// Normals implements Solid.
func (p Polyhedron) Normals() []r3.Vector {
	list := make([]r3.Vector, 0, len(p.shape.faces))
	for _, f := range p.shape.faces {
		list = appendNew(list, f.normal)
	}
	return list
}

// Round implements Solid.
func (p Polyhedron) Round() bool { return p.Curved }

// Corners returns the corners, each once.
func (p Polyhedron) Corners() []r3.Vector { return slices.Clone(p.shape.corners) }

// Faces returns the corners of each face, counter-clockwise seen from outside.
func (p Polyhedron) Faces() [][]r3.Vector {
	var list [][]r3.Vector
	for _, f := range p.shape.faces {
		list = append(list, p.loop(f))
	}
	return list
}

// loop is where the corners of a face are.
func (p Polyhedron) loop(f face) []r3.Vector {
	loop := make([]r3.Vector, len(f.loop))
	for i, k := range f.loop {
		loop[i] = p.shape.corners[k]
	}
	return loop
}

// Planes returns the half-spaces that the body is all that is common to, one for each face.
func (p Polyhedron) Planes() []HalfSpace {
	var list []HalfSpace
	for _, f := range p.shape.faces {
		list = append(list, HalfSpace{Normal: f.normal, Offset: f.normal.Dot(p.shape.corners[f.loop[0]])})
	}
	return list
}

// Volume returns that of the body, in mm³, by the divergence theorem. Triangles from one corner,
// each a tetrahedron with the first corner of the body; so a small body far out keeps its digits.
func (p Polyhedron) Volume() float64 {
	sum := 0.0
	for _, f := range p.shape.faces {
		first := p.shape.corners[f.loop[0]].Sub(p.shape.corners[0])
		for k := 2; k < len(f.loop); k++ {
			a, b := p.shape.corners[f.loop[k-1]], p.shape.corners[f.loop[k]]
			sum += first.Dot(a.Sub(p.shape.corners[0]).Cross(b.Sub(p.shape.corners[0])))
		}
	}
	return sum / 6
}

// IsSliver tells whether the body has no points or is no thicker, along a normal of a face,
// than a nanometre.
func (p Polyhedron) IsSliver() bool {
	return len(p.shape.faces) < 4 || slices.ContainsFunc(p.shape.faces, func(f face) bool {
		return p.Extent(f.normal).Length() <= sliver
	})
}

// Contains tells whether q is in the body or on its surface. False for a body without points.
func (p Polyhedron) Contains(q r3.Vector) bool {
	return len(p.shape.faces) > 0 && !slices.ContainsFunc(p.shape.faces, func(f face) bool {
		return q.Sub(p.shape.corners[f.loop[0]]).Dot(f.normal) > Tolerance
	})
}

// Grown returns the body with every face moved out by d, but not beyond the level box that
// is d larger than the one around it: there sharp edges would reach further than any point
// within d of the body. A negative d moves faces inwards; slivers and bodies without points may be
// left.
func (p Polyhedron) Grown(d float64) Polyhedron {
	if d == 0 || len(p.shape.faces) == 0 {
		return p
	}
	low, high := Bounds(p)
	more := r3.Vector{X: d, Y: d, Z: d}
	out := PolyhedronFromBox(BoxFromCorners(low.Sub(more), high.Add(more)))
	out.Curved = p.Curved
	for _, n := range p.Normals() {
		out = out.Clipped(HalfSpace{Normal: n, Offset: p.Extent(n).Hi + d})
	}
	return out
}

// PolyhedronOf returns a bounded solid with its faces, see Surface, as a polyhedron; one without points
// of a solid without end or of another package. So whatever has faces can be cut and weighed.
func PolyhedronOf(s Solid, around int) Polyhedron {
	if shape, ok := s.(Shape); ok {
		return shape.polyhedron(around)
	}
	return Polyhedron{}
}

// enclosed returns the convex body within the faces of a solid, see Surface.
func enclosed(s Shape, around int) Polyhedron {
	low, high := Bounds(s)
	more := r3.Vector{X: 1, Y: 1, Z: 1}
	p := PolyhedronFromBox(BoxFromCorners(low.Sub(more), high.Add(more)))
	for _, f := range s.Surface(around) {
		p = p.Clipped(HalfSpace{Normal: f.Normal, Offset: f.Normal.Dot(f.Corners[0])})
	}
	return p
}

// Without returns what is left of the body when the part in all of some half-spaces is
// taken out, in convex pieces without slivers. Where that part is a sliver the body stays
// whole. As Polygon.Without: each half-space in turn cuts off the piece beyond it.
func (p Polyhedron) Without(region []HalfSpace) []Polyhedron {
	if p.Clipped(region...).IsSliver() {
		return []Polyhedron{p}
	}
	var rest []Polyhedron
	for _, h := range region {
		if out := p.Clipped(h.Other()); !out.IsSliver() {
			rest = append(rest, out)
		}
		p = p.Clipped(h)
	}
	return rest
}

// Clipped returns the part of the body in half-spaces. It may have no points, or be a
// sliver. Corners within Tolerance of a plane count as on it. Faces that are cut away leave no
// trace; a new face lies in the plane.
func (p Polyhedron) Clipped(by ...HalfSpace) Polyhedron {
	for _, h := range by {
		p.shape = p.shape.clipped(h)
	}
	return p
}

// clipped is the part of a body in a half-space.
//
// Method: each face is clipped as a polygon (Sutherland and Hodgman, see Polygon.Clipped);
// the new edges, one of each face that is cut, backwards make the new face.
func (p polytope) clipped(h HalfSpace) polytope {
	c := clipper{polytope: p, height: make([]float64, len(p.corners)), cut: map[[2]int]int{}}
	least, most := math.Inf(1), math.Inf(-1)
	for i, q := range p.corners {
		d := h.Normal.Dot(q) - h.Offset
		if math.Abs(d) <= Tolerance {
			d = 0
		}
		c.height[i] = d
		least, most = math.Min(least, d), math.Max(most, d)
	}
	// All of it is in the half-space.
	if most <= 0 {
		return p
	}
	// Nothing of it is, but perhaps a face.
	if least >= 0 {
		return polytope{}
	}
	c.corners = slices.Clone(p.corners)
	// Edges in the plane, backwards: they bound the new face.
	after := map[int]int{}
	var faces []face
	for _, f := range p.faces {
		f.loop = c.loop(f.loop)
		if len(f.loop) < 3 {
			continue
		}
		faces = append(faces, f)
		for i, a := range f.loop {
			if b := f.loop[(i+1)%len(f.loop)]; c.height[a] == 0 && c.height[b] == 0 {
				after[b] = a
			}
		}
	}
	if lid := ringOf(after); len(lid) >= 3 {
		faces = append(faces, face{normal: h.Normal, loop: lid})
	}
	return polytope{corners: c.corners, faces: faces}.tidy()
}

// clipper cuts the faces of a polytope along a plane.
type clipper struct {
	polytope
	height []float64      // the plane, by corner; 0 on it
	cut    map[[2]int]int // the corner made on each edge, by its ends, the lower first
}

// loop is the part of a face that is not above the plane. Corners that are made are shared with the
// face on the other side of the edge (between).
func (c *clipper) loop(corners []int) []int {
	var kept []int
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		if c.height[a] <= 0 {
			kept = append(kept, a)
		}
		if c.height[a]*c.height[b] < 0 {
			kept = append(kept, c.between(a, b))
		}
	}
	return kept
}

// between is where the plane cuts an edge: the same corner for both faces that meet in it. By the
// lower index first, whichever face asks, so that rounding is the same for both.
func (c *clipper) between(a, b int) int {
	key := [2]int{min(a, b), max(a, b)}
	k, ok := c.cut[key]
	if !ok {
		low, high := c.corners[key[0]], c.corners[key[1]]
		t := c.height[key[0]] / (c.height[key[0]] - c.height[key[1]])
		k = len(c.corners)
		c.corners = append(c.corners, low.Add(high.Sub(low).Mul(t)))
		c.height = append(c.height, 0)
		c.cut[key] = k
	}
	return k
}

// ringOf follows each corner to the one after it, from the lowest, until it comes round. The limit
// on its length ends it where rounding has tied a knot.
func ringOf(after map[int]int) []int {
	if len(after) == 0 {
		return nil
	}
	start := -1
	for k := range after {
		if start < 0 || k < start {
			start = k
		}
	}
	ring := []int{start}
	for at, ok := after[start]; ok && at != start && len(ring) <= len(after); at, ok = after[at] {
		ring = append(ring, at)
	}
	return ring
}

// tidy drops corners that no face has, and finds the edges anew.
func (p polytope) tidy() polytope {
	at := make([]int, len(p.corners))
	for i := range at {
		at[i] = -1
	}
	t := polytope{}
	edges := map[[2]int]int{}
	for n, f := range p.faces {
		loop := make([]int, len(f.loop))
		for i, k := range f.loop {
			if at[k] < 0 {
				at[k] = len(t.corners)
				t.corners = append(t.corners, p.corners[k])
			}
			loop[i] = at[k]
		}
		t.faces = append(t.faces, face{normal: f.normal, loop: loop})
		for i, a := range loop {
			b := loop[(i+1)%len(loop)]
			if e, ok := edges[[2]int{b, a}]; ok {
				t.edges[e].right = n
				continue
			}
			edges[[2]int{a, b}] = len(t.edges)
			t.edges = append(t.edges, edge{a, b, n, n})
		}
	}
	return t.markThin()
}

// directions returns those of the edges, parallel ones once. 1e-24 is the square of a sine: what is
// as parallel as float64 can tell.
func (p polytope) directions() []r3.Vector {
	var list []r3.Vector
	for _, e := range p.edges {
		d := direction(p.corners[e.from], p.corners[e.to])
		if d != (r3.Vector{}) && !slices.ContainsFunc(list, func(o r3.Vector) bool { return d.Cross(o).Norm2() < 1e-24 }) {
			list = append(list, d)
		}
	}
	return list
}

// Surface implements Shape.
func (p Polyhedron) Surface(int) []Face {
	var list []Face
	for _, f := range p.shape.faces {
		list = append(list, Face{p.loop(f), f.normal})
	}
	return list
}

// Spine implements Shape: between the two corners that are farthest apart.
func (p Polyhedron) Spine() (from, to r3.Vector) {
	for _, a := range p.shape.corners {
		for _, b := range p.shape.corners {
			if b.Sub(a).Norm2() > to.Sub(from).Norm2() {
				from, to = a, b
			}
		}
	}
	return from, to
}

// support implements Shape: a corner.
func (p Polyhedron) support(u r3.Vector) r3.Vector {
	return slices.MaxFunc(p.shape.corners, func(a, b r3.Vector) int { return cmp.Compare(u.Dot(a), u.Dot(b)) })
}

// moved implements Shape.
func (p Polyhedron) moved(v r3.Vector) Solid {
	p.shape.corners = slices.Clone(p.shape.corners)
	for i, c := range p.shape.corners {
		p.shape.corners[i] = c.Add(v)
	}
	return p
}

// turned implements Shape: loops and edges stay, corners and normals turn.
func (p Polyhedron) turned(m Motion, at float64) Solid {
	shape := polytope{edges: p.shape.edges}
	for _, c := range p.shape.corners {
		shape.corners = append(shape.corners, m.Point(c, at))
	}
	for _, f := range p.shape.faces {
		f.normal = m.direction(f.normal, at)
		shape.faces = append(shape.faces, f)
	}
	p.shape = shape
	return p
}

// polyhedron implements Shape.
func (p Polyhedron) polyhedron(int) Polyhedron { return p }

// core implements Shape. One that stands for something curved is taken as it is, flat.
func (p Polyhedron) core() (core, bool) {
	return core{solid: p, normals: p.Normals(), directions: p.shape.directions()}, true
}

// features implements Shape.
func (p Polyhedron) features(Solid) polytope { return p.shape }
