package loads

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/pack/rack"
)

// bored is a hole in a bar or plate that a bolt bears on.
type bored struct {
	bar  rack.Bar
	hole rack.Hole
}

// bearing is the part of what the metal around the hole carries that a force takes, its parts
// along the bar and across it each on its own, as EN 1993-1-8 Table 3.4 has it.
func (b bored) bearing(t rack.Thread, force r3.Vector) float64 {
	s := b.bar.Section
	end := math.Min(b.hole.At, b.bar.Length()-b.hole.At)
	edge := math.Min(b.hole.Across, s.Width-b.hole.Across)
	across := b.bar.A
	if b.hole.Leg == rack.LegB {
		across = b.bar.B
	}
	return math.Max(
		math.Abs(force.Dot(b.bar.Along()))/t.Bearing(s.Thick, end, edge),
		math.Abs(force.Dot(across))/t.Bearing(s.Thick, edge, end),
	)
}
