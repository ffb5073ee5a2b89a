package improve

import (
	"cmp"
	"math"
	"slices"

	"rackwright/pack/search/internal/depths"
	"rackwright/pack/search/model"
)

// need is something that has to be done: a relation that is broken to be mended, or a box to be
// dressed. For a box to be dressed the lack is that of its best pose.
type need struct {
	of    model.Relation // with dress, i is the box
	dress bool
	lack  float64 // in mm
}

// way is a way to meet a need: a plane of the relation, or a pose. It is comparable: ways that are
// ruled out are kept by it.
type way struct {
	of    model.Relation
	plane model.Plane
	dress bool
	pose  int
}

// open lists the ways to meet a need that are not known to be ruled out, and the stages that rule
// out the others; it stops at so many ways, if that is not 0. Probing comes before solving: most
// ways fall to it.
func (d *dresser) open(s stage, n need, enough int) (ways []way, ruled depths.Set) {
	ways, ruled = []way{}, d.dressedAt(s, n)
	for _, w := range d.waysTo(s, n) {
		by, out := d.out[w]
		if !out {
			if by, out = d.probed(s, w); out {
				d.ruleOut(w, by)
			}
		}
		if out {
			ruled = ruled.Or(by)
			continue
		}
		if ways = append(ways, w); len(ways) == enough {
			break
		}
	}
	return ways, ruled
}

// dressedAt is the stages that made a relation what it is: those that gave its boxes their posts. A
// bare box's relations rest on nothing but the layout itself.
func (d *dresser) dressedAt(s stage, n need) (why depths.Set) {
	if n.dress {
		return why
	}
	for _, box := range n.of.Boxes() {
		if s.dressed[box] > 0 {
			why = why.Or(depths.Of(s.dressed[box]))
		}
	}
	return why
}

// needs lists what has to be done next, most urgent first as far as that is known without trying:
// relations to be mended, or, where there are none, boxes to be dressed. Boxes are dressed only
// when nothing is broken: each gets its posts in a sound layout.
func (d *dresser) needs(s stage) []need {
	list := d.broken(s)
	if len(list) == 0 {
		list = d.bare(s)
	}
	slices.SortStableFunc(list, func(a, b need) int { return cmp.Compare(b.lack, a.lack) })
	if len(list) > mostNeeds && !list[0].dress {
		list = list[:mostNeeds]
	}
	return list
}

// broken lists the relations that a layout breaks. Relations with walls are not among them:
// dressing a box puts all of its walls into the program (sidesOf).
func (d *dresser) broken(s stage) (list []need) {
	spare := s.program.Value()
	note := func(of model.Relation, lack float64) {
		if lack > leastLack {
			list = append(list, need{of: of, lack: lack})
		}
	}
	for i, at := range s.spots {
		solids, reach := d.m.Solids[d.m.Boxes[i].Kind][at.Pose], d.m.Reach[d.m.Boxes[i].Kind][at.Pose]
		d.work.Relations(len(solids) + len(reach) + i)
		for k := range solids {
			note(model.Relation{Sort: model.OfSolid, I: i, Which: k}, spare-solids[k].Left(at.At))
		}
		for k := range reach {
			note(model.Relation{Sort: model.OfReach, I: i, Which: k}, -reach[k].Left(at.At))
		}
		for j := range i {
			pair, p := d.m.PairingIn(j, s.spots[j], i, at), at.At.Sub(s.spots[j].At)
			// Nothing of the pair is broken then.
			if pair.Apart.Left(p) >= spare {
				continue
			}
			for k := range pair.Clauses {
				note(model.Relation{Sort: model.OfBoxes, I: i, J: j, Which: k}, spare-pair.Clauses[k].Left(p))
			}
			// One need for both sorts: either will do.
			left, _ := pair.ToolsLeft(p)
			note(model.Relation{Sort: model.OfTool, I: i, J: j}, -left)
		}
	}
	return list
}

// bare lists the boxes without their posts, with what they lack in the pose that lacks least. The
// box that lacks most even in its best pose comes first.
func (d *dresser) bare(s stage) (list []need) {
	v := &Improver{m: d.m, Spots: s.spots, Spare: s.program.Value()}
	for i := range s.spots {
		if !d.m.IsBare(d.m.PoseOf(i, s.spots[i])) {
			continue
		}
		least := math.Inf(1)
		for _, pose := range d.posesTo(s, i) {
			least = min(least, v.lackAt(i, model.Spot{Pose: pose, At: s.spots[i].At}))
		}
		list = append(list, need{of: model.Relation{I: i}, dress: true, lack: least})
	}
	d.work += v.Work
	return list
}

// posesTo lists the poses that a bare box may be given: those that have the same case, of any with
// posts in about the same places the first. One of those whose posts are within a centimetre of
// each other stands for all.
func (d *dresser) posesTo(s stage, i int) (list []int) {
	kind, now := d.m.Boxes[i].Kind, d.m.PoseOf(i, s.spots[i])
	for _, pose := range d.m.Dressed[kind] {
		p := d.m.Poses[kind][pose]
		if p.SameCase(now) && !slices.ContainsFunc(list, func(o int) bool { return samePosts(p, d.m.Poses[kind][o]) }) {
			list = append(list, pose)
		}
	}
	return list
}

// waysTo lists the ways to meet a need. Of tools the first six planes are along the axes of the
// first pose; others seldom help.
func (d *dresser) waysTo(s stage, n need) (list []way) {
	if n.dress {
		for _, pose := range d.posesTo(s, n.of.I) {
			list = append(list, way{of: n.of, dress: true, pose: pose})
		}
		return list
	}
	add := func(planes []model.Plane, of model.Relation) {
		for _, f := range planes {
			list = append(list, way{of: of, plane: f})
		}
	}
	clause := d.m.ClauseOf(n.of, s.spots)
	switch n.of.Sort {
	case model.OfSolid, model.OfReach:
		add(clause.Nearest(s.spots[n.of.I].At, nearestWays, nil), n.of)
	case model.OfBoxes:
		add(clause.Planes, n.of)
	// Over the posts of the one box or of the other.
	case model.OfTool:
		for whose := range 2 {
			of := n.of
			of.Whose = whose
			add(d.m.ClauseOf(of, s.spots).Planes[:6], of)
		}
	}
	return list
}

// sidesOf gives the sides that a way chooses: of tools over several posts of a box, all of them
// the same way along an axis. Walls of a pose are taken together, since each holds in any layout.
func (d *dresser) sidesOf(s stage, w way) []model.Side {
	var list []model.Side
	switch {
	case w.dress:
		for k, f := range d.m.Walls[d.m.Boxes[w.of.I].Kind][w.pose] {
			list = append(list, model.Side{Of: model.Relation{Sort: model.OfWall, I: w.of.I, Which: k}, Plane: f})
		}
	case w.of.Sort == model.OfReach:
		w.plane.K = 0
		list = append(list, model.Side{Of: w.of, Plane: w.plane})
	case w.of.Sort == model.OfTool:
		tools := d.m.PairingIn(w.of.J, s.spots[w.of.J], w.of.I, s.spots[w.of.I]).Tools[w.of.Whose]
		along := slices.Index(tools[0].Planes, w.plane)
		for k := range tools {
			f := tools[k].Planes[along]
			f.K = 0
			list = append(list, model.Side{Of: w.of, Plane: f})
		}
	default:
		list = append(list, model.Side{Of: w.of, Plane: w.plane})
	}
	return list
}
