package route

import (
	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// Obstacle is a convex solid that a cable's surface keeps a gap in millimetres to.
type Obstacle struct {
	Name  string
	Solid geom.Solid
	Gap   float64
}

// Cable is what is laid.
type Cable struct {
	Radius float64 // mm, half its outside diameter
	Bend   float64 // mm, the least radius that its middle line may be bent to
}

// End is where a cable is joined: its middle line leaves At at a right angle to Normal, in
// any direction, and is straight for Straight mm. Where Normal is 0 it is joined to no post, but
// goes on: it leaves in any direction, straight for nothing.
type End struct {
	At, Normal r3.Vector
	Straight   float64
}

func (e End) loose() bool { return e.Normal == r3.Vector{} }

// Scene is what cables of one kind go round. It is made once and may be asked often, by one
// goroutine at a time: what it finds out it remembers.
type Scene struct {
	cable  Cable
	static []bounded
	nodes  []r3.Vector
	seen   map[[2]int]bool // whether two nodes see each other
}

// bounded is an obstacle and the box around it.
type bounded struct {
	Obstacle
	box [3]r1.Interval
}

func bound(o Obstacle) bounded {
	b := bounded{Obstacle: o}
	for i, u := range axes {
		b.box[i] = o.Solid.Extent(u)
	}
	return b
}

var axes = [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}

// NewScene makes a scene of obstacles that every cable keeps clear of. Ways may also bend
// round what Route gets as more; what of that is known beforehand is given as later.
func NewScene(cable Cable, obstacles, later []Obstacle) *Scene {
	s := &Scene{cable: cable, seen: map[[2]int]bool{}}
	for _, o := range obstacles {
		s.static = append(s.static, bound(o))
	}
	s.nodes = s.makeNodes(later)
	return s
}

// hair in mm is by how much a way may be nearer than asked through rounding.
const hair = 1e-7

// clear tells whether a straight piece of cable keeps its gaps to all of a list.
func (s *Scene) clear(a, b r3.Vector, from []bounded) bool {
	for i := range from {
		o := &from[i]
		if need := s.cable.Radius + o.Gap; o.reaches(a, b, need) && distance(a, b, o.Solid) < need-hair {
			return false
		}
	}
	return true
}

// reaches tells whether a line meets the box around an obstacle, grown by need: where it does not, it is at
// least as far from what is in the box. Most are told apart by the box around the line; else it is cut by one
// pair of faces after the other (Kay and Kajiya, Computer Graphics 20 (1986), 269).
func (o *bounded) reaches(a, b r3.Vector, need float64) bool {
	if o.box[0].Lo > max(a.X, b.X)+need || o.box[0].Hi < min(a.X, b.X)-need ||
		o.box[1].Lo > max(a.Y, b.Y)+need || o.box[1].Hi < min(a.Y, b.Y)-need ||
		o.box[2].Lo > max(a.Z, b.Z)+need || o.box[2].Hi < min(a.Z, b.Z)-need {
		return false
	}
	first, last := 0.0, 1.0
	for i, end := range [...][2]float64{{a.X, b.X}, {a.Y, b.Y}, {a.Z, b.Z}} {
		low, high := o.box[i].Lo-need-end[0], o.box[i].Hi+need-end[0]
		way := end[1] - end[0]
		switch {
		case way > 0:
			first, last = max(first, low/way), min(last, high/way)
		case way < 0:
			first, last = max(first, high/way), min(last, low/way)
		}
	}
	return first <= last+hair
}

// distance is the shortest distance of a solid from the line between two points.
func distance(a, b r3.Vector, solid geom.Solid) float64 {
	if a == b {
		b = b.Add(r3.Vector{X: 1e-6}) // a tube has a length
	}
	return geom.Distance(geom.Tube{From: a, To: b}, solid)
}
