package frame

import (
	"github.com/golang/geo/r3"

	"rackwright/frame/strict"
	"rackwright/geom"
)

// Number is where the frame number is, and from which side it is read.
type Number struct {
	At       r3.Vector
	SeenFrom Seen
}

// Seen is a side of the vehicle from which something is seen.
type Seen string

// Sides to see from.
const (
	FromLeft  Seen = "left"
	FromRight Seen = "right"
	FromFront Seen = "front"
)

// NumberRadius is half of what has to be clear in front of the number, in mm: numbers are stamped
// some 60 mm long and more (common practice).
const NumberRadius = 30

// beyond in mm is farther than anything of a vehicle is from its frame.
const beyond = 4000

// sights are the ways from the number to who reads it.
var sights = map[Seen]r3.Vector{FromLeft: {Y: 1}, FromRight: {Y: -1}, FromFront: {X: 1}}

// CoveredBy tells whether a solid is in the line of sight: a straight round one, NumberRadius wide,
// from the number out. What is only beside it or behind it is not.
func (n Number) CoveredBy(s geom.Solid) bool {
	sight := geom.Cylinder{From: n.At, To: n.At.Add(sights[n.SeenFrom].Mul(beyond)), Radius: NumberRadius}
	return geom.Distance(sight, s) < -geom.Tolerance
}

// number reads the two keys, of which neither is of use alone.
func (r *reader) number() *Number {
	at, from := r.file.FrameNumber, r.file.SeenFrom
	switch {
	case at == nil && from == "":
		return nil
	case at == nil:
		r.At(&r.file.SeenFrom, strict.MissingKey, "seen_from tells from which side the frame number is read: say where it is as well, frame_number: [x, y, z]")
		return nil
	case from == "":
		r.At(at, strict.MissingKey, "say from which side the frame number is read: seen_from: left, right or front")
		return nil
	}
	if _, ok := sights[Seen(from)]; !ok {
		r.At(&r.file.SeenFrom, strict.BadValue, "a frame number is seen from left, right or front, not from %q", from)
	}
	return &Number{At: r.at3(at), SeenFrom: Seen(from)}
}
