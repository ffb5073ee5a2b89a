package balance

import (
	"math"

	"rackwright/frame"
	"rackwright/pack"
)

// Wanted returns where along x the middle of mass of all that is packed would have to be for
// two wheels to share their load as they did with the engine, and whether that can be told:
// it takes two wheels, one before the other, with weights now and before, and masses of the
// boxes. It is no place for a box by itself, and may be outside the opening.
func Wanted(p pack.Problem, packed float64) (x float64, ok bool) {
	v := p.Frame.Vehicle
	if v == nil || len(v.Wheels) != frame.MinWheels || packed <= 0 {
		return 0, false
	}
	a, b := v.Wheels[0], v.Wheels[1]
	for _, kg := range []*float64{a.Weighed, b.Weighed, a.Before, b.Before} {
		if kg == nil {
			return 0, false
		}
	}
	whole := *a.Weighed + *b.Weighed + packed
	if before := *a.Before + *b.Before; before > 0 {
		onB := *b.Before / before * whole // what wheel b should bear
		share := (onB - *b.Weighed) / packed
		return a.At.X + share*(b.At.X-a.At.X), true
	}
	return 0, false
}

// Off tells how far a layout is from the balance that one would like, in millimetres, the
// less the better: how far the middle of all mass moves along from where it was with the
// engine (or, where that is not known, how far the boxes' middle is from the vehicle's own),
// and how far it is off the middle across. It is 0 where no mass is known.
func Off(p pack.Problem, b Balance) float64 {
	across := b.Middle.Y
	if b.Sideways != nil {
		across = *b.Sideways
	}
	return math.Hypot(along(p, b), across)
}

// along is how far the middle of mass is from where it was, along.
func along(p pack.Problem, b Balance) float64 {
	if x, ok := Wanted(p, b.Packed); ok && b.Whole != nil {
		return (b.Middle.X - x) * b.Packed / b.Whole.Mass
	}
	if b.Whole == nil || p.Frame.Vehicle == nil {
		return 0
	}
	own, _ := ownMass(p.Frame)
	return b.Whole.At.X - own.At.X
}
