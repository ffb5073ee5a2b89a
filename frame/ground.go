package frame

import (
	"math"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"rackwright/frame/strict"
	"rackwright/geom"
)

// Ground is the road under the vehicle. It lies level, Clear below z = 0; leant over, it
// turns about the line in which the tyres stand, y = 0, by Lean to either side.
type Ground struct {
	Lean  s1.Angle // most lean either way
	Clear float64  // mm from the road up to z = 0
}

type groundFile struct {
	Lean  float64       `yaml:"lean,omitempty" jsonschema:"minimum=0,maximum=70" jsonschema_description:"How far it leans over in a bend, degrees either way. Default 0."`
	Clear strict.Length `yaml:"clear" jsonschema:"exclusiveMinimum=0,maximum=4000" jsonschema_description:"How high the frame's zero height is above the road."`
}

// MaxLean in degrees is beyond what any tyre holds.
const MaxLean = 70

func (r *reader) ground() *Ground {
	f := r.file.Ground
	if f == nil {
		return nil
	}
	if f.Lean < 0 || f.Lean > MaxLean {
		r.At(&f.Lean, strict.OutOfRange, "a lean is from 0 to %d degrees, not %g", MaxLean, f.Lean)
	}
	r.between(&f.Clear, float64(f.Clear), MinLength, MaxDiameter, "the height above the road")
	return &Ground{Lean: s1.Angle(f.Lean) * s1.Degree, Clear: float64(f.Clear)}
}

// obstacles are the road, level and leant over: half-spaces.
func (g *Ground) obstacles(nearer float64) []Obstacle {
	if g == nil {
		return nil
	}
	plane := func(name string, lean s1.Angle) Obstacle {
		n := r3.Vector{Z: 1}
		if lean != 0 {
			sin, cos := math.Sincos(lean.Radians())
			n = r3.Vector{Y: -sin, Z: cos}
		}
		return Obstacle{Name: name, Kind: Road, Solid: geom.HalfSpace{Normal: n, Offset: -g.Clear*n.Z + nearer}}
	}
	all := []Obstacle{plane("road", 0)}
	if g.Lean > 0 {
		all = append(all, plane("road, leant to the left", g.Lean), plane("road, leant to the right", -g.Lean))
	}
	return all
}
