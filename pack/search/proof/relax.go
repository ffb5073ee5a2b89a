package proof

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/search/model"
)

// relaxed is what can be said of a box while its pose is only known to be in a set:
// the clauses with, for every plane, the least that any pose of the set asks for.
// Whatever pose is taken, its own clauses imply these. Posts count only where the set
// holds a single pose.
//
// A clause in it is true of every pose of the set, so a layout that agrees with the node satisfies
// it. Where the set says nothing of a solid the clause is there without planes, which means no
// clause, so that numbers stay the same for all sets of a kind.
type relaxed struct {
	id     int
	kind   int
	set    poseSet
	poses  []int
	axes   [][3]r3.Vector // different ones
	walls  []model.Plane
	solids []model.Clause
	finer  []model.Clause // by solid, with a finer body inside of it; empty where there is none
}

// single tells whether the pose is settled.
func (x *relaxed) single() bool { return len(x.poses) == 1 }

// relaxation keeps relaxed boxes and pairs made so far. It belongs to one worker. It only grows,
// and is cleared between tasks when it has grown too large (prover.reset).
type relaxation struct {
	m      *model.Model
	sets   map[setKey]*relaxed
	pairs  map[[2]int][]model.Clause
	inner  [][][]model.Clause     // see innerOf
	pruned bool                   // planes beyond the walls are left out
	tools  *tools                 // nil where their room is not asked for
	ways   *ways                  // nil where boxes need not go in
	reach  map[[2]int][]passings  // by two poses; see reaching
	near   map[roundKey][]float64 // angles at which bodies inside round solids have more points
}

// setKey names a set of poses of a kind.
type setKey struct {
	kind int
	set  poseSet
}

// newRelaxation starts with nothing made.
func newRelaxation(m *model.Model, inner [][][]model.Clause) *relaxation {
	return &relaxation{m: m, inner: inner, sets: map[setKey]*relaxed{}, pairs: map[[2]int][]model.Clause{}, near: map[roundKey][]float64{}, reach: map[[2]int][]passings{}}
}

// of returns the relaxed box of a set of poses. The same set gives the same pointer: pairs are kept
// by its number.
func (r *relaxation) of(kind int, set poseSet) *relaxed {
	key := setKey{kind, set}
	if x := r.sets[key]; x != nil {
		return x
	}
	x := &relaxed{id: len(r.sets), kind: kind, set: set}
	set.each(func(p int) { x.poses = append(x.poses, p) })
	x.axes = r.axesOf(x)
	x.walls = r.relaxedWalls(x)
	x.solids = r.relaxedSolids(x)
	r.sets[key] = x
	return x
}

// axesOf lists the axes that poses of the set have: one for each tilt.
func (r *relaxation) axesOf(x *relaxed) [][3]r3.Vector {
	var all [][3]r3.Vector
next:
	for _, p := range x.poses {
		axes := r.m.Poses[x.kind][p].Axes
		for _, a := range all {
			if a == axes {
				continue next
			}
		}
		all = append(all, axes)
	}
	return all
}

// relaxedWalls relies on every pose having walls with the same normals in the same
// order, which holds because they come from the same half-spaces.
func (r *relaxation) relaxedWalls(x *relaxed) []model.Plane {
	var walls []model.Plane
	for i, p := range x.poses {
		for k, f := range r.m.Walls[x.kind][p] {
			if i == 0 {
				walls = append(walls, f)
			} else {
				walls[k].D = min(walls[k].D, f.D)
			}
		}
	}
	return walls
}

// relaxedSolids has a clause for each solid: with a single pose its own, with several
// one for the case over the directions of all of them. A solid that some pose meets with a post is
// unusable while the pose is open, since posts of different poses are different parts.
func (r *relaxation) relaxedSolids(x *relaxed) []model.Clause {
	if x.single() {
		return r.withReach(x.kind, x.poses[0])
	}
	var all []model.Clause
	for k := range r.inner[x.kind][x.poses[0]] {
		var c model.Clause
		usable := true
		for _, p := range x.poses {
			// The same solid for the same number, in all poses.
			own := r.inner[x.kind][p][k]
			c.Part = own.Part
			usable = usable && own.Part == 0
			c.Planes = weaker(c.Planes, own.Planes)
		}
		if !usable {
			c = model.Clause{Part: c.Part} // the place in the list counts
		}
		all = append(all, c)
	}
	return all
}

// weaker merges planes: all normals of both, each with the lesser demand. A normal
// that only one side has is kept, since it is a way out for that pose alone. a is changed and
// returned.
func weaker(a, b []model.Plane) []model.Plane {
	for _, f := range b {
		found := false
		for i := range a {
			if a[i].N == f.N && a[i].K == f.K {
				a[i].D = min(a[i].D, f.D)
				found = true
				break
			}
		}
		if !found {
			a = append(a, f)
		}
	}
	return a
}

// pair returns the clauses of two relaxed boxes, on the position of b less that of a. a and b may
// be the same set: two boxes of one kind.
func (r *relaxation) pair(a, b *relaxed) []model.Clause {
	key := [2]int{a.id, b.id}
	if c, ok := r.pairs[key]; ok {
		return c
	}
	var c []model.Clause
	if a.single() && b.single() {
		c = r.withTools(r.m.Poses[a.kind][a.poses[0]], r.m.Poses[b.kind][b.poses[0]])
	} else {
		c = []model.Clause{r.relaxedPair(a, b)}
	}
	r.pairs[key] = c
	return c
}

// withReach are the clauses of a pose with the frame, those of its tools after the others. The
// model's own list is never appended to: the capacity is cut.
func (r *relaxation) withReach(kind, pose int) []model.Clause {
	own := r.inner[kind][pose]
	if r.tools == nil {
		return own
	}
	return append(own[:len(own):len(own)], r.tools.reach[kind][pose]...)
}

// withTools are the clauses of two poses, those of their tools after the others.
func (r *relaxation) withTools(p, q *model.Pose) []model.Clause {
	own := r.m.PairingOf(p, q).Clauses
	if r.tools == nil {
		return own
	}
	return append(own[:len(own):len(own)], r.tools.pair(p, q)...)
}

// relaxedPair is the clause of two cases of which either's pose may be open: the planes along all
// axes that either may have, each with the least that it can ask.
func (r *relaxation) relaxedPair(a, b *relaxed) model.Clause {
	gap := model.CaseGap(r.m.Problem.Pack.Gaps)
	var c model.Clause
	for _, axes := range append(append([][3]r3.Vector(nil), a.axes...), b.axes...) {
		for _, u := range model.Directions(axes, geom.Box{Axes: axes}) {
			f := model.Plane{N: u, D: r.leastReach(a, u) + r.leastReach(b, u.Mul(-1)) + gap(u), K: 1}
			c.Planes = weaker(c.Planes, []model.Plane{f})
		}
	}
	return c
}

// leastReach is the least that the case extends along u in any pose of the set.
func (r *relaxation) leastReach(x *relaxed, u r3.Vector) float64 {
	least := math.Inf(1)
	for _, p := range x.poses {
		least = min(least, r.m.Poses[x.kind][p].Reach(0, u))
	}
	return least
}
