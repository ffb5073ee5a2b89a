package proof

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/lp"
	"rackwright/pack/search/model"
)

// Of the planes of a clause with the frame most lie beyond the walls: a box past a rail on its far side
// is not in the opening. They are left out before the tree begins, and with them poses that have no
// plane left for some clause.

// roomSlack is what places have for rounding, in mm. A plane that is left out wrongly would make a
// bound wrong, one that is kept wrongly costs a branch.
const roomSlack = 1e-6

// within are the clauses of the parts and the solids of the frame for layouts with no less to spare
// than cutoff; nil where the search ended before they were made. They hold for that cutoff and
// greater ones; a tree makes them once, and once more when tools come in.
func (in *Inside) within(cutoff float64) [][][]model.Clause {
	made := in.made()
	if made == nil {
		return nil
	}
	all := make([][][]model.Clause, len(made))
	for kind, poses := range made {
		all[kind] = make([][]model.Clause, len(poses))
		for p, clauses := range poses {
			places := placesOf(in.m, kind, p, cutoff)
			for _, c := range clauses {
				all[kind][p] = append(all[kind][p], withoutEnds(in.m, within(in.m, c, places, cutoff), in.m.Walls[kind][p], cutoff))
			}
		}
	}
	return all
}

// within leaves out the planes of a clause that are beyond places. A plane with a factor below 0
// asks for more at a lesser spare, and is kept, to be safe.
func within(m *model.Model, c model.Clause, places geom.Polyhedron, cutoff float64) model.Clause {
	if len(c.Planes) == 0 {
		return c
	}
	out := model.Clause{Part: c.Part, Round: c.Round, Gap: c.Gap, Inner: c.Inner}
	for _, f := range c.Planes {
		if f.K < 0 || places.Extent(f.N).Hi >= f.D+f.K*cutoff-roomSlack {
			out.Planes = append(out.Planes, f)
		}
	}
	if len(out.Planes) == 0 {
		return never(m, c.Part)
	}
	return out
}

// withoutEnds leaves out of a clause with a round solid the planes past its ends that lead nowhere: who
// keeps to one of them keeps to one along its side as well, for the box is too long, or the room too
// narrow, for it to be past an end. They would be branches of their own, with everything below done
// twice.
func withoutEnds(m *model.Model, c model.Clause, walls []model.Plane, cutoff float64) model.Clause {
	if c.Round == nil || isNever(m, c) {
		return c
	}
	q := coreOf(c)
	t, _, _ := frameOf(q.from, q.to)
	along := func(f model.Plane) bool { return math.Abs(f.N.Dot(t)) < 1e-9 }
	var out []model.Plane
	for _, f := range c.Planes {
		if along(f) || !slices.ContainsFunc(c.Planes, func(g model.Plane) bool {
			return along(g) && g.N.Dot(f.N) > 0.5 && implies(m, append(walls[:len(walls):len(walls)], f), g, cutoff)
		}) {
			out = append(out, f)
		}
	}
	c.Planes = out
	return c
}

// implies tells whether a box that keeps to all of some planes, with no less to spare than cutoff, keeps
// to another: by a linear program whose value is safe. Maximising the negative, so that the safe
// bound is on the right side.
func implies(m *model.Model, all []model.Plane, g model.Plane, cutoff float64) bool {
	lo, hi := m.Lows(1), m.Highs(1)
	lo[3] = max(lo[3], cutoff)
	s := lp.New([]float64{-g.N.X, -g.N.Y, -g.N.Z, g.K}, lo, hi)
	for _, f := range all {
		s.Push(model.Side{Of: model.Relation{Sort: model.OfWall}, Plane: f}.Row(1))
	}
	s.Solve(math.Inf(-1))
	return -s.SafeBound(make([]float64, len(all))) >= g.D-1e-9
}

// never is a clause that nothing satisfies. One plane that lies outside of all bounds, so every
// program with it is refuted in the ordinary way.
func never(m *model.Model, part int) model.Clause {
	return model.Clause{Part: part, Planes: []model.Plane{{N: r3.Vector{Z: 1}, D: 8 * m.Size}}}
}

// isNever tells whether a clause is one that nothing satisfies.
func isNever(m *model.Model, c model.Clause) bool {
	return len(c.Planes) == 1 && c.Planes[0].D == 8*m.Size
}

// placesOf is a body that the middle of a box in a pose is in wherever it has no less than cutoff to
// spare: what the walls leave, with some room for rounding, or all that there is. Where clipping
// leaves hardly anything its rounding is not to be trusted, and nothing is left out.
func placesOf(m *model.Model, kind, pose int, cutoff float64) geom.Polyhedron {
	lo, hi := m.Lows(1), m.Highs(1)
	all := geom.PolyhedronFromBox(geom.BoxFromCorners(r3.Vector{X: lo[0], Y: lo[1], Z: lo[2]}, r3.Vector{X: hi[0], Y: hi[1], Z: hi[2]}))
	left := all
	for _, f := range m.Walls[kind][pose] {
		left = left.Clipped(geom.HalfSpace{Normal: f.N.Mul(-1), Offset: roomSlack - f.D - f.K*max(cutoff, -m.Size)})
	}
	if len(left.Corners()) < 4 {
		return all
	}
	return left
}

// usePoses leaves out the poses that some clause with the frame leaves no place, or that have no way from
// any. Where that would
// be all of them it is left to the tree to say so, which then has a proof for it.
func (v *prover) usePoses() {
	for kind, all := range v.allowed {
		var some poseSet
		all.each(func(p int) {
			for _, c := range v.rel.withReach(kind, p) {
				if isNever(v.m, c) {
					return
				}
			}
			if v.rel.ways == nil || v.rel.ways.leads[kind][p] {
				some.add(p)
			}
		})
		if some != (poseSet{}) {
			v.allowed[kind] = some
		}
	}
}

// lackOf is how much a clause leaves less than a spare at p; for one that asks for no spare by how many
// millimetres it is broken. Factors of a clause are all 0 or none is.
func lackOf(c *model.Clause, p r3.Vector, spare float64) float64 {
	if len(c.Planes) > 0 && c.Planes[0].K == 0 {
		least := math.Inf(1)
		for _, f := range c.Planes {
			least = min(least, -f.LeftAlone(p))
		}
		return least
	}
	return spare - c.Left(p)
}
