package proof

import (
	"math"
	"slices"
	"sync"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/entry"
	"rackwright/pack/lp"
	"rackwright/pack/search/model"
)

// A box comes out by up to three straight legs along the axes of the vehicle (see package entry). For a
// sequence of directions the places from which that is free are a union of convex pieces, exactly: a leg
// keeps clear of a convex body where, for one face of what the body is swept through against the leg, both
// of its ends are beyond that face. So a way is a few clauses, one for each leg and body, whose planes are
// linear in the place and in the lengths of the legs before the last; a straight way asks of the place
// alone. The programs of a node carry both (entering.go).
//
// What a body is swept through has the faces of the body's sum with the box that do not look against the
// leg, and those along the leg: each is spanned by the leg and an edge of the body or the box.
//
// All of it has to hold in every answer: bodies are inside of what they stand for, with no more air than
// every answer keeps.

// way is a sequence of directions, by their numbers in axisWays.
type way struct {
	dirs [mostLegs]int8
	legs int
}

// mostLegs is how many legs entry looks for.
const mostLegs = 3

// axisWays are the directions in which a box without a tilt moves. Number k^1 is opposite to number k.
var axisWays = [6]r3.Vector{{Z: 1}, {Z: -1}, {Y: 1}, {Y: -1}, {X: 1}, {X: -1}}

// dir is the direction of a leg.
func (w way) dir(leg int) r3.Vector { return axisWays[w.dirs[leg]] }

// allWays lists all sequences, those of few legs first. A leg does not go on along that before it, nor
// back.
var allWays = func() (all []way) {
	last := []way{{}}
	for legs := range mostLegs {
		var next []way
		for _, w := range last {
			for k := range int8(len(axisWays)) {
				if legs > 0 && w.dirs[legs-1]|1 == k|1 {
					continue
				}
				v := w
				v.dirs[legs], v.legs = k, legs+1
				next = append(next, v)
			}
		}
		all, last = append(all, next...), next
	}
	return all
}()

// passing is one way to keep clear on a leg: n·p + lift·l ≥ d, where p is the place of the box, or its
// place less that of the other box, and l the lengths of the legs before the last.
type passing struct {
	n    r3.Vector
	d    float64
	lift [mostLegs - 1]float64
}

// lack is by how much a place and legs lack that, in mm.
func (f *passing) lack(p r3.Vector, legs [mostLegs - 1]float64) float64 {
	return f.d - f.n.Dot(p) - f.lift[0]*legs[0] - f.lift[1]*legs[1]
}

// passings is a clause: one of them has to hold.
type passings []passing

// lack is what the clause lacks where it is nearest to being kept.
func (c passings) lack(p r3.Vector, legs [mostLegs - 1]float64) float64 {
	least := math.Inf(1)
	for k := range c {
		least = min(least, c[k].lack(p, legs))
	}
	return least
}

// ways makes the clauses of ways. It is shared by the provers of a tree; what it keeps is the same whoever
// asks first.
type ways struct {
	m       *model.Model
	bodies  []*shadow // of what is in the way whatever comes off, with its air
	beside  float64   // air between boxes
	longest float64   // that a leg may be: beyond all there is
	cutoff  float64   // that layouts have at least to spare
	leads   [][]bool  // by kind and pose: whether it has a way from some place

	sync.Mutex
	clear map[clearKey][]passings // past the frame; see past
	apart map[apartKey][]passings // past another box
	boxes map[boxKey]*shadow      // of parts of boxes
	open  map[int][]way           // by the number of a pose; see waysOf
}

// clearKey names the clauses of a pose and a way past the frame, apartKey those past another pose.
type (
	clearKey struct {
		pose int
		way  way
	}
	apartKey struct {
		pose, other int
		way         way
	}
	boxKey struct{ pose, part int }
)

// newWays are the ways of layouts with no less than cutoff to spare; nil where that cannot be said.
func newWays(m *model.Model, cutoff float64) *ways {
	cutoff = math.Max(0, cutoff-clearError)
	bars, beside, err := entry.Bars(m.Problem, cutoff)
	if err != nil {
		return nil
	}
	w := &ways{
		m: m, beside: beside, cutoff: cutoff, longest: m.Size,
		clear: map[clearKey][]passings{}, apart: map[apartKey][]passings{},
		boxes: map[boxKey]*shadow{}, open: map[int][]way{},
	}
	for _, b := range bars {
		body := bodyOf(b.Solid, b.Air)
		for _, q := range body.points {
			w.longest = max(w.longest, q.at.Norm())
		}
		if len(body.points) > 0 {
			w.bodies = append(w.bodies, shadowOf(body))
		}
	}
	w.longest = 4 * (w.longest + m.Size)
	left := mostAllSteps
	for kind := range m.Kinds {
		w.leads = append(w.leads, w.lead(kind, &left))
	}
	return w
}

// leastAir is what air is taken for none, in mm: bodies that are hardly thicker are not to be trusted.
const leastAir = 1e-3

// bodyOf is a body inside of all that a box without a tilt may not come into on its way: a flat solid whose
// faces are moved out by the air, or a body inside a round one.
func bodyOf(s geom.Solid, air float64) hullBody {
	if bar, ok := geom.BarOf(s); ok && s.Round() {
		var angles []float64
		t, u, v := frameOf(bar.From, bar.To)
		for _, a := range axisWays {
			if n := t.Cross(a); n.Norm2() > 1e-18 {
				angles = append(angles, wrap(math.Atan2(n.Dot(v), n.Dot(u))))
			}
		}
		slices.Sort(angles)
		angles = slices.CompactFunc(angles, func(a, b float64) bool { return math.Abs(b-a) < 1e-6 })
		return roundBody(model.Clause{Round: s, Gap: air}, angles)
	}
	if s.Round() || air < leastAir {
		return bodyOfFaces(geom.FacesOf(s, toolSides))
	}
	if b, ok := s.(geom.Box); ok {
		b.Half = b.Half.Add(r3.Vector{X: air, Y: air, Z: air})
		grown := geom.PolyhedronFromBox(b)
		if b.Axes == model.AxesOfVehicle {
			return bodyOfFaces(geom.FacesOf(grown, 0))
		}
		for _, u := range axisWays {
			grown = grown.Clipped(geom.HalfSpace{Normal: u, Offset: s.Extent(u).Hi + air})
		}
		return bodyOfFaces(geom.FacesOf(grown, 0))
	}
	return bodyOfFaces(geom.FacesOf(geom.PolyhedronOf(s, toolSides).Grown(air), 0))
}

// bodyOfFaces is a flat body. Corners are there once for each face, which does no harm.
func bodyOfFaces(faces []geom.Face) (b hullBody) {
	for _, f := range faces {
		first := len(b.points)
		for k, c := range f.Corners {
			b.points = append(b.points, rim{at: c})
			b.edges = append(b.edges, [2]int{first + k, first + (k+1)%len(f.Corners)})
		}
	}
	return b
}

// shadow is a body with the faces of its sum with a box without a tilt, and of what that sum is swept
// through against each direction: the normals, and how far the body reaches along them.
type shadow struct {
	faces []facing
	sides [len(axisWays)][]facing // those along the direction that are not among faces
}

// facing is a normal, and how far a body reaches along it.
type facing struct {
	n     r3.Vector
	reach float64
}

// shadowOf finds the faces of a body. Which box does not matter: all have the same edges.
func shadowOf(b hullBody) *shadow {
	s := &shadow{}
	facing := func(n r3.Vector) facing { return facing{n, n.Dot(b.furthest(n).at)} }
	normals := facets(&model.Pose{Axes: model.AxesOfVehicle}, b)
	for _, n := range normals {
		s.faces = append(s.faces, facing(n))
	}
	for k, along := range axisWays {
		seen := slices.Clone(normals)
		add := func(n r3.Vector) {
			if !slices.ContainsFunc(seen, func(o r3.Vector) bool { return o.Sub(n).Norm2() < 1e-18 }) {
				seen, s.sides[k] = append(seen, n), append(s.sides[k], facing(n))
			}
		}
		for _, a := range model.AxesOfVehicle {
			b.addExtreme(along.Cross(a), nil, add)
		}
		for i, e := range b.edges {
			b.addExtreme(along.Cross(b.points[e[1]].shaped().Sub(b.points[e[0]].shaped()).Normalize()), []int{i}, add)
		}
	}
	return s
}

// beyond are the clauses of a part of a pose and a body, one for each leg of a way. No body keeps its air
// but for rounding, so a little less is asked for than that.
func (s *shadow) beyond(p *model.Pose, part int, of way) []passings {
	all := make([]passings, of.legs)
	for leg := range of.legs {
		add := func(f facing, ends int) {
			g := passing{n: f.n, d: f.reach + p.Reach(part, f.n.Mul(-1)) - toolSlack}
			for k := range ends {
				g.lift[k] = f.n.Dot(of.dir(k))
			}
			all[leg] = append(all[leg], g)
		}
		for _, f := range s.faces {
			switch ahead := f.n.Dot(of.dir(leg)); {
			case ahead >= -1e-9:
				add(f, leg)
			case leg < of.legs-1:
				add(f, leg+1) // the far end of the leg is the nearer one
			}
		}
		for _, f := range s.sides[of.dirs[leg]] {
			add(f, leg)
		}
	}
	return all
}

// past are the clauses of a pose that goes a way past the frame, without those that hold wherever walls
// leave it.
func (w *ways) past(kind, pose int, of way) []passings {
	p := w.m.Poses[kind][pose]
	key := clearKey{p.ID, of}
	w.Lock()
	defer w.Unlock()
	if c, ok := w.clear[key]; ok {
		return c
	}
	c := w.clauses(kind, pose, of)
	if len(w.clear) >= mostPassings {
		clear(w.clear)
	}
	w.clear[key] = c
	return c
}

// clauses makes those of past. They are not empty, but one of them may be: then the way leads nowhere.
func (w *ways) clauses(kind, pose int, of way) []passings {
	p, places := w.m.Poses[kind][pose], placesOf(w.m, kind, pose, w.cutoff)
	all := []passings{}
	for part := range p.Parts {
		for _, b := range w.bodies {
			for _, c := range b.beyond(p, part, of) {
				if c, asks := asked(c, places); asks {
					all = append(all, c)
				}
			}
		}
	}
	return all
}

// asked leaves out of a clause the planes that no place satisfies, and tells whether some place may
// satisfy none of the others. Legs may be of any length.
func asked(c passings, places geom.Polyhedron) (some passings, asks bool) {
	for _, f := range c {
		in := places.Extent(f.n)
		if in.Lo >= f.d && min(f.lift[0], f.lift[1]) >= 0 {
			return nil, false
		}
		if in.Hi >= f.d-roomSlack || max(f.lift[0], f.lift[1]) > 0 {
			some = append(some, f)
		}
	}
	return some, true
}

// pastBox are the clauses of a pose that goes a way past a box in another, on its place less that of the
// other.
func (w *ways) pastBox(p, other *model.Pose, of way) []passings {
	key := apartKey{p.ID, other.ID, of}
	w.Lock()
	defer w.Unlock()
	if c, ok := w.apart[key]; ok {
		return c
	}
	all := []passings{}
	for k := range other.Parts {
		b := w.boxes[boxKey{other.ID, k}]
		if b == nil {
			b = shadowOf(bodyOf(other.Solid(k, r3.Vector{}), w.beside))
			w.boxes[boxKey{other.ID, k}] = b
		}
		for part := range p.Parts {
			all = append(all, b.beyond(p, part, of)...)
		}
	}
	if len(w.apart) >= mostPassings {
		clear(w.apart)
	}
	w.apart[key] = all
	return all
}

// waysOf lists the ways that a pose has from some place, with nothing but the frame there. What cannot be
// told with little work counts as one. A pose with a tilt has ways that are not looked at: known is false.
func (w *ways) waysOf(kind, pose int) (open []way, known bool) {
	p := w.m.Poses[kind][pose]
	if p.Axes != model.AxesOfVehicle {
		return nil, false
	}
	w.Lock()
	open, there := w.open[p.ID]
	w.Unlock()
	if there {
		return open, true
	}
	open = []way{}
	for _, of := range allWays {
		if w.m.Ended() {
			return nil, false
		}
		if some, _ := w.somewhere(kind, pose, of); some {
			open = append(open, of)
		}
	}
	w.Lock()
	w.open[p.ID] = open
	w.Unlock()
	return open, true
}

// lead tells of each pose whether it has a way from some place, as far as is known after so many steps.
func (w *ways) lead(kind int, left *int) (leads []bool) {
	for pose, p := range w.m.Poses[kind] {
		leads = append(leads, p.Axes != model.AxesOfVehicle || slices.ContainsFunc(allWays, func(of way) bool {
			if *left <= 0 || w.m.Ended() {
				return true
			}
			some, steps := w.somewhere(kind, pose, of)
			*left -= steps
			return some
		}))
	}
	return leads
}

// somewhere tells whether there may be a place from which a way is free, and in how many steps: by a small
// tree of its own, over the place and the lengths of the legs.
func (w *ways) somewhere(kind, pose int, of way) (some bool, steps int) {
	clauses := w.clauses(kind, pose, of)
	if slices.ContainsFunc(clauses, func(c passings) bool { return len(c) == 0 }) {
		return false, 1
	}
	lo, hi := w.m.Lows(1), w.m.Highs(1)
	lo[3] = w.cutoff
	for range mostLegs - 1 {
		lo, hi = append(lo, 0), append(hi, w.longest)
	}
	s := lp.New(make([]float64, len(lo)), lo, hi)
	for _, f := range w.m.Walls[kind][pose] {
		s.Push(model.Side{Of: model.Relation{Sort: model.OfWall}, Plane: f}.Row(1))
	}
	left := mostSteps
	some = w.below(s, clauses, &left)
	return some, mostSteps - left
}

// below decides whether a program and clauses leave something, or counts them as doing so.
func (w *ways) below(s *lp.Solver, clauses []passings, left *int) bool {
	*left--
	if *left < 0 {
		return true
	}
	if s.Solve(math.Inf(-1)) == lp.Infeasible && math.IsInf(s.SafeBound(make([]float64, len(s.Rows()))), -1) {
		return false
	}
	x := make([]float64, 3+mostLegs)
	s.X(x)
	p, legs := r3.Vector{X: x[0], Y: x[1], Z: x[2]}, [mostLegs - 1]float64{x[4], x[5]}
	worst := -1
	lack := leastBreach
	for k, c := range clauses {
		if l := c.lack(p, legs); l > lack {
			worst, lack = k, l
		}
	}
	if worst < 0 {
		return true
	}
	return slices.ContainsFunc(clauses[worst], func(f passing) bool {
		next := &lp.Solver{}
		next.CopyFrom(s)
		next.Push(f.row(1, 0, -1, 4))
		return w.below(next, clauses, left)
	})
}

// row writes it as a row for box i of so many, and j where that is not negative, with the lengths of the
// legs in the columns from first on.
func (f *passing) row(boxes, i, j, first int) lp.Row {
	of := model.Relation{Sort: model.OfWay, I: i}
	if j >= 0 {
		of = model.Relation{Sort: model.OfPass, I: i, J: j}
	}
	r := model.Side{Of: of, Plane: model.Plane{N: f.n, D: f.d}}.Row(boxes)
	for k, c := range f.lift {
		if c != 0 {
			r.Index, r.Coef = append(r.Index, first+k), append(r.Coef, -c)
		}
	}
	return r
}
