package geom

import (
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"
)

// polytope is the corners, edges and faces of a flat-faced body, or of the segment
// in the middle of a tube. It serves the shortest distance, which is between two of
// these features.
//
// Edges know their two faces and faces their corners; corners know nothing. It is never changed
// once it is made, so that solids may share one.
type polytope struct {
	corners []r3.Vector
	edges   []edge
	faces   []face
}

// edge runs between two corners; left and right are the faces that meet in it, the
// same for that of a segment, which has none. The direction in which it runs means nothing.
type edge struct{ from, to, left, right int }

// face is a flat face: its outward normal, and its corners counter-clockwise seen
// from outside. A thin one, of a body without thickness, has no inside.
type face struct {
	normal r3.Vector
	loop   []int
	thin   bool
}

// Faces of a box in the order of Box.Normals. Corner k of a box lies on the high side
// of axis i when bit i of k is set.
var (
	boxLoops = [6][]int{{1, 3, 7, 5}, {0, 4, 6, 2}, {2, 6, 7, 3}, {0, 1, 5, 4}, {4, 5, 7, 6}, {0, 2, 3, 1}}
	boxEdges = []edge{
		{0, 1, 3, 5},
		{2, 3, 2, 5},
		{4, 5, 3, 4},
		{6, 7, 2, 4},
		{0, 2, 1, 5},
		{1, 3, 0, 5},
		{4, 6, 1, 4},
		{5, 7, 0, 4},
		{0, 4, 1, 3},
		{1, 5, 0, 3},
		{2, 6, 1, 2},
		{3, 7, 0, 2},
	}
)

func (b Box) polytope() polytope {
	// The loops are for right-handed axes; with one turned round the body is the same.
	b.Axes[2] = b.Axes[2].Mul(math.Copysign(1, b.Axes[0].Cross(b.Axes[1]).Dot(b.Axes[2])))
	p := polytope{corners: make([]r3.Vector, 8), edges: boxEdges, faces: make([]face, 6)}
	x, y, z := b.Axes[0].Mul(b.Half.X), b.Axes[1].Mul(b.Half.Y), b.Axes[2].Mul(b.Half.Z)
	for k := range p.corners {
		offset := x.Mul(highLow(k)).Add(y.Mul(highLow(k >> 1))).Add(z.Mul(highLow(k >> 2)))
		p.corners[k] = b.Centre.Add(offset)
	}
	for i := range p.faces {
		p.faces[i] = face{normal: b.Axes[i/2].Mul(-highLow(i)), loop: boxLoops[i]}
	}
	return p.markThin()
}

// highLow returns 1 when the lowest bit of k is set, else −1.
func highLow(k int) float64 { return float64(k&1*2 - 1) }

// polytope returns the features of a bounded prism. Corners of the low end come first, those of the
// high end after them in the same order.
func (p Prism) polytope() polytope {
	n := len(p.Profile.Corners)
	t := polytope{corners: make([]r3.Vector, n+n), faces: make([]face, n)}
	low, high := make([]int, n), make([]int, n)
	for i, c := range p.Profile.Corners {
		before, next := p.Profile.previous(i), p.Profile.next(i)
		t.corners[i], t.corners[n+i] = p.View.Point(c, p.Depth.Lo), p.View.Point(c, p.Depth.Hi)
		t.edges = append(t.edges, edge{i, next, i, n}, edge{n + i, n + next, i, n + 1}, edge{i, n + i, before, i})
		t.faces[i] = face{normal: p.View.Point(p.Profile.normal(i), 0), loop: []int{i, next, n + next, n + i}}
		low[i], high[i] = i, n+n-1-i
	}
	axis := p.View.Axis()
	t.faces = append(t.faces, face{normal: axis.Mul(-1), loop: low}, face{normal: axis, loop: high})
	return t.outward().markThin()
}

// outward reverses the loops that run clockwise seen from outside. (The front view
// is right-handed with its axis towards the viewer, the side view is not.) Every face but those of
// a plate has a side that is outside.
func (p polytope) outward() polytope {
	for _, f := range p.faces {
		if !p.turnsLeft(f) {
			slices.Reverse(f.loop)
		}
	}
	return p
}

// markThin marks the faces with a side too short to tell inside from outside; what
// is near to them is as near to their long sides.
func (p polytope) markThin() polytope {
	for i, f := range p.faces {
		last := p.corners[f.loop[len(f.loop)-1]]
		for _, k := range f.loop {
			p.faces[i].thin = p.faces[i].thin || p.corners[k].Distance(last) <= Tolerance
			last = p.corners[k]
		}
	}
	return p
}

// turnsLeft tells whether a face's loop is counter-clockwise about its normal. A
// loop of a flat prism's side has no area; either way round serves it. Twice the area along the
// normal; its sign is all that matters.
func (p polytope) turnsLeft(f face) bool {
	sum, first := 0.0, p.corners[f.loop[0]]
	for k := 2; k < len(f.loop); k++ {
		sum += p.corners[f.loop[k-1]].Sub(first).Cross(p.corners[f.loop[k]].Sub(first)).Dot(f.normal)
	}
	return sum >= 0
}

// bounded returns the prism with unbounded ends cut off beyond all that can matter
// for its shortest distance to other, which is at a depth that other reaches. The margin makes the
// new ends lie beyond what other can reach, so that they are never the nearest.
func (p Prism) bounded(other r1.Interval) Prism {
	const margin = 1
	lo, hi := p.Depth.Lo, p.Depth.Hi
	if math.IsInf(lo, -1) {
		p.Depth.Lo = finite(math.Min(other.Lo, hi), math.Min(other.Hi, hi)) - margin
	}
	if math.IsInf(hi, 1) {
		p.Depth.Hi = math.Max(finite(math.Max(other.Hi, lo), math.Max(other.Lo, lo)), p.Depth.Lo) + margin
	}
	return p
}

// finite returns the first of its arguments that is a finite number, or 0.
func finite(values ...float64) float64 {
	for _, v := range values {
		if !math.IsInf(v, 0) {
			return v
		}
	}
	return 0
}

// core is a body without its rounding: what is left of a tube is its segment. It is
// a flat body, perhaps without thickness. Normals and directions are what can part it from another
// core (see separateCores).
type core struct {
	solid      Solid // has no radius
	normals    []r3.Vector
	directions []r3.Vector // of the edges, each once or more; without thickness, of the edges if it had some
	radius     float64
}

// coreOf returns the core of a solid, and whether it has flat faces only.
func coreOf(s Solid) (core, bool) {
	if shape, ok := s.(Shape); ok {
		return shape.core()
	}
	return core{}, false
}

// axesAlong returns three perpendicular unit vectors, the first one along d; the
// vehicle's axes when d is zero. Which two are square to d does not matter, only that they are the
// same for the same d.
func axesAlong(d r3.Vector) [3]r3.Vector {
	if d == (r3.Vector{}) {
		return [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}
	}
	p := d.Ortho()
	return [3]r3.Vector{d, p, unit(d.Cross(p))}
}

// features returns the corners, edges and faces of c, cut to what matters beside other.
func (c core) features(other Solid) polytope {
	if shape, ok := c.solid.(Shape); ok {
		return shape.features(other)
	}
	return polytope{}
}
