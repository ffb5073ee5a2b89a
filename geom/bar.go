package geom

import "github.com/golang/geo/r3"

// Bar is the points within Radius of the segment From–To, or, with flat ends, those of them that are
// beside the segment and not beyond it.
type Bar struct {
	From, To r3.Vector
	Radius   float64
	FlatEnds bool
}

// RoundBar is a solid that is a bar: all that is known of it is in its Bar, so who draws one round, or
// looks for points inside of one, need not know its kind.
type RoundBar interface {
	Shape
	Bar() Bar
}

// BarOf returns the bar that a solid is, and whether it is one. A body with a curved surface need not
// be: see Polyhedron.Curved.
func BarOf(s Solid) (Bar, bool) {
	if b, ok := s.(RoundBar); ok {
		return b.Bar(), true
	}
	return Bar{}, false
}

// Solid returns the bar as a solid: a Cylinder where the ends are flat, else a Tube.
func (b Bar) Solid() Solid {
	if b.FlatEnds {
		return Cylinder{From: b.From, To: b.To, Radius: b.Radius}
	}
	return Tube{From: b.From, To: b.To, Radius: b.Radius}
}

// Mirrored returns the bar seen in a mirror at y = middle. Left and right change places; what lies
// on the plane of the mirror stays.
func (b Bar) Mirrored(middle float64) Bar {
	b.From.Y, b.To.Y = 2*middle-b.From.Y, 2*middle-b.To.Y
	return b
}

// Same tells whether two bars are the same points, whichever end is called the first. To the bit,
// so that it may say no of two that differ by rounding.
func (b Bar) Same(other Bar) bool {
	if b.From == other.To && b.To == other.From {
		b.From, b.To = b.To, b.From
	}
	return b == other
}
