package judge

import (
	"fmt"
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/rack"
)

// touch is how far in mm faces may be apart and still lie on one another: files are written to
// a thousandth, metal is not flat to a tenth.
const touch = 0.3

// solid is a convex piece of something, with the block around it.
type solid struct {
	geom.Solid
	low, high r3.Vector
}

func solidOf(s geom.Solid) solid {
	low, high := geom.Bounds(s)
	return solid{s, low, high}
}

// box is a box of the layout.
type box struct {
	part      pack.Part
	name      string
	mass      float64
	body      solid
	posts     []solid
	postParts []pack.Part
	postNames []string
	outward   []r3.Vector // of each post, out of its face
	first     []bool      // posts that are joined before the box goes in
	level     bool        // along the trays
}

// part is a bar, a bolt or rod, or a clamp.
type part struct {
	name     string
	bar      *rack.Bar
	fastener *rack.Fastener
	clamp    *rack.Clamp
	solids   []solid // legs; shank, then head and nuts
	late     bool
}

type scene struct {
	rack      *rack.Rack
	problem   pack.Problem
	boxes     []box
	parts     []part
	along     rack.Along // how problem and layout were turned to be seen along the trays
	obstacles []frame.Obstacle
	around    []solid // the obstacles
	mounts    map[string]frame.Mount
	heldAll   map[string]bool // boxes that are held in all six directions
	found     []Violation
}

func newScene(p pack.Problem, l pack.Layout, r *rack.Rack) (*scene, error) {
	tilt := r.Tilt
	along := rack.AlongTrays(p, l, tilt)
	p, l, r = along.Problem, along.Layout, r.Level()
	j := &scene{rack: r, problem: p, along: along, obstacles: along.Obstacles, mounts: map[string]frame.Mount{}, heldAll: map[string]bool{}}
	for _, at := range l.Placements {
		b, err := boxOf(p, at)
		if err != nil {
			return nil, err
		}
		if !b.level {
			return nil, fmt.Errorf("%s is not tilted as the trays of the rack are, which is by %.4g° nose down (tilt_deg in the rack file): it cannot stand on them", b.name, tilt.Degrees())
		}
		j.boxes = append(j.boxes, b)
	}
	for _, o := range j.obstacles {
		j.around = append(j.around, solidOf(o.Solid))
	}
	for _, m := range p.Frame.Mounts {
		for _, side := range m.Sides() {
			j.mounts[side.Name] = side
		}
	}
	for i := range r.Bars {
		b := &r.Bars[i]
		j.parts = append(j.parts, part{name: b.Name, bar: b, solids: solidsOf(b.Solids()), late: b.Late})
	}
	for i := range r.Fasteners {
		f := &r.Fasteners[i]
		if _, err := rack.ThreadOf(f.Size); err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
		j.parts = append(j.parts, part{name: f.Name, fastener: f, solids: solidsOf(f.Solids()), late: f.Late})
	}
	for i := range r.Clamps {
		c := &r.Clamps[i]
		if _, err := rack.ThreadOf(c.Bolt); err != nil {
			return nil, fmt.Errorf("%s: %w", c.Name, err)
		}
		j.mounts[c.Name] = c.Mount()
		j.parts = append(j.parts, part{name: c.Name, clamp: c, solids: solidsOf(c.Solids())})
	}
	return j, nil
}

func boxOf(p pack.Problem, at pack.Placement) (box, error) {
	bodies, err := p.Bodies(at)
	if err != nil {
		return box{}, err
	}
	kind, _ := p.Kind(at.Box)
	b := box{part: at.Part(), name: at.Part().String(), mass: kind.Mass, body: solidOf(bodies.Case), level: rack.Square(bodies.Case)}
	for i, post := range bodies.Posts {
		b.posts = append(b.posts, solidOf(post))
		part := pack.Part{Box: at.Box, Number: at.Number, Post: kind.Posts[i].Name}
		b.postParts, b.postNames = append(b.postParts, part), append(b.postNames, part.String())
		b.first = append(b.first, kind.Posts[i].JoinedFirst)
		axes, n := at.Axes(), kind.Posts[i].Face.Normal()
		b.outward = append(b.outward, axes[0].Mul(n.X).Add(axes[1].Mul(n.Y)).Add(axes[2].Mul(n.Z)))
	}
	return b, nil
}

func solidsOf(list []geom.Solid) []solid {
	var all []solid
	for _, s := range list {
		all = append(all, solidOf(s))
	}
	return all
}

// distance is the shortest distance of two solids, or more than at least where they are
// farther apart than that.
func distance(a, b solid, least float64) float64 {
	if beyond(a, b, least) {
		return math.Inf(1)
	}
	return geom.Distance(a.Solid, b.Solid)
}

// beyond tells whether two solids are farther apart than a distance along some axis. Sides of the
// opening go on for ever.
func beyond(a, b solid, d float64) bool {
	near := func(alow, ahigh, blow, bhigh float64) bool {
		return r1.Interval{Lo: alow, Hi: ahigh}.Expanded(d).Intersects(r1.Interval{Lo: blow, Hi: bhigh})
	}
	return !(near(a.low.X, a.high.X, b.low.X, b.high.X) && near(a.low.Y, a.high.Y, b.low.Y, b.high.Y) && near(a.low.Z, a.high.Z, b.low.Z, b.high.Z))
}

func (j *scene) part(name string) *part {
	for i := range j.parts {
		if j.parts[i].name == name {
			return &j.parts[i]
		}
	}
	return nil
}

func (j *scene) box(name string) *box {
	for i := range j.boxes {
		if j.boxes[i].name == name {
			return &j.boxes[i]
		}
	}
	return nil
}
