package frame

import (
	"strings"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/frame/strict"
)

// Vehicle is what stands around the opening, as far as its balance goes.
type Vehicle struct {
	Wheels []Wheel // two or three, no three of them in line
	Riders []Rider
	// Height in millimetres of the middle of the vehicle's own mass above the road, without
	// what is packed; nil when it is not known.
	Height *float64
	Raised *Raised // from which Height can be reckoned; nil when that was not done
}

// Wheel is a wheel, and what was weighed under it in kilograms; nil for what is not known.
type Wheel struct {
	Name    string
	At      r2.Point // x and y where it stands on the road
	Radius  float64
	Weighed *float64 // as the vehicle stands now, without what is packed
	Before  *float64 // with the engine, wet
	Allowed *float64 // by the plate, or the load index of the tyre
}

// Rider is somebody or something that rides along and is not packed.
type Rider struct {
	Name string
	Mass float64 // kg
	At   r3.Vector
}

// Raised is a weighing of two wheels in line with one of them lifted.
type Raised struct {
	Wheel int     // which was lifted
	By    float64 // how far its axle went up, mm
	Load  float64 // kg, what the other wheel then bore
}

// MaxRiders is how many may ride along; MinWheels and MaxWheels how many wheels a vehicle
// has whose loads follow from where its mass is.
const (
	MaxRiders = 16
	MinWheels = 2
	MaxWheels = 3
)

type vehicleFile struct {
	Wheels  []wheelFile    `yaml:"wheels" jsonschema:"minItems=2,maxItems=3" jsonschema_description:"Where each wheel stands."`
	Weighed strict.Masses  `yaml:"weighed,omitempty" jsonschema_description:"kg under each wheel as the vehicle stands now, without what is packed."`
	Before  strict.Masses  `yaml:"before,omitempty" jsonschema_description:"kg under each wheel with the engine, wet, as it was."`
	Allowed strict.Masses  `yaml:"allowed,omitempty" jsonschema_description:"kg that each wheel may bear: from the plate, or the load index of the tyre."`
	Riders  []riderFile    `yaml:"riders,omitempty" jsonschema:"maxItems=16" jsonschema_description:"Who and what rides along."`
	Height  *strict.Length `yaml:"height_of_mass,omitempty" jsonschema:"exclusiveMinimum=0,maximum=4000" jsonschema_description:"Height of the vehicle's own middle of mass above the road."`
	Raised  *raisedFile    `yaml:"raised,omitempty" jsonschema_description:"A weighing with one axle lifted, instead of height_of_mass."`
}

type wheelFile struct {
	Name   strict.Name   `yaml:"name" jsonschema:"example=front" jsonschema_description:"Name of the wheel."`
	At     strict.Point2 `yaml:"at" jsonschema_description:"Where it stands on the road: [x, y]."`
	Radius strict.Length `yaml:"radius" jsonschema:"exclusiveMinimum=0,maximum=2000" jsonschema_description:"From its axle down to the road, loaded."`
}

type riderFile struct {
	Name strict.Name   `yaml:"name" jsonschema:"example=rider" jsonschema_description:"Name."`
	Mass strict.Mass   `yaml:"mass" jsonschema:"minimum=0,maximum=5000" jsonschema_description:"kg, or text such as 176 lb."`
	At   strict.Point3 `yaml:"at" jsonschema_description:"The middle of the mass [x, y, z]: of a rider a hand above the seat."`
}

type raisedFile struct {
	Axle strict.Name   `yaml:"axle" jsonschema:"example=rear" jsonschema_description:"Name of the wheel that was lifted."`
	By   strict.Length `yaml:"by" jsonschema:"exclusiveMinimum=0,maximum=4000" jsonschema_description:"How far its axle went up."`
	Load strict.Mass   `yaml:"load" jsonschema:"minimum=0,maximum=5000" jsonschema_description:"kg under the other wheel then."`
}

func (r *reader) vehicle() *Vehicle {
	f := r.file.Vehicle
	if f == nil {
		return nil
	}
	v := &Vehicle{Wheels: r.wheels(f)}
	r.loads(f.Weighed, v.Wheels, func(w *Wheel) **float64 { return &w.Weighed })
	r.loads(f.Before, v.Wheels, func(w *Wheel) **float64 { return &w.Before })
	r.loads(f.Allowed, v.Wheels, func(w *Wheel) **float64 { return &w.Allowed })
	if r.limit(&f.Riders, len(f.Riders), MaxRiders, "riders") {
		for i := range f.Riders {
			v.Riders = append(v.Riders, Rider{string(f.Riders[i].Name), float64(f.Riders[i].Mass), vector(f.Riders[i].At)})
		}
	}
	if f.Height != nil {
		r.between(f.Height, float64(*f.Height), MinLength, MaxDiameter, "a height of the middle of mass")
		h := float64(*f.Height)
		v.Height = &h
	}
	r.raised(f, v)
	return v
}

func (r *reader) wheels(f *vehicleFile) []Wheel {
	if n := len(f.Wheels); (n < MinWheels || n > MaxWheels) && r.Sound(&f.Wheels) {
		r.At(&f.Wheels, strict.OutOfRange, "two or three wheels, not %d: how more of them share the load depends on the springs", n)
	}
	all := make([]Wheel, 0, len(f.Wheels))
	for i := range f.Wheels {
		w := &f.Wheels[i]
		r.between(&w.Radius, float64(w.Radius), MinLength, MaxDiameter/2, "a radius")
		if wheelNamed(all, string(w.Name)) >= 0 {
			r.At(&w.Name, strict.BadName, "another wheel has this name")
		}
		all = append(all, Wheel{Name: string(w.Name), At: r2.Point{X: w.At[0], Y: w.At[1]}, Radius: float64(w.Radius)})
	}
	r.standing(f, all)
	return all
}

// leastTrack in millimetres is how far the wheels of a vehicle are apart at least, and a
// third one from the line of two: nearer, nobody could say what stands on which.
const leastTrack = 50

// standing refuses wheels that carry nothing apart.
func (r *reader) standing(f *vehicleFile, wheels []Wheel) {
	if !r.Sound(&f.Wheels) || len(wheels) < MinWheels || len(wheels) > MaxWheels {
		return
	}
	along := wheels[1].At.Sub(wheels[0].At)
	if along.Norm() < leastTrack {
		r.At(&f.Wheels[1].At, strict.BadValue, "this wheel stands where %s does: at is [x, y] on the road", wheels[0].Name)
		return
	}
	if len(wheels) == MaxWheels {
		if off := along.Normalize().Cross(wheels[2].At.Sub(wheels[0].At)); max(off, -off) < leastTrack {
			r.At(&f.Wheels[2].At, strict.BadValue, "three wheels in line: how they share the load depends on the springs")
		}
	}
}

func wheelNamed(wheels []Wheel, name string) int {
	for i, w := range wheels {
		if w.Name == name {
			return i
		}
	}
	return -1
}

// loads puts masses to the wheels that bear them.
func (r *reader) loads(masses strict.Masses, wheels []Wheel, of func(*Wheel) **float64) {
	for i := range masses {
		m := &masses[i]
		k := wheelNamed(wheels, m.Name)
		if k < 0 {
			r.At(&m.Mass, strict.BadName, "no wheel is called %q; wheels are %s", m.Name, wheelNames(wheels))
			continue
		}
		kg := float64(m.Mass)
		*of(&wheels[k]) = &kg
	}
}

func wheelNames(wheels []Wheel) string {
	names := make([]string, len(wheels))
	for i, w := range wheels {
		names[i] = w.Name
	}
	return strings.Join(names, ", ")
}

// raised reads the weighing with an axle lifted, and refuses what it cannot be reckoned from.
func (r *reader) raised(f *vehicleFile, v *Vehicle) {
	if f.Raised == nil {
		return
	}
	a := f.Raised
	k := wheelNamed(v.Wheels, string(a.Axle))
	switch {
	case v.Height != nil:
		r.At(f.Raised, strict.BadValue, "give either height_of_mass or raised, not both")
	case k < 0:
		r.At(&a.Axle, strict.BadName, "no wheel is called %q; wheels are %s", a.Axle, wheelNames(v.Wheels))
	case len(v.Wheels) != MinWheels:
		r.At(f.Raised, strict.BadValue, "this is reckoned for two wheels; with three give height_of_mass")
	case v.Wheels[0].Weighed == nil || v.Wheels[1].Weighed == nil:
		r.At(f.Raised, strict.MissingKey, "weigh both wheels on the level too: weighed")
	default:
		v.Raised = &Raised{Wheel: k, By: float64(a.By), Load: float64(a.Load)}
		r.liftable(f, v)
	}
}

// liftable refuses a weighing that no middle of mass can give: an axle lifted by as much as
// the axles are apart, or a load that is more than the whole.
func (r *reader) liftable(f *vehicleFile, v *Vehicle) {
	a := f.Raised
	if !r.Sound(a) {
		return
	}
	whole := *v.Wheels[0].Weighed + *v.Wheels[1].Weighed
	base := v.Wheels[1].At.Sub(v.Wheels[0].At).Norm()
	if a.By <= 0 || float64(a.By) >= base {
		r.At(&a.By, strict.OutOfRange, "an axle is lifted by less than the axles are apart, %g mm, and by more than 0", base)
	}
	if float64(a.Load) > whole {
		r.At(&a.Load, strict.OutOfRange, "that is more than the whole vehicle weighs, %g kg", whole)
	}
	if h, ok := v.MassHeight(); ok && (h <= 0 || h > MaxDiameter) {
		r.At(&a.Load, strict.BadValue, "from this the middle of mass would be %.0f mm above the road, which cannot be: weigh again, with the wheels free to roll", h)
	}
}
