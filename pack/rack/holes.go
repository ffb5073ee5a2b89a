package rack

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// Hole is where a fastener goes through a leg of a bar.
type Hole struct {
	Leg      Leg
	At       float64 // mm from the bar's From end
	Across   float64 // mm from its heel
	Diameter float64
	Fastener string
	// Begins and Ends are where along the fastener the metal is, in mm from its From.
	Begins, Ends float64
}

// square is how far in radians a fastener may be off square to the leg that it goes through.
const square = 1e-6

// Holes returns the holes that the rack's fasteners need in a bar, by leg and place.
func (r *Rack) Holes(b Bar) []Hole {
	var list []Hole
	for _, f := range r.Fasteners {
		if slices.Contains(f.Joins, b.Name) {
			list = append(list, f.Through(b)...)
		}
	}
	slices.SortStableFunc(list, func(a, b Hole) int { return cmp.Or(cmp.Compare(a.Leg, b.Leg), cmp.Compare(a.At, b.At)) })
	return list
}

// Through returns the holes of a fastener in a bar: one for each leg that its axis crosses
// squarely, between the fastener's ends.
func (f Fastener) Through(b Bar) []Hole {
	t, err := ThreadOf(f.Size)
	if err != nil {
		return nil
	}
	var list []Hole
	for i, slab := range b.Legs() {
		normal, along := slab.Axes[2], f.Along()
		if d := normal.Dot(along); math.Abs(d) < 1-square {
			continue
		}
		mid := slab.Centre.Sub(f.From).Dot(along)
		p := f.At(mid).Sub(b.From)
		h := Hole{
			Leg: LegA, At: p.Dot(b.Along()), Across: p.Dot(slab.Axes[1]), Diameter: t.Hole, Fastener: f.Name,
			Begins: mid - b.Section.Thick/2, Ends: mid + b.Section.Thick/2,
		}
		if i == 1 {
			h.Leg = LegB
		}
		reach := geom.Tolerance + 1e-6
		if h.At > -reach && h.At < b.Length()+reach && h.Across > 0 && h.Across < b.Section.Width && h.Begins > -reach-t.Head && h.Ends < f.Length()+reach {
			list = append(list, h)
		}
	}
	return list
}

// Place is where the hole's middle is, in the vehicle.
func (h Hole) Place(b Bar) r3.Vector {
	across, thick := b.A, b.B
	if h.Leg == LegB {
		across, thick = b.B, b.A
	}
	return b.From.Add(b.Along().Mul(h.At)).Add(across.Mul(h.Across)).Add(thick.Mul(b.Section.Thick / 2))
}
