package frame

import (
	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/frame/strict"
	"rackwright/geom"
)

// Round is a round bar with flat ends whose centres are From and To.
type Round struct {
	From, To r3.Vector
	Diameter float64
}

type roundFile struct {
	From     strict.Place3 `yaml:"from" jsonschema_description:"Middle [x, y, z] of one end."`
	To       strict.Place3 `yaml:"to" jsonschema_description:"Middle of the other end."`
	Diameter strict.Length `yaml:"diameter" jsonschema:"exclusiveMinimum=0,maximum=4000" jsonschema_description:"Its diameter."`
}

func (r *reader) round(f *roundFile) Round {
	r.diameter(&f.Diameter)
	if r.near(&f.From, &f.To) && r.Sound(&f.From) {
		r.At(&f.To, strict.BadValue, "from and to are the same point: the bar has no length")
	}
	return Round{From: r.at3(&f.From), To: r.at3(&f.To), Diameter: float64(f.Diameter)}
}

// Solids implements Shape.
func (r Round) Solids(nearer float64) []geom.Solid {
	along := r.To.Sub(r.From).Normalize().Mul(nearer)
	return []geom.Solid{geom.Cylinder{
		From: r.From.Sub(along), To: r.To.Add(along), Radius: r.Diameter/2 + nearer,
	}}
}

// Slanted tells whether it does not lie straight across.
func (r Round) Slanted() bool { return r.From.X != r.To.X || r.From.Z != r.To.Z }

// Surface implements Shape: of one that lies straight across a prism with flat sides around
// it (see RoundError).
func (r Round) Surface() (Profile, bool) {
	if r.Slanted() {
		return Profile{}, false
	}
	return r.profile(), true
}

func (r Round) in(k KeepOut) KeepOut {
	k.Round = &r
	return k
}

// Drum returns a round keep-out with flat sides around it (see RoundError).
func (r Round) Drum() geom.Polyhedron { return geom.PolyhedronAround(r.Cylinder(), r.sides()) }

// Cylinder returns a round keep-out as measured.
func (r Round) Cylinder() geom.Cylinder {
	return geom.Cylinder{From: r.From, To: r.To, Radius: r.Diameter / 2}
}

// RoundError is how far in mm the flat sides that stand for a round keep-out in notching
// may be outside of it: 0.1 mm, and above a diameter of 370 mm a little more.
const RoundError = 0.1

// sides is how many flat sides stand for it.
func (r Round) sides() int {
	n := 16
	for n < 96 && geom.Circumradius(r.Diameter/2, n)-r.Diameter/2 > RoundError {
		n += 4
	}
	return n
}

// profile is one that lies straight across with flat sides around it.
func (r Round) profile() Profile {
	middle, _ := geom.SideView.Flatten(r.From)
	return Profile{
		Outline: geom.PolygonAround(middle, r.Diameter/2, r.sides()),
		Across:  r1.Interval{Lo: min(r.From.Y, r.To.Y), Hi: max(r.From.Y, r.To.Y)},
	}
}

// core implements Shape. Of one that lies straight across it is that of its Surface. Else it
// is what is d or more from the flat sides and the ends, but round: it goes through the
// corners that the sides have moved in by d.
func (r Round) core(d float64) []Shape {
	if p, ok := r.Surface(); ok {
		return p.core(d)
	}
	along := r.To.Sub(r.From)
	if along.Norm() <= 2*d || r.Diameter <= 2*d {
		return nil
	}
	in := along.Normalize().Mul(d)
	return []Shape{Round{From: r.From.Add(in), To: r.To.Sub(in), Diameter: 2 * geom.Circumradius(r.Diameter/2-d, r.sides())}}
}
