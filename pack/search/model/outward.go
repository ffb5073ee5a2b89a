package model

import (
	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// Outward is where a face of the box looks, in the vehicle's axes.
func (p *Pose) Outward(face pack.Face) r3.Vector {
	axis, positive := axisOf(face)
	return p.direction(axis, Sign(positive))
}
