package proof

import (
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/search/model"
)

// A layout is an answer only where a tool reaches every post: past all of the frame that never comes
// off, and, of two boxes with posts, past the other over those of one of them at least; for where each
// stands before a post of the other, either would have to go in first. Both are clauses like those of
// bodies, but that they ask for no spare (model.Plane's K is 0): so programs and branches carry them.
//
// They have to hold in every answer, so a tool counts for a prism inside of its cylinder, a round solid
// for one inside of it, and of the other box for the case alone. They say nothing of layouts with less
// than nothing to spare, whose tools nobody asks for.

// toolSides is how many sides the prism in a tool has. The corners are on the axes square to it, so
// along these it is as wide as the tool, and at most 4 % of the diameter narrower in between. A
// prism that is narrower than the tool is right here: what keeps the tool clear keeps it clear too.
const toolSides = 8

// toolSlack is by how many millimetres a tool may reach into a body: what the judge allows for, and
// far more than rounding. A bound may not be spoiled by what the judge lets pass.
const toolSlack = 1e-6

// tools are the clauses of the tools' room. Made once for a tree, and only read by its provers.
type tools struct {
	m     *model.Model
	reach [][][]model.Clause // by kind and pose: against the frame
	rooms [][][]geom.Face    // by the number of a pose and post: the prism, with the case at the origin
	cases [][]geom.Face      // by the number of a pose
}

// newTools makes them; nil for a model without a tool or posts, or where the search ended
// meanwhile. The prisms are made for each pose with its case at the origin, and moved by working
// with differences of places.
func newTools(m *model.Model) *tools {
	if m.Reach == nil || !slices.ContainsFunc(m.Kinds, func(k pack.Kind) bool { return len(k.Posts) > 0 }) {
		return nil
	}
	t := &tools{m: m}
	for _, poses := range m.Poses {
		for _, p := range poses {
			var rooms [][]geom.Face
			for _, c := range m.Tools(p) {
				rooms = append(rooms, geom.FacesOf(c, toolSides))
			}
			t.rooms = append(t.rooms, rooms)
			t.cases = append(t.cases, geom.FacesOf(p.Solid(0, r3.Vector{}), 0))
		}
	}
	var frame [][]geom.Face
	for _, s := range entry.BarsTools(m.Problem) {
		if faces := geom.FacesOf(s, toolSides); len(faces) > 0 {
			frame = append(frame, faces)
		}
	}
	for kind, poses := range m.Poses {
		t.reach = append(t.reach, make([][]model.Clause, len(poses)))
		for k, p := range poses {
			if m.Ended() {
				return nil
			}
			t.reach[kind][k] = t.againstFrame(p, placesOf(m, kind, k, 0), frame)
		}
	}
	return t
}

// againstFrame makes the clauses of a pose with the frame, as far as they matter at places: with
// planes beyond these none is to be had.
//
// A post that no place lets a tool reach gives the pose a clause that nothing satisfies, and
// usePoses then leaves the pose out.
func (t *tools) againstFrame(p *model.Pose, places geom.Polyhedron, frame [][]geom.Face) []model.Clause {
	if t.hidden(p) {
		return []model.Clause{never(t.m, 1)}
	}
	var all []model.Clause
	for _, room := range t.rooms[p.ID] {
		for _, solid := range frame {
			c := model.Clause{Part: 1}
			always := false
			for _, n := range geom.PartingNormals(solid, room) {
				d := geom.ExtentOf(solid, n).Hi - geom.ExtentOf(room, n).Lo - toolSlack
				in := places.Extent(n)
				always = always || in.Lo >= d
				if in.Hi >= d {
					c.Planes = append(c.Planes, model.Plane{N: n, D: d})
				}
			}
			switch {
			case always:
			case len(c.Planes) == 0:
				return []model.Clause{never(t.m, 1)}
			default:
				all = append(all, c)
			}
		}
	}
	return all
}

// hidden tells whether another post of the same box stands in the room for the tool over one: then no
// layout with the box is an answer.
func (t *tools) hidden(p *model.Pose) bool {
	for n, own := range t.m.ToolParts(p) {
		for k := 1; k < len(p.Parts); k++ {
			post := geom.FacesOf(p.Solid(k, r3.Vector{}), 0)
			if k != own && !slices.ContainsFunc(parted(nil, post, t.rooms[p.ID][n]), func(f model.Plane) bool { return f.D <= 0 }) {
				return true
			}
		}
	}
	return false
}

// pair makes the clauses of two poses, on the place of q less that of p: for a post of each. Of two
// posts one at least has to be reachable past the other box's case: an OR of ORs, so one clause.
// Posts of one box do not wait for each other; each pair stands alone.
func (t *tools) pair(p, q *model.Pose) []model.Clause {
	var all []model.Clause
	for _, a := range t.rooms[p.ID] {
		past := parted(nil, a, t.cases[q.ID])
		for _, b := range t.rooms[q.ID] {
			all = append(all, model.Clause{Planes: parted(append([]model.Plane(nil), past...), t.cases[p.ID], b)})
		}
	}
	return all
}

// parted adds to a clause the planes that keep body b clear of a, on the place of b less that of a.
// Planes may be shared by the two directions in which a tool can be free; weaker keeps the one that
// asks for less.
func parted(planes []model.Plane, a, b []geom.Face) []model.Plane {
	for _, n := range geom.PartingNormals(a, b) {
		planes = weaker(planes, []model.Plane{{N: n, D: geom.ExtentOf(a, n).Hi - geom.ExtentOf(b, n).Lo - toolSlack}})
	}
	return planes
}
