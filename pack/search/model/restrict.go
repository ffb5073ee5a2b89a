package model

import (
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// Ranges and pins are planes that ask for no spare (K is 0), after those of the walls. A pinned
// box is of a kind of its own, which has one pose and a range that leaves its middle no room.

// rangeSlack is by how many millimetres a range is taken larger: the judge allows as much for
// rounding, and what just fits is to be found.
const rangeSlack = 5e-7

// restricted are the kinds of a problem, those of pinned boxes taken out and put after them, with
// the boxes of each and the pins. Numbers stay those of the pack, so a layout names the boxes as
// its file did. The order is what ranges of kinds, free first, look like to everything else: an
// ordinary problem.
func restricted(problem pack.Problem) (kinds []pack.Kind, boxes []Box, pins []*pack.Placement) {
	for _, k := range problem.Pack.Kinds {
		var pinned []Box
		var at []*pack.Placement
		free := k
		free.Count = 0
		for n := 1; n <= k.Count; n++ {
			if pin, ok := problem.Pin(k.Name, n); ok {
				pinned, at = append(pinned, Box{number: n}), append(at, &pin)
				continue
			}
			boxes = append(boxes, Box{Kind: len(kinds), number: n})
			free.Count++
		}
		if free.Count > 0 {
			kinds, pins = append(kinds, free), append(pins, nil)
		}
		for i, b := range pinned {
			alone := k
			alone.Count = 1
			b.Kind = len(kinds)
			boxes, kinds, pins = append(boxes, b), append(kinds, alone), append(pins, at[i])
		}
	}
	return kinds, boxes, pins
}

// posesFor lists the poses of a kind: of a pinned one that alone in which it is.
func (m *Model) posesFor(kind int) []*Pose {
	k, worst := m.Kinds[kind], m.Problem.Worst
	if pin := m.pins[kind]; pin != nil {
		return []*Pose{NewPose(kind, k, worst, pin.Up, pin.Front, pin.Tilt)}
	}
	return posesOf(kind, k, worst)
}

// Pinned is where box i is pinned, and false where it is not.
func (m *Model) Pinned(i int) (r3.Vector, bool) {
	if pin := m.pins[m.Boxes[i].Kind]; pin != nil {
		return pin.Centre, true
	}
	return r3.Vector{}, false
}

// Restricted tells whether boxes are pinned or have ranges. Written proofs and puzzles of whole
// sizes know neither, and ask.
func (m *Model) Restricted() bool {
	return slices.ContainsFunc(m.pins, func(p *pack.Placement) bool { return p != nil }) ||
		slices.ContainsFunc(m.Kinds, func(k pack.Kind) bool { return !k.Within.IsAny() })
}

// keepsMirror tells whether pins and ranges are the same in a mirror: none is pinned, and no
// range is across. A pinned box has an image that is not where it is pinned.
func (m *Model) keepsMirror() bool {
	return !slices.ContainsFunc(m.pins, func(p *pack.Placement) bool { return p != nil }) &&
		!slices.ContainsFunc(m.Kinds, func(k pack.Kind) bool { return k.Within[1] != nil })
}

// rangesOf are the planes of the range, and of the pin, of a pose. A range is that of the box as
// measured, posts and all. That of a post counts too, for a range says where the box with all that
// it has may be. Accuracy does not: a builder measures the range, and the box against it.
func (m *Model) rangesOf(p *Pose) []Plane {
	k := m.Kinds[p.Kind]
	whole := NewPose(p.Kind, k, false, p.Up, p.Front, p.Tilt)
	var list []Plane
	// low and high are how far the box reaches from its middle, down and up along the axis.
	keep := func(axis int, in r1.Interval, low, high float64) {
		u := AxesOfVehicle[axis]
		list = append(list, Plane{N: u, D: in.Lo + low - rangeSlack}, Plane{N: u.Mul(-1), D: high - in.Hi - rangeSlack})
	}
	for axis, in := range k.Within {
		if in == nil {
			continue
		}
		low, high := math.Inf(-1), math.Inf(-1)
		for n := range whole.Parts {
			low, high = max(low, whole.Reach(n, AxesOfVehicle[axis].Mul(-1))), max(high, whole.Reach(n, AxesOfVehicle[axis]))
		}
		keep(axis, *in, low, high)
	}
	if pin := m.pins[p.Kind]; pin != nil {
		for axis, c := range [3]float64{pin.Centre.X, pin.Centre.Y, pin.Centre.Z} {
			keep(axis, r1.Interval{Lo: c, Hi: c}, 0, 0)
		}
	}
	return list
}

// restSlack is by how many millimetres what asks for no spare may be broken: what programs leave
// of rounding, and far less than rangeSlack.
const restSlack = 1e-8

// Lack is what the plane leaves less than enough at p, or, where it asks for no spare, less than
// nothing; not positive where it leaves that. Its factor has to be 1 or 0.
func (f *Plane) Lack(p r3.Vector, enough float64) float64 {
	if f.K == 0 {
		return -f.LeftAlone(p) - restSlack
	}
	return enough - f.LeftAlone(p)
}
