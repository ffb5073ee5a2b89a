// Package balance reckons masses, the middle of mass and what each wheel bears, of a vehicle
// with what is packed into it. It is statics: every mass bears on the wheels as the levers
// tell.
//
//	balance.go   the sums
//	wheels.go    how a mass is shared among two or three wheels
//	target.go    where the packed boxes would bring the loads back to what they were
package balance

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/pack"
)

// Balance is what a layout does to the vehicle. Masses are in kilograms, lengths in
// millimetres. A pointer is nil where the files do not tell.
type Balance struct {
	Boxes    []Share  // in the order of the layout's placements
	Unknown  []string // kinds of boxes without a mass: they count as nothing
	Packed   float64  // mass of all boxes
	Battery  float64  // of it, of boxes that store energy: kinds with a voltage and a capacity
	Middle   r3.Vector
	Vehicle  *float64 // the vehicle's own mass, as it was weighed
	Whole    *Sum     // vehicle and boxes
	Loaded   *Sum     // with the riders as well; nil when there are none
	Wheels   []Wheel  // as in the frame file; nil without vehicle
	Sideways *float64 // how far to the left of the line of two wheels the middle of Whole is; of the boxes where the vehicle was not weighed
}

// Sum is a mass and where its middle is. The height is nil where it is not known: it takes
// the vehicle's own and the height of the road.
type Sum struct {
	Mass   float64
	At     r2.Point // x and y
	Height *float64 // z
}

// Share is a box, and what it adds to each wheel.
type Share struct {
	Part   pack.Part
	Mass   float64
	At     r3.Vector
	Wheels []float64
}

// Wheel is what a wheel bears.
type Wheel struct {
	Name    string
	Packed  float64  // of the boxes
	Riders  float64  // of the riders
	Now     *float64 // of the vehicle as it was weighed
	With    *float64 // Now and Packed
	Loaded  *float64 // and Riders
	Before  *float64 // with the engine
	Allowed *float64
}

// Over tells by how many kilograms a wheel bears more than it is allowed to, riders and all;
// 0 where it does not, or where that is not known.
func (w Wheel) Over() float64 {
	if w.Loaded == nil || w.Allowed == nil {
		return 0
	}
	return max(0, *w.Loaded-*w.Allowed)
}

// Lifted tells whether a wheel bears less than nothing: the vehicle would tip.
func (w Wheel) Lifted() bool { return w.With != nil && *w.With < 0 || w.Loaded != nil && *w.Loaded < 0 }

// Of reckons the balance of a layout. Boxes that the pack does not have are left out: the
// judge names them.
func Of(p pack.Problem, l pack.Layout) Balance {
	b := Balance{Boxes: shares(p, l)}
	for _, k := range p.Pack.Kinds {
		if k.Mass == 0 {
			b.Unknown = append(b.Unknown, k.Name)
		}
	}
	for _, s := range b.Boxes {
		b.Packed += s.Mass
		b.Middle = b.Middle.Add(s.At.Mul(s.Mass))
		if k, _ := p.Kind(s.Part.Box); k.Volts > 0 && k.AmpHours > 0 {
			b.Battery += s.Mass
		}
	}
	b.Middle = b.Middle.Mul(1 / max(b.Packed, math.SmallestNonzeroFloat64))
	if p.Frame.Vehicle != nil {
		b.onWheels(p.Frame)
	}
	return b
}

func shares(p pack.Problem, l pack.Layout) []Share {
	var all []Share
	for _, at := range l.Placements {
		k, ok := p.Kind(at.Box)
		if !ok {
			continue
		}
		s := Share{Part: at.Part(), Mass: k.Mass, At: at.Centre}
		if v := p.Frame.Vehicle; v != nil {
			s.Wheels = bear(v.Wheels, s.Mass, s.At)
		}
		all = append(all, s)
	}
	return all
}

// onWheels puts boxes, vehicle and riders on the wheels.
func (b *Balance) onWheels(f *frame.Frame) {
	v := f.Vehicle
	for i, w := range v.Wheels {
		out := Wheel{Name: w.Name, Now: w.Weighed, Before: w.Before, Allowed: w.Allowed}
		for _, s := range b.Boxes {
			out.Packed += s.Wheels[i]
		}
		for _, r := range v.Riders {
			out.Riders += bear(v.Wheels, r.Mass, r.At)[i]
		}
		if w.Weighed != nil {
			with, loaded := *w.Weighed+out.Packed, *w.Weighed+out.Packed+out.Riders
			out.With, out.Loaded = &with, &loaded
		}
		b.Wheels = append(b.Wheels, out)
	}
	b.sums(f)
	b.sideways(v.Wheels)
}

// sums adds the boxes and the riders to the vehicle's own mass.
func (b *Balance) sums(f *frame.Frame) {
	own, ok := ownMass(f)
	if !ok {
		return
	}
	b.Vehicle = &own.Mass
	whole := own
	for _, s := range b.Boxes {
		whole = whole.with(s.Mass, s.At)
	}
	b.Whole = &whole
	if len(f.Vehicle.Riders) == 0 {
		return
	}
	loaded := whole
	for _, r := range f.Vehicle.Riders {
		loaded = loaded.with(r.Mass, r.At)
	}
	b.Loaded = &loaded
}

// ownMass is the vehicle's own mass and middle, and whether all its wheels were weighed.
func ownMass(f *frame.Frame) (Sum, bool) {
	var own Sum
	for _, w := range f.Vehicle.Wheels {
		if w.Weighed == nil {
			return Sum{}, false
		}
		own.Mass += *w.Weighed
		own.At = own.At.Add(w.At.Mul(*w.Weighed))
	}
	if own.Mass <= 0 {
		return Sum{}, false
	}
	own.At = own.At.Mul(1 / own.Mass)
	if h, ok := f.Vehicle.MassHeight(); ok && f.Ground != nil {
		z := h - f.Ground.Clear
		own.Height = &z
	}
	return own, true
}

// with is the sum with one more mass.
func (s Sum) with(mass float64, at r3.Vector) Sum {
	whole := s.Mass + mass
	out := Sum{Mass: whole, At: s.At.Mul(s.Mass).Add(r2.Point{X: at.X, Y: at.Y}.Mul(mass)).Mul(1 / whole)}
	if s.Height != nil {
		z := (*s.Height*s.Mass + at.Z*mass) / whole
		out.Height = &z
	}
	return out
}

// sideways tells how far off the line of two wheels the mass is. Three hold it anywhere
// between them.
func (b *Balance) sideways(wheels []frame.Wheel) {
	if len(wheels) != frame.MinWheels {
		return
	}
	at := r2.Point{X: b.Middle.X, Y: b.Middle.Y}
	if b.Whole != nil {
		at = b.Whole.At
	} else if b.Packed == 0 {
		return
	}
	off := leftOf(wheels, at)
	b.Sideways = &off
}
