package geom

import "math"

// Lattice is the spacing in millimetres of the numbers that solids are made of. Sums
// of multiples of a power of two are exact in float64, so comparisons of axis-parallel
// faces need no tolerance, and float32 in STL holds them exactly up to 16 m. (What the
// Snap functions return is never -0: they add 0.)
const Lattice = 1.0 / 1024

// SnapUp returns the least multiple of Lattice that is not below x.
func SnapUp(x float64) float64 { return math.Ceil(x/Lattice)*Lattice + 0 }

// SnapDown returns the greatest multiple of Lattice that is not above x.
func SnapDown(x float64) float64 { return math.Floor(x/Lattice)*Lattice + 0 }

// SnapNearest returns the multiple of Lattice nearest to x.
func SnapNearest(x float64) float64 { return math.Round(x/Lattice)*Lattice + 0 }
