package design

import (
	"math"

	"rackwright/pack/rack"
)

// measures are the sizes that one try of a tray is made with.
type measures struct {
	axes
	angle   rack.Section // side members, end bars, mount bars
	upright rack.Section // between mounts and trays
	riser   rack.Section // between trays
	flat    rack.Section // bars under boxes
	over    rack.Section // hold-downs
	floor   rack.Section // bars under side members, on mounts that face up
	rod     rack.Thread
	strong  bool    // rods of class 8.8 instead of 4.6
	foam    float64 // under and over boxes
	pad     float64 // least thickness at ends
	twice   bool    // two hold-downs where one would do
	wide    float64 // by how much rods are farther from boxes than they have to be
}

// gauge is how far from the heel a hole in a leg is: so that nut and spanner clear the other
// leg, and the edge is far enough.
func gauge(s rack.Section, t rack.Thread) float64 {
	if s.Form != rack.Angle {
		return s.Width / 2
	}
	return math.Max(s.Thick+t.Corners()/2+1.5, math.Min(s.Width/2+1.5, s.Width-t.Edge()))
}

// beside is how far a rod's axis is from the sides of boxes, so that a nut passes them.
func (m measures) beside() float64 { return math.Ceil(m.rod.Corners()/2+1) + m.wide }

// sides is how far the tray reaches beyond the sides of boxes: past rods and side members.
func (m measures) sides() float64 {
	return m.beside() + math.Max(gauge(m.angle, m.rod), m.angle.Thick+math.Ceil(m.rod.Edge()))
}

// rodClass is the strength class of rods.
func (m measures) rodClass() string {
	if m.strong {
		return "8.8"
	}
	return "4.6"
}
