package route

import (
	"math"

	"github.com/golang/geo/r3"
)

// Path is a way: the middle line of a cable, straight between points, of which those between
// the ends are rounded.
type Path struct {
	Points []r3.Vector
	Radii  []float64 // of the bend at each point between the ends
	Length float64   // mm, along the middle line with its bends
	Bend   float64   // the least of Radii, +Inf for a straight way
}

// Holds tells whether no bend is sharper than a cable allows.
func (p Path) Holds(c Cable) bool { return p.Bend >= c.Bend*(1-1e-6) }

// pathOf rounds the corners of a line through points as far as there is room: half of each
// piece for each of its ends, all but the lug's straight part of the first and the last.
func (t *task) pathOf(points []r3.Vector) Path {
	p := Path{Points: points, Bend: math.Inf(1)}
	for i := 1; i < len(points); i++ {
		p.Length += points[i].Distance(points[i-1])
	}
	for i := 1; i < len(points)-1; i++ {
		turn := turnAt(points, i)
		if turn < 1e-6 {
			p.Radii = append(p.Radii, t.cable.Bend)
			continue
		}
		half := math.Tan(turn / 2)
		radius := math.Min(t.cable.Bend, math.Min(t.room(points, i-1), t.room(points, i))/half)
		p.Radii = append(p.Radii, radius)
		p.Length -= radius * (2*half - turn)
		p.Bend = math.Min(p.Bend, radius)
	}
	return p
}

// turnAt is the angle by which a line turns at a point.
func turnAt(points []r3.Vector, i int) float64 {
	return points[i].Sub(points[i-1]).Angle(points[i+1].Sub(points[i])).Radians()
}

// room is how much of the piece from point i a bend at one of its ends may take.
func (t *task) room(points []r3.Vector, i int) float64 {
	length := points[i].Distance(points[i+1])
	first, last := i == 0, i == len(points)-2
	switch {
	case first && last:
		return 0
	case first:
		return math.Max(0, length-t.from.Straight)
	case last:
		return math.Max(0, length-t.to.Straight)
	}
	return length / 2
}

// arcs is into how many straight pieces a bend is cut where its clearance is measured; each
// chord of a right angle is then off the bend by less than 0.5 % of the radius, on the inner
// side, where it counts.
const arcs = 8

// Line is the middle line of a path as points, its bends in short pieces.
func (p Path) Line() []r3.Vector {
	line := []r3.Vector{p.Points[0]}
	for i := 1; i < len(p.Points)-1; i++ {
		line = append(line, p.bend(i)...)
	}
	return append(line, p.Points[len(p.Points)-1])
}

func (p Path) bend(i int) []r3.Vector {
	at := p.Points[i]
	in, out := at.Sub(p.Points[i-1]).Normalize(), p.Points[i+1].Sub(at).Normalize()
	turn, radius := turnAt(p.Points, i), p.Radii[i-1]
	if turn < 1e-6 || radius <= 0 {
		return []r3.Vector{at}
	}
	start := at.Sub(in.Mul(radius * math.Tan(turn/2)))
	side := out.Sub(in.Mul(in.Dot(out))).Normalize() // towards the middle of the bend
	var list []r3.Vector
	for k := range arcs + 1 {
		sin, cos := math.Sincos(turn * float64(k) / arcs)
		list = append(list, start.Add(in.Mul(radius*sin)).Add(side.Mul(radius*(1-cos))))
	}
	return list
}
