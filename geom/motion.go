package geom

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// Motion is a movement with one degree of freedom: a turn about an axis, or a slide. A
// position is in radians from the place as drawn, right-handed about the axis, or in
// millimetres.
//
// The range is part of it, but positions outside of it mean something too; who sweeps keeps to the
// range.
type Motion struct {
	Turns bool
	About r3.Vector // a point of the axis of a turn
	Along r3.Vector // unit vector: the axis, or the direction of a slide
	Range r1.Interval
}

// Flat tells whether what lies in the side view stays in it: a turn about a cross axis, or a
// slide in the side view. Only then are outlines of the side view carried from place to place as
// outlines.
func (m Motion) Flat() bool {
	if m.Turns {
		return m.Along.X == 0 && m.Along.Z == 0
	}
	return m.Along.Y == 0
}

// Point returns where a point is at a position. At 0 it is the point itself, to the bit.
func (m Motion) Point(p r3.Vector, at float64) r3.Vector {
	switch {
	case at == 0:
		return p
	case m.Turns:
		return m.About.Add(m.turned(p.Sub(m.About), at))
	}
	return p.Add(m.Along.Mul(at))
}

// turned returns a vector turned about the axis (O. Rodrigues, Journal de mathématiques
// pures et appliquées 5 (1840) 380–440).
func (m Motion) turned(v r3.Vector, at float64) r3.Vector {
	// The part along the axis stays; the rest turns.
	sin, cos := math.Sincos(at)
	return v.Mul(cos).Add(m.Along.Cross(v).Mul(sin)).Add(m.Along.Mul(m.Along.Dot(v) * (1 - cos)))
}

// direction returns a direction at a position. A slide does not turn anything.
func (m Motion) direction(v r3.Vector, at float64) r3.Vector {
	if !m.Turns || at == 0 {
		return v
	}
	return unit(m.turned(v, at))
}

// Solid returns a solid at a position, one of another package where it was; what is no longer along the axes of
// the vehicle becomes a polyhedron.
func (m Motion) Solid(s Solid, at float64) Solid {
	if at == 0 {
		return s
	}
	if !m.Turns {
		return moved(s, m.Along.Mul(at))
	}
	if shape, ok := s.(Shape); ok {
		return shape.turned(m, at)
	}
	return s
}

// flat returns where a point of the side view is at a position of a flat motion. The depth is left
// out: a flat motion does not change it.
func (m Motion) flat(q r2.Point, at float64) r2.Point {
	moved, _ := SideView.Flatten(m.Point(SideView.Point(q, m.About.Y), at))
	return moved
}

// polygon returns a polygon of the side view at a position of a flat motion.
func (m Motion) polygon(p Polygon, at float64) Polygon {
	corners := make([]r2.Point, len(p.Corners))
	for i, c := range p.Corners {
		corners[i] = m.flat(c, at)
	}
	return Polygon{Corners: corners}
}
