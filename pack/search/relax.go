package search

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// relaxed is what can be said of a box while its pose is only known to be in a set:
// the clauses with, for every plane, the least that any pose of the set asks for.
// Whatever pose is taken, its own clauses imply these. Posts count only where the set
// holds a single pose.
type relaxed struct {
	id     int
	kind   int
	set    poseSet
	poses  []int
	axes   [][3]r3.Vector // different ones
	walls  []plane
	solids []clause
}

// further is the index of the clause with a finer body inside solid k: behind those of
// all solids. It depends on nothing else, for decisions that name it go from worker to
// worker.
func (r *relaxation) further(kind, k int) int { return len(r.inner[kind][0]) + k }

// refined tells whether a clause of the frame with a kind is such a further one.
func (r *relaxation) refined(kind, which int) bool { return which >= len(r.inner[kind][0]) }

// single tells whether the pose is settled.
func (x *relaxed) single() bool { return len(x.poses) == 1 }

// relaxation keeps relaxed boxes and pairs made so far. It belongs to one worker.
type relaxation struct {
	m     *model
	sets  map[setKey]*relaxed
	pairs map[[2]int][]clause
	inner [][][]clause           // see innerOf
	near  map[roundKey][]float64 // angles at which bodies inside round solids have more points
}

type setKey struct {
	kind int
	set  poseSet
}

func newRelaxation(m *model, inner [][][]clause) *relaxation {
	return &relaxation{m: m, inner: inner, sets: map[setKey]*relaxed{}, pairs: map[[2]int][]clause{}, near: map[roundKey][]float64{}}
}

// of returns the relaxed box of a set of poses.
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

func (r *relaxation) axesOf(x *relaxed) [][3]r3.Vector {
	var all [][3]r3.Vector
next:
	for _, p := range x.poses {
		axes := r.m.poses[x.kind][p].axes
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
func (r *relaxation) relaxedWalls(x *relaxed) []plane {
	var walls []plane
	for i, p := range x.poses {
		for k, f := range r.m.walls[x.kind][p] {
			if i == 0 {
				walls = append(walls, f)
			} else {
				walls[k].d = min(walls[k].d, f.d)
			}
		}
	}
	return walls
}

// relaxedSolids has a clause for each solid: with a single pose its own, with several
// one for the case over the directions of all of them.
func (r *relaxation) relaxedSolids(x *relaxed) []clause {
	if x.single() {
		return r.inner[x.kind][x.poses[0]]
	}
	var all []clause
	for k := range r.inner[x.kind][x.poses[0]] {
		var c clause
		usable := true
		for _, p := range x.poses {
			own := r.inner[x.kind][p][k]
			c.part = own.part
			usable = usable && own.part == 0
			c.planes = weaker(c.planes, own.planes)
		}
		if !usable {
			c = clause{part: c.part} // the place in the list counts
		}
		all = append(all, c)
	}
	return all
}

// weaker merges planes: all normals of both, each with the lesser demand. A normal
// that only one side has is kept, since it is a way out for that pose alone.
func weaker(a, b []plane) []plane {
	for _, f := range b {
		found := false
		for i := range a {
			if a[i].n == f.n && a[i].k == f.k {
				a[i].d = min(a[i].d, f.d)
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

// pair returns the clauses of two relaxed boxes, on the position of b less that of a.
func (r *relaxation) pair(a, b *relaxed) []clause {
	key := [2]int{a.id, b.id}
	if c, ok := r.pairs[key]; ok {
		return c
	}
	var c []clause
	if a.single() && b.single() {
		c = r.m.pairingOf(r.m.poses[a.kind][a.poses[0]], r.m.poses[b.kind][b.poses[0]]).clauses
	} else {
		c = []clause{r.relaxedPair(a, b)}
	}
	r.pairs[key] = c
	return c
}

func (r *relaxation) relaxedPair(a, b *relaxed) clause {
	gap := caseGap(r.m.problem.Pack.Gaps)
	var c clause
	for _, axes := range append(append([][3]r3.Vector(nil), a.axes...), b.axes...) {
		for _, u := range directions(axes, geom.Box{Axes: axes}) {
			f := plane{n: u, d: r.leastReach(a, u) + r.leastReach(b, u.Mul(-1)) + gap(u), k: 1}
			c.planes = weaker(c.planes, []plane{f})
		}
	}
	return c
}

// leastReach is the least that the case extends along u in any pose of the set.
func (r *relaxation) leastReach(x *relaxed, u r3.Vector) float64 {
	least := math.Inf(1)
	for _, p := range x.poses {
		least = min(least, r.m.poses[x.kind][p].reach(0, u))
	}
	return least
}
