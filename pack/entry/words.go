package entry

import (
	"fmt"
	"math"
	"strings"

	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// Words says the legs in a builder's words: "slide in from the left 310 mm, then
// down 42 mm". Lengths are in unit.
func (s Step) Words(unit geom.Unit) string {
	var list []string
	for n, leg := range s.Legs {
		length := geom.FormatLength(leg.Norm(), unit)
		if n == 0 {
			list = append(list, entering(leg)+" "+length)
		} else {
			list = append(list, heading(leg)+" "+length)
		}
	}
	text := strings.Join(list, ", then ")
	if len(s.Off) > 0 {
		text += ", with " + and(s.Off) + " off"
	}
	return text
}

// entering says how a box starts that moves along leg.
func entering(leg r3.Vector) string {
	a := leg.Abs()
	switch {
	case a.Z > a.X && a.Z > a.Y && leg.Z < 0:
		return "lower in" + slope(leg)
	case a.Z > a.X && a.Z > a.Y:
		return "lift in from below" + slope(leg)
	case a.Y >= a.X && leg.Y < 0:
		return "slide in from the left" + slope(leg)
	case a.Y >= a.X:
		return "slide in from the right" + slope(leg)
	case leg.X < 0:
		return "slide in from the front" + slope(leg)
	}
	return "slide in from the back" + slope(leg)
}

// heading says where a leg goes.
func heading(leg r3.Vector) string {
	a := leg.Abs()
	switch {
	case a.Z > a.X && a.Z > a.Y && leg.Z < 0:
		return "down" + slope(leg)
	case a.Z > a.X && a.Z > a.Y:
		return "up" + slope(leg)
	case a.Y >= a.X && leg.Y < 0:
		return "to the right" + slope(leg)
	case a.Y >= a.X:
		return "to the left" + slope(leg)
	case leg.X < 0:
		return "backward" + slope(leg)
	}
	return "forward" + slope(leg)
}

// slope says how much a leg in the side view is off level or plumb, empty when it is
// not. Only tilted boxes have such legs.
func slope(leg r3.Vector) string {
	if leg.X == 0 || leg.Z == 0 || leg.Y != 0 {
		return ""
	}
	if math.Abs(leg.Z) > math.Abs(leg.X) {
		return fmt.Sprintf(", %.3g° %s of plumb,", angle(leg.X, leg.Z), pick(leg.X > 0, "forward", "backward"))
	}
	return fmt.Sprintf(", %.3g° %s,", angle(leg.Z, leg.X), pick(leg.Z > 0, "upward", "downward"))
}

// angle returns the angle whose tangent is |a/b|, in degrees.
func angle(a, b float64) float64 {
	return math.Atan2(math.Abs(a), math.Abs(b)) * 180 / math.Pi
}

func pick(first bool, a, b string) string {
	if first {
		return a
	}
	return b
}

// and joins names: "the tank", "the tank and the seat".
func and(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// Words says when the post can be reached: "connect battery 2 minus with tank off,
// before battery 4 goes in". It is empty for a post that always can.
func (r Reach) Words() string {
	switch r.When {
	case Before:
		return fmt.Sprintf("connect %v %s", r.Post, strings.Join(r.conditions(), ", "))
	case Never:
		return fmt.Sprintf("%v cannot be reached with the tool: in the way %s", r.Post, isAre(r.blockers()))
	}
	return ""
}

// conditions says what has to be off and what may not be in yet.
func (r Reach) conditions() []string {
	var list []string
	if len(r.Things) > 0 {
		list = append(list, "with "+and(r.Things)+" off")
	}
	if len(r.Boxes) > 0 {
		list = append(list, "before "+r.Boxes[0].String()+" goes in")
	}
	return list
}

func (r Reach) blockers() []string {
	var list []string
	for _, box := range r.Boxes {
		if box.OfBox(r.Post.Box, r.Post.Number) {
			list = append(list, "another post of it")
		} else {
			list = append(list, box.String())
		}
	}
	return append(list, r.Things...)
}

// Words says what holds what: "battery 1 and charger 1 block each other, with down-tube
// and tank". It is empty for a layout that goes in.
func (s Stuck) Words() string {
	var boxes []string
	for _, b := range s.Boxes {
		boxes = append(boxes, b.String())
	}
	switch {
	case len(boxes) == 0:
		return ""
	case len(boxes) == 1:
		return fmt.Sprintf("%s cannot come out past %s", boxes[0], and(s.Obstacles))
	case len(s.Obstacles) == 0:
		return and(boxes) + " block each other"
	}
	return fmt.Sprintf("%s block each other, with %s", and(boxes), and(s.Obstacles))
}

func isAre(names []string) string { return pick(len(names) == 1, "is ", "are ") + and(names) }
