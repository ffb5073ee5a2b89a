package proof

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack/search/internal/depths"
	"rackwright/pack/search/model"
)

// Around the axis of a round solid the places that a box may not have are bounded by flat parts, where
// a face or an edge of the box touches, and by arcs, where a corner does. The clause of the solid has a
// plane for each flat part, and one through the ends of each arc: its chord. A place past the chord of
// an arc may still be too near. Then the arc is halved: the place is on one side or the other of the
// plane through the axis of the arc and its middle, and there past the chord of that half, for what is
// within a half is convex. So two branches that share no place come of one, and what lies between arc
// and chord becomes a fourth. Two more are for a corner that is past an end of the axis, where nothing
// of this has to hold; there finer bodies do (refine.go).
//
// The ends of an arc of radius r grow with the spare s: the chord of an arc of 2δ asks for r·cos δ + s·cos δ.

// cornerAngles are the angles around the axis of a clause's round solid at which arcs end: at right
// angles to an axis of the pose. Each once, in increasing order; an axis of the pose along that of
// the solid gives none.
func cornerAngles(p *model.Pose, c model.Clause) []float64 {
	q := coreOf(c)
	t, u, v := frameOf(q.from, q.to)
	var angles []float64
	for _, a := range p.Axes {
		n := t.Cross(a)
		if n.Norm2() < 1e-18 {
			continue
		}
		at := wrap(math.Atan2(n.Dot(v), n.Dot(u)))
		angles = append(angles, at, wrap(at+math.Pi))
	}
	slices.Sort(angles)
	angles = slices.CompactFunc(angles, func(a, b float64) bool { return math.Abs(b-a) < 1e-6 })
	if n := len(angles); n > 1 && angles[0]+2*math.Pi-angles[n-1] < 1e-6 {
		angles = angles[:n-1]
	}
	return angles
}

// arc is a part of the places around a round solid at which the same corner of the box touches it.
// It is what lies between two neighbours of cornerAngles, or a part of that.
type arc struct {
	pose   *model.Pose
	clause model.Clause // of the round solid
	low    float64      // angles around its axis
	high   float64
}

// leastArc is what is not halved any more, in radians: chord and arc are then less than a micrometre
// apart for all that goes into a vehicle.
const leastArc = 2e-4

// at is the direction at an angle around the axis. Of length 1 but for rounding, and square to the
// axis.
func (a arc) at(angle float64) r3.Vector {
	q := coreOf(a.clause)
	_, u, v := frameOf(q.from, q.to)
	sin, cos := math.Sincos(angle)
	return u.Mul(cos).Add(v.Mul(sin))
}

// chord is the plane through the ends of the arc. K is the cosine: with the spare, the ends of the
// arc move outwards by as much and the chord between them by less.
func (a arc) chord() model.Plane {
	q := coreOf(a.clause)
	n, cos := a.at((a.low+a.high)/2).Normalize(), math.Cos((a.high-a.low)/2)
	// A little less is asked for than that, for rounding.
	return model.Plane{N: n, D: n.Dot(q.from) + (q.radius+q.grow)*cos + a.pose.Reach(a.clause.Part, n.Mul(-1)) - roundingOfArc, K: cos}
}

// roundingOfArc is in mm: far more than sines and cosines may be off by.
const roundingOfArc = 1e-9

// cut is the plane through the axis of the arc and an angle, on the side of greater angles. It asks
// for no spare: on which side of it a box is does not depend on that.
func (a arc) cut(angle float64) model.Plane {
	q := coreOf(a.clause)
	n := a.at(angle + math.Pi/2).Normalize()
	corner := a.corner()
	return model.Plane{N: n, D: n.Dot(q.from) - n.Dot(corner)}
}

// corner is the corner of the part that touches, from the middle of the case. The corner that is
// farthest towards the axis; within an arc it is the same for all angles.
func (a arc) corner() r3.Vector {
	towards := a.at((a.low + a.high) / 2).Mul(-1)
	part := a.pose.Parts[a.clause.Part]
	at := part.Offset
	for i, axis := range a.pose.Axes {
		half := [3]float64{part.Half.X, part.Half.Y, part.Half.Z}[i]
		at = at.Add(axis.Mul(math.Copysign(half, axis.Dot(towards))))
	}
	return at
}

// halves are the two parts of an arc, each with the plane that is its side of the cut. up holds in
// the upper half; its negative in the lower.
func (a arc) halves(angle float64) (below, above arc, up model.Plane) {
	below, above = a, a
	below.high, above.low = angle, angle
	return below, above, a.cut(angle)
}

// arcOf is the arc whose chord is a plane; false where the plane is none. Arcs of half a turn or
// more have no chord that leaves their places on one side.
func arcOf(p *model.Pose, c model.Clause, f r3.Vector) (arc, bool) {
	q := coreOf(c)
	t, u, v := frameOf(q.from, q.to)
	if math.Abs(f.Dot(t)) > 1e-9 {
		return arc{}, false
	}
	at := wrap(math.Atan2(f.Dot(v), f.Dot(u)))
	angles := cornerAngles(p, c)
	for k, low := range angles {
		high := angles[(k+1)%len(angles)]
		if high <= low {
			high += 2 * math.Pi
		}
		middle := (low + high) / 2
		if d := math.Abs(math.Remainder(middle-at, 2*math.Pi)); d < 1e-6 && high-low < math.Pi-1e-3 {
			return arc{p, c, low, high}, true
		}
	}
	return arc{}, false
}

// bySectors branches on a round solid to which a box of a node is too near; false where none is, or
// the node has nothing to say of it that could be halved. The worst relation of all boxes, and of
// equal ones the first.
func (v *prover) bySectors(n *node) (branching, bool) {
	worst, of := leastBreach, model.Relation{}
	var towards r3.Vector
	for i, x := range n.boxes {
		p := x.poses[0]
		for k, c := range v.m.Solids[x.kind][p] {
			if c.Round == nil {
				continue
			}
			if left, f := c.Sharp(v.m.Poses[x.kind][p], n.at[i]); n.value-left > worst {
				worst, of, towards = n.value-left, model.Relation{Sort: model.OfSolid, I: i, Which: k}, f.N
			}
		}
	}
	if of.Sort == model.NoRelation {
		return branching{}, false
	}
	return v.bySector(n, of, towards)
}

// bySector branches on a relation with a round solid that a box touches in a direction.
//
// Before any plane of the solid has been chosen it is branched on these; then on sectors of the arc
// that the chosen plane is the chord of.
func (v *prover) bySector(n *node, of model.Relation, towards r3.Vector) (branching, bool) {
	k := slices.IndexFunc(n.chosen, func(c choice) bool { return c.of == of })
	if k < 0 {
		return v.byPlanes(n, of), true
	}
	x := n.boxes[of.I]
	a, ok := arcOf(v.m.Poses[x.kind][x.poses[0]], v.m.Solids[x.kind][x.poses[0]][of.Which], n.chosen[k].n)
	if !ok {
		return branching{}, false
	}
	finer := model.Relation{Sort: model.OfFiner, I: of.I, Which: of.Which}
	for _, c := range n.chosen {
		switch {
		case c.of != finer:
		case c.chord == nil:
			return branching{}, false // past an end
		default:
			a = a.narrowed(*c.chord)
		}
	}
	if a.high-a.low < leastArc {
		return branching{}, false
	}
	below, above, up := a.halves(a.middle(towards))
	b := branching{rests: n.restsOn(of)}
	for _, s := range []struct {
		side model.Plane
		arc
	}{{model.Plane{N: up.N.Mul(-1), D: -up.D}, below}, {up, above}} {
		chord := s.chord()
		b.children = append(b.children, child{decision: decision{
			choice: choice{of: finer, n: s.side.N, least: s.side.D, fixed: true, chord: &chord},
		}})
	}
	for _, end := range a.ends() {
		b.children = append(b.children, child{decision: decision{
			choice: choice{of: finer, n: end.N, least: end.D, fixed: true},
		}})
	}
	return b, true
}

// ends are the planes past which the corner of an arc is past an end of the axis. Beyond these the
// ends of the solid count and not its side. They ask for no spare.
func (a arc) ends() [2]model.Plane {
	q := coreOf(a.clause)
	t, _, _ := frameOf(q.from, q.to)
	corner := t.Dot(a.corner())
	return [2]model.Plane{{N: t.Mul(-1), D: corner - t.Dot(q.from)}, {N: t, D: t.Dot(q.to) - corner}}
}

// middle is the angle at which to halve an arc: where the box is now, if that is not near an end.
// Where the box is now, both halves exclude it soonest. At least a quarter is left to either, so
// that halving ends.
func (a arc) middle(towards r3.Vector) float64 {
	q := coreOf(a.clause)
	_, u, v := frameOf(q.from, q.to)
	quarter := (a.high - a.low) / 4
	off := math.Remainder(math.Atan2(towards.Dot(v), towards.Dot(u))-(a.low+a.high)/2, 2*math.Pi)
	return (a.low+a.high)/2 + max(-quarter, min(quarter, off))
}

// narrowed is the part of an arc whose chord is given. It undoes chord: the middle is the normal's
// angle, the cosine of half the arc its factor.
func (a arc) narrowed(chord model.Plane) arc {
	q := coreOf(a.clause)
	_, u, v := frameOf(q.from, q.to)
	middle := math.Atan2(chord.N.Dot(v), chord.N.Dot(u))
	middle = (a.low+a.high)/2 + math.Remainder(middle-(a.low+a.high)/2, 2*math.Pi)
	half := math.Acos(min(1, chord.K))
	a.low, a.high = middle-half, middle+half
	return a
}

// restsOn are the decisions that what a node says of a relation with a solid rests on. The plane of
// the arc itself, and all halves of it that were chosen before.
func (n *node) restsOn(of model.Relation) depths.Set {
	all := n.masks(of)
	for _, c := range n.chosen {
		if c.of.I == of.I && c.of.Which == of.Which && (c.of.Sort == model.OfSolid || c.of.Sort == model.OfFiner) {
			all = all.Or(depths.Of(c.depth))
		}
	}
	return all
}
