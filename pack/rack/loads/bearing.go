package loads

import (
	"fmt"
	"math"
	"strings"

	"github.com/golang/geo/r3"

	"rackwright/pack/rack"
)

// bored is a hole in a bar or plate that a bolt bears on.
type bored struct {
	bar  rack.Bar
	hole rack.Hole
}

// tears is how a bolt gives where the metal around its hole does, before the bar's name.
const tears = "the metal around its hole in "

// WouldDo says what the part that gives first in a direction has to be to bear so many times what it
// bears now: thicker metal where it is that around a bolt's hole.
func (d Direction) WouldDo(r *rack.Rack, times float64) string {
	name, hole := strings.CutPrefix(d.How, tears)
	b, ok := r.Bar(name)
	if !hole || !ok {
		return WouldDo(r, d.Weakest, times)
	}
	return fmt.Sprintf("%s gives; metal of %g mm would do there, or a hole farther from its edges", d.How, math.Ceil(times*b.Section.Thick))
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
