package geom

import (
	"math"

	"github.com/golang/geo/r3"
)

// direction returns the unit vector from a to b. Unlike r3's Normalize it divides,
// so that axis-parallel input gives components of exactly 0 and ±1. The zero vector where a and b
// are the same point.
func direction(a, b r3.Vector) r3.Vector { return unit(b.Sub(a)) }

// unit returns v scaled to length 1, by division; the zero vector stays as it is. r3's own
// multiplies by an inverse, which leaves 0.9999999999999999 where 1 is meant; a face square to an
// axis has to be so to the bit.
func unit(v r3.Vector) r3.Vector {
	largest := math.Max(math.Abs(v.X), math.Max(math.Abs(v.Y), math.Abs(v.Z)))
	if largest == 0 {
		return v
	}
	if largest < 1e-100 {
		// Its square would vanish.
		v = r3.Vector{X: v.X / largest, Y: v.Y / largest, Z: v.Z / largest}
	}
	n := math.Sqrt(v.Norm2())
	return r3.Vector{X: v.X / n, Y: v.Y / n, Z: v.Z / n}
}
