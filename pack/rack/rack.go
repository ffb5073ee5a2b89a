package rack

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"rackwright/pack"
)

// Rack is all that is added to a frame so that boxes stand and are held.
type Rack struct {
	FrameHash, PackHash string // of the files that it was made for; empty when not known
	Joints              Joints
	Give                float64  // mm that pads let a box move
	Tilt                s1.Angle // of its trays, nose down positive
	Bars                []Bar
	Fasteners           []Fastener
	Clamps              []Clamp // on rails that may carry them
	Welds               []Weld  // between bars of one tray, in a welded rack
	Pads                []Pad
	Bought              Lengths // in which its metal is bought
}

// Joints is how bars are put together.
type Joints string

// Bolted and welded racks. Only bars of one tray are welded to each other, nothing ever to the
// vehicle.
const (
	Bolted Joints = "bolt"
	Welded Joints = "weld"
)

// DefaultGive is how far in mm foam lets a box move.
const DefaultGive = 2

// Bar is a straight bar. From and To are the ends of its heel: the outer corner of an angle,
// one corner of a flat. Leg A runs from the heel along A; leg B of an angle along B. A flat's
// thickness is along B.
type Bar struct {
	Name     string
	Section  Section
	From, To r3.Vector
	A, B     r3.Vector // unit vectors, square to the bar and to each other
	Tray     string    // bars of one tray may be welded; empty: of none
	Late     bool      // goes on after the boxes
}

// Along is the direction from From to To.
func (b Bar) Along() r3.Vector { return b.To.Sub(b.From).Normalize() }

// Length in mm.
func (b Bar) Length() float64 { return b.To.Sub(b.From).Norm() }

// Mass in kg.
func (b Bar) Mass() float64 { return b.Length() * b.Section.MassPerLength() }

// Fastener is a bolt with a head at From, or a threaded rod from From to To.
type Fastener struct {
	Name     string
	Size     string // M6
	Class    string // 8.8
	Rod      bool
	From, To r3.Vector // ends of the shank
	Nuts     []Nut
	Joins    []string // names of the bars and of the mount that it goes through, from From on
	Sleeve   *Sleeve
	Late     bool
}

// Nut sits on a fastener with its face At mm from From; it lies beyond that face, towards To,
// or before it.
type Nut struct {
	At      float64
	Beyond  bool
	Locking bool // nylon insert, or a plain nut with a split washer
}

// Sleeve is a tube around a fastener, from and to in mm along it.
type Sleeve struct{ From, To, Outer float64 }

// Along is the direction from From to To.
func (f Fastener) Along() r3.Vector { return f.To.Sub(f.From).Normalize() }

// Length of the shank in mm.
func (f Fastener) Length() float64 { return f.To.Sub(f.From).Norm() }

// At is the point so many mm from From.
func (f Fastener) At(mm float64) r3.Vector { return f.From.Add(f.Along().Mul(mm)) }

// Material of a pad.
type Material string

// What pads are made of: foam or rubber, a block of wood or plastic with foam on it, hose
// over a rod.
const (
	Foam  Material = "foam"
	Block Material = "block"
	Hose  Material = "hose"
)

// Pad fills the room between a face of a box and what holds it.
type Pad struct {
	Box    string
	Number int
	Face   r3.Vector // out of the box: one of the axes of the trays, either way
	To     string    // the bar, fastener or box that it lies against
	Of     Material
	Low    r3.Vector // corners, along the trays
	High   r3.Vector
	Tilt   s1.Angle // of the tray, nose down positive: without it its axes are the vehicle's
}

// Part is the box that the pad belongs to.
func (p Pad) Part() pack.Part { return pack.Part{Box: p.Box, Number: p.Number} }

// Thickness in mm, along its face's direction.
func (p Pad) Thickness() float64 { return p.High.Sub(p.Low).Dot(p.Face.Abs()) }

// Name of the pad, made of what it lies between.
func (p Pad) Name() string { return fmt.Sprintf("pad between %v and %s", p.Part(), p.To) }

// Bar returns the bar of a name.
func (r *Rack) Bar(name string) (Bar, bool) {
	for _, b := range r.Bars {
		if b.Name == name {
			return b, true
		}
	}
	return Bar{}, false
}

// Fastener returns the bolt or rod of a name.
func (r *Rack) Fastener(name string) (Fastener, bool) {
	for _, f := range r.Fasteners {
		if f.Name == name {
			return f, true
		}
	}
	return Fastener{}, false
}

// Ties are the names of what fasteners join that are no bars: mounts, clamps, and what hangs on the rack.
func (r *Rack) Ties() []string {
	var all []string
	for _, f := range r.Fasteners {
		for _, name := range f.Joins {
			if _, ok := r.Bar(name); !ok && !slices.Contains(all, name) {
				all = append(all, name)
			}
		}
	}
	return all
}

// Mass of bars, bolts, rods and clamps in kg.
func (r *Rack) Mass() float64 {
	sum := 0.0
	for _, b := range r.Bars {
		sum += b.Mass()
	}
	for _, f := range r.Fasteners {
		if sum += f.Mass(); r.Stud(f) { // which is the vehicle's
			sum -= f.shankMass()
		}
	}
	for _, c := range r.Clamps {
		sum += c.Mass()
	}
	return sum
}

// Stud tells whether a fastener is the stud of a mount: a rod that nuts are on at one end alone, and
// that goes through more than bars.
func (r *Rack) Stud(f Fastener) bool {
	other := func(name string) bool { _, ok := r.Bar(name); return !ok }
	return f.Rod && slices.ContainsFunc(f.Joins, other) && !slices.ContainsFunc(f.Nuts, func(n Nut) bool { return !n.Beyond })
}

// HeadWasher tells whether a bolt has a washer under its head: the first bar that it goes through is
// that much off.
func (f Fastener) HeadWasher(r *Rack) bool {
	t, err := ThreadOf(f.Size)
	if err != nil || f.Rod {
		return false
	}
	first := math.Inf(1)
	for _, name := range f.Joins {
		if b, ok := r.Bar(name); ok {
			for _, h := range f.Through(b) {
				first = min(first, h.Begins)
			}
		}
	}
	const near = 0.1
	return math.Abs(first-t.WasherThk) < near
}

// Mass of a clamp in kg: its bands with their ears, its nut and two bolts, roughly.
func (c Clamp) Mass() float64 {
	band := (math.Pi*(c.Diameter+ClampBand) + 4*ClampEar) * ClampBand * ClampWide
	t, _ := ThreadOf(c.Bolt)
	return (band + 0.866*t.Flats*t.Flats*c.Nut() + 2*20*28) * Density * 1e-9
}

// shankMass is that of the round of a bolt or rod, kg.
func (f Fastener) shankMass() float64 {
	t, _ := ThreadOf(f.Size)
	return f.Length() * t.StressArea() * Density * 1e-9
}

// mass of the tube in kg, its bore that of the bolt's hole.
func (s Sleeve) mass(hole float64) float64 {
	return math.Pi / 4 * (s.Outer*s.Outer - hole*hole) * (s.To - s.From) * Density * 1e-9
}

// Mass of a bolt or rod with its nuts and its tube in kg, taken as round steel.
func (f Fastener) Mass() float64 {
	t, err := ThreadOf(f.Size)
	if err != nil {
		return 0
	}
	volume := 0.0
	hexagon := 0.866 * t.Flats * t.Flats
	if !f.Rod {
		volume += hexagon * t.Head
	}
	for range f.Nuts {
		volume += (hexagon - t.StressArea()) * t.Nut
	}
	mass := f.shankMass() + volume*Density*1e-9
	if f.Sleeve != nil {
		mass += f.Sleeve.mass(t.Hole)
	}
	return mass
}

// Parts is how many bars, bolts, rods and clamps there are.
func (r *Rack) Parts() int { return len(r.Bars) + len(r.Fasteners) + len(r.Clamps) }
