package judge

import (
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack"
)

// tool is the room that a socket takes at a post: as in package entry.
var tool = struct{ radius, length float64 }{15, 80}

// Reach is when a post is connected: after its box has gone in, or before where the pack file says
// that it is joined first.
type Reach struct {
	Post pack.Part
	// Before is the step of the order before which it is connected, for what comes then takes
	// the tool's room; the number of steps where it can be connected last.
	Before int
	Things []string // rails and keep-outs in the tool's room, that come off
}

// reaches is the last part of rule 4: a tool reaches every post at some time after its box has
// gone in, past all that is there by then.
func (j *scene) reaches(order []Step) []Reach {
	var list []Reach
	all := map[string]item{}
	for _, t := range j.items() {
		all[t.name] = t
	}
	for i := range j.boxes {
		b := &j.boxes[i]
		own := slices.IndexFunc(order, func(s Step) bool { return s.Name == b.name })
		for k := range b.posts {
			room := toolRoom(b.posts[k], b.outward[k])
			r := Reach{Post: b.postParts[k], Before: len(order), Things: j.comesOff(room)}
			if b.first[k] {
				r.Before, r.Things = own, nil
			}
			for n, s := range order {
				switch {
				case b.first[k]:
				case n == own || !meets(all[s.Name].solids, room):
				case n < own:
					j.say(Posts, 0, "", []string{s.Name, b.postNames[k]}, "%s leaves no room for a tool at the post %s: move it aside, or turn the box", s.Name, b.postNames[k])
				default:
					r.Before = min(r.Before, n)
				}
			}
			list = append(list, r)
		}
	}
	return list
}

// hidden tells whether the tool at some post of a box meets what is there besides it.
func (j *scene) hidden(t item, there []item) bool {
	if t.box == nil {
		return false
	}
	for k, post := range t.box.posts {
		room := toolRoom(post, t.box.outward[k])
		if !t.box.first[k] && slices.ContainsFunc(there, func(o item) bool { return o.name != t.name && meets(o.solids, room) }) {
			return true
		}
	}
	return false
}

// comesOff names what of the frame is in a room and comes off.
func (j *scene) comesOff(room solid) []string {
	var names []string
	for i, o := range j.obstacles {
		if (o.Removable || o.LiftsOff) && distance(j.around[i], room, 0) < -geom.Tolerance {
			names = append(names, o.Name)
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// toolRoom is the cylinder of a socket on a post.
func toolRoom(post solid, out r3.Vector) solid {
	e := post.Extent(out)
	middle := post.low.Add(post.high).Mul(0.5)
	from := middle.Add(out.Mul(e.Lo - middle.Dot(out)))
	return solidOf(geom.Cylinder{From: from, To: from.Add(out.Mul(e.Length() + tool.length)), Radius: tool.radius})
}
