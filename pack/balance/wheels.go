package balance

import (
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/frame"
)

// bear is what each wheel bears of a mass: two by their distances along the line between
// them, three by the areas of the triangles that the mass makes with the other two
// (barycentric coordinates, which are the solution of the three equations of equilibrium).
func bear(wheels []frame.Wheel, mass float64, at r3.Vector) []float64 {
	p := r2.Point{X: at.X, Y: at.Y}
	out := make([]float64, len(wheels))
	if len(wheels) == frame.MinWheels {
		along := wheels[1].At.Sub(wheels[0].At)
		second := p.Sub(wheels[0].At).Dot(along) / along.Dot(along)
		out[0], out[1] = mass*(1-second), mass*second
		return out
	}
	whole := area(wheels[0].At, wheels[1].At, wheels[2].At)
	for i := range wheels {
		out[i] = mass * area(p, wheels[(i+1)%3].At, wheels[(i+2)%3].At) / whole
	}
	return out
}

// area is twice that of a triangle, with its sign.
func area(a, b, c r2.Point) float64 { return b.Sub(a).Cross(c.Sub(a)) }

// leftOf tells how far a point is to the left of the line of two wheels, looking forward.
func leftOf(wheels []frame.Wheel, p r2.Point) float64 {
	front, rear := wheels[0].At, wheels[1].At
	if front.X < rear.X {
		front, rear = rear, front
	}
	return front.Sub(rear).Normalize().Cross(p.Sub(rear))
}
