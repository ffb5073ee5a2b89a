package search

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
)

// A post that looks at a wall leaves no room for a spanner, whatever is done about the
// other boxes; one that looks at another box leaves room only until that box is in, so two
// boxes must not each stand before posts of the other. Separation keeps to both, and so do
// most improvements: their programs have, beside the relations that ask for the spare, some
// that ask for the tools' room, whose rows leave the spare out.

// giveTools makes the tools over posts, and the clauses that keep the frame out of their way.
func (m *model) giveTools() {
	fixed := m.fixed()
	m.bars = m.toolBars()
	m.reach = make([][][]clause, len(m.poses))
	for kind, poses := range m.poses {
		for _, p := range poses {
			var clauses []clause
			for _, bar := range m.bars[p.id] {
				for _, o := range fixed {
					clauses = append(clauses, bar.againstSolid(0, o, 0))
				}
			}
			m.reach[kind] = append(m.reach[kind], clauses)
		}
	}
}

// fixed are the solids of the frame that never come off.
func (m *model) fixed() []geom.Solid {
	var list []geom.Solid
	for _, o := range m.obstacles {
		if !o.Open && !o.Removable && !o.LiftsOff && o.Kind != frame.Width {
			list = append(list, o.Solid)
		}
	}
	return list
}

// toolBars makes, by the id of a pose, the tools over its posts as poses of one part.
func (m *model) toolBars() [][]*pose {
	table := make([][]*pose, m.poseCount)
	for _, poses := range m.poses {
		for _, p := range poses {
			for k, q := range p.parts {
				if q.post == caseOnly {
					continue
				}
				room := m.toolRoom(p, k, r3.Vector{})
				bar := &pose{axes: p.axes, parts: []part{{post: q.post, offset: room.Centre, half: room.Half}}}
				table[p.id] = append(table[p.id], bar)
			}
		}
	}
	return table
}

// toolRoom is the bar around the tool over part k of a pose, a post: quicker to hold
// against other solids than the cylinder that entry uses, and near enough to choose by.
func (m *model) toolRoom(p *pose, k int, at r3.Vector) geom.Box {
	tool, q := m.options.tool, p.parts[k]
	axis, positive := axisOf(m.kinds[p.kind].Posts[q.post].Face)
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
