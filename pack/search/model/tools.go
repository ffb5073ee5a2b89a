package model

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

// giveTools makes the tools over posts, and the clauses that keep the frame out of their way. A
// pose in which a post looks at something fixed close by has a clause that no place satisfies;
// separation then avoids the pose.
func (m *Model) giveTools() {
	fixed := m.fixed()
	m.bars = m.toolBars()
	m.Reach = make([][][]Clause, len(m.Poses))
	for kind, poses := range m.Poses {
		for _, p := range poses {
			var clauses []Clause
			for _, bar := range m.bars[p.ID] {
				for _, o := range fixed {
					clauses = append(clauses, bar.Against(0, o, 0))
				}
			}
			m.Reach[kind] = append(m.Reach[kind], clauses)
		}
	}
}

// fixed are the solids of the frame that never come off. Open sides and parts that lift off are
// gone while posts are connected. The limits across are left out too: it is from the sides that one
// works. Of what moves only its place at rest counts.
func (m *Model) fixed() []Barrier {
	var list []Barrier
	obstacles := m.obstacles
	if len(m.Problem.Frame.Moving) > 0 {
		obstacles = m.Problem.ObstaclesAtRest()
	}
	for _, o := range obstacles {
		if !o.Open && !o.Removable && !o.LiftsOff && o.Kind != frame.Width {
			list = append(list, BarrierOf(o.Solid))
		}
	}
	return list
}

// toolBars makes, by the id of a pose, the tools over its posts as poses of one part. They are
// poses, so that Against and Between serve for them as they do for boxes.
func (m *Model) toolBars() [][]*Pose {
	table := make([][]*Pose, m.poseCount)
	for _, poses := range m.Poses {
		for _, p := range poses {
			for k, q := range p.Parts {
				if !q.asksTool() {
					continue
				}
				room := m.toolRoom(p, k, r3.Vector{})
				bar := &Pose{Axes: p.Axes, Parts: []Part{{post: q.post, Offset: room.Centre, Half: room.Half}}}
				table[p.ID] = append(table[p.ID], bar)
			}
		}
	}
	return table
}

// asksTool tells whether a part is a post that a tool has to reach.
func (q Part) asksTool() bool { return q.post != caseOnly && !q.joined }

// toolRoom is the bar around the tool over part k of a pose, a post: quicker to hold
// against other solids than the cylinder that entry uses, and near enough to choose by. It begins
// at the tip of the post and reaches the tool's length beyond.
func (m *Model) toolRoom(p *Pose, k int, at r3.Vector) geom.Box {
	tool := m.options.Tool
	out, tip := m.tipOf(p, k)
	side := r3.Vector{X: tool.Diameter / 2, Y: tool.Diameter / 2, Z: tool.Diameter / 2}
	for i, u := range p.Axes {
		if math.Abs(u.Dot(out)) > 0.5 {
			side = geom.WithComponent(side, i, tool.Length/2)
		}
	}
	return geom.Box{Centre: at.Add(tip).Add(out.Mul(tool.Length / 2)), Axes: p.Axes, Half: side}
}

// Tools are the rooms for the tool over the posts of a pose, with the middle of its case at the origin;
// none in a model without a tool. They are the true rooms, for proofs, which must not take more
// than the tool does.
func (m *Model) Tools(p *Pose) []geom.Cylinder {
	if m.bars == nil {
		return nil
	}
	var list []geom.Cylinder
	for k, q := range p.Parts {
		if !q.asksTool() {
			continue
		}
		out, tip := m.tipOf(p, k)
		list = append(list, geom.Cylinder{From: tip, To: tip.Add(out.Mul(m.options.Tool.Length)), Radius: m.options.Tool.Diameter / 2})
	}
	return list
}

// ToolParts are the numbers of the parts over which Tools are, in the same order.
func (m *Model) ToolParts(p *Pose) (parts []int) {
	for k, q := range p.Parts {
		if m.bars != nil && q.asksTool() {
			parts = append(parts, k)
		}
	}
	return parts
}

// tipOf is where the post that is part k of a pose ends, from the middle of its case, and the way that
// it looks.
func (m *Model) tipOf(p *Pose, k int) (out, tip r3.Vector) {
	q := p.Parts[k]
	axis, positive := axisOf(m.Kinds[p.Kind].Posts[q.post].Face)
	out = p.direction(axis, Sign(positive))
	half := math.Abs(out.Dot(p.Axes[0]))*q.Half.X + math.Abs(out.Dot(p.Axes[1]))*q.Half.Y + math.Abs(out.Dot(p.Axes[2]))*q.Half.Z
	return out, q.Offset.Add(out.Mul(half))
}

// direction is where an own axis of the box points, in the vehicle's axes. way is 1 or −1, for the
// one or the other end of the axis.
func (p *Pose) direction(axis int, way float64) r3.Vector {
	t := turnerFor(p.Up, p.Front, p.Tilt)
	e := [3]r3.Vector{{X: way}, {Y: way}, {Z: way}}
	return t.pitch(t.level(e[axis]))
}

// ToolsLeft is how far in mm two boxes are out of the way of the tools over the posts of one of
// them, the one where that is more, and which it is; infinite where that is not asked. The greater
// of the two, since it is enough that one of the boxes can be connected first.
func (p *Pairing) ToolsLeft(d r3.Vector) (most float64, which int) {
	most = math.Inf(-1)
	for k, clauses := range p.Tools {
		left := math.Inf(1)
		for c := range clauses {
			left = min(left, clauses[c].Left(d))
		}
		if left > most {
			most, which = left, k
		}
	}
	return most, which
}

// ToolsFit tells whether the tools have their room at spots: over every post from the frame, and over
// the posts of one of every two boxes from the other. The model has to have been made with a tool.
// It looks at pairs, not at the order of all: that three boxes each wait for the next is for entry
// to see.
func (m *Model) ToolsFit(spots []Spot) bool {
	for i, s := range spots {
		clauses := m.Reach[m.Boxes[i].Kind][s.Pose]
		for k := range clauses {
			if clauses[k].Left(s.At) < -Rounding {
				return false
			}
		}
		for j := range i {
			if left, _ := m.PairingIn(j, spots[j], i, s).ToolsLeft(s.At.Sub(spots[j].At)); left < -Rounding {
				return false
			}
		}
	}
	return true
}
