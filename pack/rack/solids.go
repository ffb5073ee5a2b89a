package rack

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// Leg is a flat part of a bar: A or B.
type Leg string

// The legs of an angle; a flat has only A.
const (
	LegA Leg = "a"
	LegB Leg = "b"
)

// Legs returns the legs of a bar as boxes, A first. Those of an angle share the corner.
func (b Bar) Legs() []geom.Box {
	legs := []geom.Box{b.slab(b.A, b.B)}
	if b.Section.Form == Angle {
		legs = append(legs, b.slab(b.B, b.A))
	}
	return legs
}

// slab is the leg that runs along one direction and is thick along the other.
func (b Bar) slab(along, thick r3.Vector) geom.Box {
	middle := b.From.Add(b.To).Mul(0.5).Add(along.Mul(b.Section.Width / 2)).Add(thick.Mul(b.Section.Thick / 2))
	return geom.Box{
		Centre: middle, Axes: [3]r3.Vector{along.Cross(thick), along, thick}, // right-handed, whichever way the bar runs
		Half: r3.Vector{X: b.Length() / 2, Y: b.Section.Width / 2, Z: b.Section.Thick / 2},
	}
}

// Solids returns the bar as convex solids.
func (b Bar) Solids() []geom.Solid {
	var list []geom.Solid
	for _, leg := range b.Legs() {
		list = append(list, leg)
	}
	return list
}

// Centre is the middle of the section's area at a place mm from From.
func (b Bar) Centre(mm float64) r3.Vector {
	ca, cb := b.Section.Centroid()
	return b.From.Add(b.Along().Mul(mm)).Add(b.A.Mul(ca)).Add(b.B.Mul(cb))
}

// round is the square bar around what is round about the fastener, from one place along it to
// another: quick to measure, and no smaller than what it stands for.
func (f Fastener) round(from, to, radius float64) geom.Solid {
	along := f.Along()
	across := r3.Vector{X: 1}
	if math.Abs(along.X) > math.Abs(along.Y) {
		across = r3.Vector{Y: 1}
	}
	across = across.Sub(along.Mul(across.Dot(along))).Normalize()
	return geom.Box{
		Centre: f.At((from + to) / 2), Axes: [3]r3.Vector{along, across, along.Cross(across)},
		Half: r3.Vector{X: math.Abs(to-from) / 2, Y: radius, Z: radius},
	}
}

// Shank is the fastener without head and nuts.
func (f Fastener) Shank() geom.Solid {
	t, _ := ThreadOf(f.Size)
	return f.round(0, f.Length(), t.D/2)
}

// Hardware returns head and nuts, with their washers, and the sleeve, each as the square
// bar around its corners.
func (f Fastener) Hardware() []geom.Solid {
	t, _ := ThreadOf(f.Size)
	var list []geom.Solid
	if !f.Rod {
		list = append(list, f.round(-t.Head, 0, t.Corners()/2))
	}
	for _, n := range f.Nuts {
		list = append(list, f.nut(t, n, 0)...)
	}
	if f.Sleeve != nil {
		list = append(list, f.Tube())
	}
	return list
}

// Tube is the sleeve of a fastener that has one.
func (f Fastener) Tube() geom.Solid { return f.round(f.Sleeve.From, f.Sleeve.To, f.Sleeve.Outer/2) }

// nut is the washer and the nut on it.
func (f Fastener) nut(t Thread, n Nut, more float64) []geom.Solid {
	height := t.Nut
	if n.Locking {
		height = t.Locking
	}
	way := 1.0
	if !n.Beyond {
		way = -1
	}
	return []geom.Solid{
		f.round(n.At, n.At+way*t.WasherThk, t.Washer/2+more),
		f.round(n.At+way*t.WasherThk, n.At+way*(t.WasherThk+height), t.Corners()/2+more),
	}
}

// Solids returns the whole fastener.
func (f Fastener) Solids() []geom.Solid {
	return append([]geom.Solid{f.Shank()}, f.Hardware()...)
}

// WayIn returns what a bolt is moved through on its way to its place.
func (f Fastener) WayIn() geom.Solid {
	t, _ := ThreadOf(f.Size)
	return f.round(-f.Length()-t.Head, 0, t.D/2)
}

// SpannerRoom returns the room that a spanner takes around head and nuts.
func (f Fastener) SpannerRoom() []geom.Solid {
	t, _ := ThreadOf(f.Size)
	var list []geom.Solid
	if !f.Rod {
		list = append(list, f.round(-t.Head, 0, t.Spanner()))
	}
	for _, n := range f.Nuts {
		list = append(list, f.nut(t, n, t.Spanner()-t.Corners()/2)[1])
	}
	return list
}

// Solid returns the pad.
func (p Pad) Solid() geom.Box {
	body := geom.BoxFromCorners(p.Low, p.High)
	if p.Tilt != 0 {
		body.Centre = p.InVehicle(body.Centre)
		for i := range body.Axes {
			body.Axes[i] = p.InVehicle(body.Axes[i])
		}
	}
	return body
}
