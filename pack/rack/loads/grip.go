package loads

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/pack/rack"
	"rackwright/pack/rack/beam"
)

// grip is a clamp with the joint by which it carries the rack.
type grip struct {
	joint int // of the frame of beams
	at    r3.Vector
	clamp rack.Clamp
}

// grips is what clamps use of what they hold.
func (m *model) grips(s *beam.Solution) []use {
	var list []use
	for _, g := range m.gripped {
		list = append(list, g.uses(s.Joint(g.joint)))
	}
	return list
}

// uses is what a clamp uses of its friction, by slipping along its rail and around it, and tilting on it,
// taken together; or of its two bolts, which pull off what is pulled off besides what they press.
func (g grip) uses(c beam.Carried) use {
	k := g.clamp
	moment := c.Moment.Add(g.at.Sub(k.At).Cross(c.Force)) // about the rail's middle
	pull := math.Abs(c.Force.Dot(k.Faces))
	around := moment.Dot(k.Along)
	tilt := moment.Sub(k.Along.Mul(around)).Norm() / k.Tilts()
	slip := math.Inf(1)
	if most := k.Slip(pull); most > 0 {
		slip = math.Hypot(c.Force.Dot(k.Along), around/(k.Diameter/2)) / most
	}
	out := use{slip + tilt, k.Name, "slip on its rail"}
	t, _ := rack.ThreadOf(rack.ClampCloses)
	_, tension, _ := t.Resistance("8.8")
	if pulled := pull / 2 / (tension - rack.ClampForce); pulled > out.use {
		out.use, out.how = pulled, "pull on the bolts that close it"
	}
	return out
}
