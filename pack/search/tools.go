package search

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// A post that looks at a wall leaves no room for a spanner, whatever is done about the
// other boxes; one that looks at another box leaves room only until that box is in, so two
// boxes must not each stand before posts of the other. Separation keeps to both, and so do
// most improvements: their programs have, beside the relations that ask for the spare, some
// that ask for the tools' room, whose rows leave the spare out.

// giveTools gives a model the tools over posts, and the clauses that keep the frame out of their
// way.
func (r *run) giveTools(m *model) {
	m.bars = r.toolBars(m)
	m.reach = make([][][]clause, len(m.poses))
	for kind, poses := range m.poses {
		for _, p := range poses {
			var clauses []clause
			for _, bar := range m.bars[p.id] {
				for _, o := range r.fixed {
					clauses = append(clauses, bar.againstSolid(0, o, 0))
				}
			}
			m.reach[kind] = append(m.reach[kind], clauses)
		}
	}
}

// toolBars makes, by the id of a pose, the tools over its posts as poses of one part.
func (r *run) toolBars(m *model) [][]*pose {
	table := make([][]*pose, m.poseCount)
	for _, poses := range m.poses {
		for _, p := range poses {
			for k, q := range p.parts {
				if q.post == caseOnly {
					continue
				}
				room := r.toolRoom(p, k, r3.Vector{})
				bar := &pose{axes: p.axes, parts: []part{{post: q.post, offset: room.Centre, half: room.Half}}}
				table[p.id] = append(table[p.id], bar)
			}
		}
	}
	return table
}

// toolRoom is the bar around the tool over part k of a pose, a post: quicker to hold
// against other solids than the cylinder that entry uses, and near enough to choose by.
func (r *run) toolRoom(p *pose, k int, at r3.Vector) geom.Box {
	tool, q := r.settings.Tool.Tool, p.parts[k]
	axis, positive := axisOf(r.kinds[p.kind].Posts[q.post].Face)
	out := p.direction(axis, sign(positive))
	half := math.Abs(out.Dot(p.axes[0]))*q.half.X + math.Abs(out.Dot(p.axes[1]))*q.half.Y + math.Abs(out.Dot(p.axes[2]))*q.half.Z
	side := r3.Vector{X: tool.Diameter / 2, Y: tool.Diameter / 2, Z: tool.Diameter / 2}
	for i, u := range p.axes {
		if math.Abs(u.Dot(out)) > 0.5 {
			side = setComponent(side, i, tool.Length/2)
		}
	}
	tip := at.Add(q.offset).Add(out.Mul(half))
	return geom.Box{Centre: tip.Add(out.Mul(tool.Length / 2)), Axes: p.axes, Half: side}
}

// direction is where an own axis of the box points, in the vehicle's axes.
func (p *pose) direction(axis int, way float64) r3.Vector {
	t := turnerFor(p.up, p.front, p.tilt)
	e := [3]r3.Vector{{X: way}, {Y: way}, {Z: way}}
	return t.pitch(t.level(e[axis]))
}

// firstTool is the number of the first relation for a tool among those of a box with the
// frame, or of two boxes.
const firstTool = 1 << 20

// addTools adds sides for the tools over box i, and for those of the pairs with the boxes
// before it, that have less than room at spots.
func (v *improver) addTools(spots []spot, i int, room float64) {
	here := v.spots[i].at
	clauses := v.reach[v.boxes[i].kind][spots[i].pose]
	for k := range clauses {
		if clauses[k].left(spots[i].at) < room {
			v.addTool(side{i: i, j: onFrame, which: firstTool + k}, &clauses[k], here)
		}
	}
	for j := range i {
		pair := v.pairingIn(j, spots[j], i, spots[i])
		if left, _ := pair.toolsLeft(spots[i].at.Sub(spots[j].at)); left >= room {
			continue
		}
		d := here.Sub(v.spots[j].at)
		_, which := pair.toolsLeft(d)
		for k := range pair.tools[which] {
			v.addTool(side{i: i, j: j, which: firstTool + 2*k + which}, &pair.tools[which][k], d)
		}
	}
}

// addTool adds a side with the plane of a clause that leaves most at p.
func (v *improver) addTool(s side, c *clause, p r3.Vector) {
	_, s.plane = c.best(p)
	s.plane.k = 0
	v.add(s)
}

// forTools has the improver give the tools over posts their room, where that is asked.
func (v *improver) forTools() {
	v.tools = v.reach != nil
	v.lacking = v.tools && !v.toolsFit(v.spots)
}

// toolClause is the clause of relation n for a tool.
func (v *improver) toolClause(i, j, n int) clause {
	if j == onFrame {
		return v.reach[v.boxes[i].kind][v.spots[i].pose][n]
	}
	return v.pairingIn(j, v.spots[j], i, v.spots[i]).tools[n%2][n/2]
}

// toolsLeft is how far two boxes are out of the way of the tools over the posts of one of
// them, the one where that is more, and which it is; infinite where that is not asked.
func (p *pairing) toolsLeft(d r3.Vector) (most float64, which int) {
	most = math.Inf(-1)
	for k, clauses := range p.tools {
		left := math.Inf(1)
		for c := range clauses {
			left = min(left, clauses[c].left(d))
		}
		if left > most {
			most, which = left, k
		}
	}
	return most, which
}

// toolsFit tells whether the tools have their room at spots.
func (m *model) toolsFit(spots []spot) bool {
	for i, s := range spots {
		clauses := m.reach[m.boxes[i].kind][s.pose]
		for k := range clauses {
			if clauses[k].left(s.at) < -keep {
				return false
			}
		}
		for j := range i {
			if left, _ := m.pairingIn(j, spots[j], i, s).toolsLeft(s.at.Sub(spots[j].at)); left < -keep {
				return false
			}
		}
	}
	return true
}
