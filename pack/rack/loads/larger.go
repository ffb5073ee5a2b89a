package loads

import (
	"fmt"
	"math"

	"rackwright/pack/rack"
)

// sold are sections that shops for metal have, the weakest first of each form (common practice).
var sold = []rack.Section{
	{Form: rack.Angle, Width: 20, Thick: 3},
	{Form: rack.Angle, Width: 25, Thick: 3},
	{Form: rack.Angle, Width: 25, Thick: 4},
	{Form: rack.Angle, Width: 30, Thick: 3},
	{Form: rack.Angle, Width: 30, Thick: 4},
	{Form: rack.Angle, Width: 35, Thick: 4},
	{Form: rack.Angle, Width: 40, Thick: 4},
	{Form: rack.Angle, Width: 50, Thick: 5},
	{Form: rack.Flat, Width: 25, Thick: 3},
	{Form: rack.Flat, Width: 30, Thick: 4},
	{Form: rack.Flat, Width: 30, Thick: 5},
	{Form: rack.Flat, Width: 40, Thick: 5},
	{Form: rack.Flat, Width: 40, Thick: 6},
	{Form: rack.Flat, Width: 50, Thick: 8},
}

// modulus is a section's least resistance to bending in mm³: its second moment over the distance to
// the farthest edge, for an angle about an axis along a leg, for a flat across its thickness.
func modulus(s rack.Section) float64 {
	if s.Form != rack.Angle {
		return s.Width * s.Thick * s.Thick / 6
	}
	c, _ := s.Centroid()
	return s.LegMoment() / (s.Width - c)
}

// WouldDo says what a part has to be to bear so many times what it bears now; what loads make of
// the rest of the rack is not looked at again.
func WouldDo(r *rack.Rack, part string, times float64) string {
	if b, ok := r.Bar(part); ok {
		if s := b.Section; s.Form == rack.Plate {
			return fmt.Sprintf("plate %gx%g would do", s.Width, math.Ceil(s.Thick*math.Sqrt(times)))
		}
		for _, s := range sold {
			if s.Form == b.Section.Form && modulus(s) >= times*modulus(b.Section) {
				return s.String() + " would do"
			}
		}
		return fmt.Sprintf("no %s that is sold would do alone: one more bar beside it", b.Section.Form)
	}
	if f, ok := r.Fastener(part); ok {
		return fastenerWouldDo(f, times)
	}
	if _, ok := r.Clamp(part); ok {
		return "one more clamp beside it would do"
	}
	return "longer or more welds would do"
}

// fastenerWouldDo is the size or class that bears so many times as much, by its stress area and
// tensile strength; a rod that bends, by the third power of its diameter.
func fastenerWouldDo(f rack.Fastener, times float64) string {
	now, err := rack.ThreadOf(f.Size)
	if err != nil {
		return ""
	}
	strength := func(t rack.Thread, class string) float64 {
		if f.Rod {
			return rodYield(class) * math.Pow(t.StressArea(), 1.5)
		}
		shear, tension, err := t.Resistance(class)
		if err != nil {
			return 0
		}
		return min(shear, tension)
	}
	need := times * strength(now, f.Class)
	if f.Class != "8.8" && strength(now, "8.8") >= need {
		return fmt.Sprintf("%s of class 8.8 would do", f.Size)
	}
	for _, size := range []string{"M6", "M8", "M10", "M12"} {
		if t, err := rack.ThreadOf(size); err == nil && t.D > now.D && strength(t, f.Class) >= need {
			return fmt.Sprintf("%s of class %s would do", size, f.Class)
		}
	}
	return "one more beside it"
}
