package geom

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"
)

// Tolerance is the one numeric tolerance of the project, in millimetres. Slanted
// faces are held by unit normals, so a coordinate of up to 16 m carries a rounding
// error of at most 16384 mm · 2⁻⁵³ · (3 products + 3 sums) ≈ 1.1e-11 mm for each
// corner; 1e-9 mm leaves two decimal digits for the sums of a comparison. Decimal numbers
// add at most as much again, for float64 only comes near them.
//
// It is never a margin for the builder: gaps and accuracies of the files are.
const Tolerance = 1e-9

// Solid is a closed convex body, possibly unbounded.
//
// The measures that need no more than this work for solids of any package; the exact ones ask for
// Shape.
type Solid interface {
	// Extent returns the projections of the body on the unit vector u. Its ends may
	// be infinite; a body without points has an empty interval.
	Extent(u r3.Vector) r1.Interval
	// Normals returns the unit normals of the flat faces, outward, each once. A
	// sheet between two solids is parallel to one of these. A tube has none, a
	// cylinder those of its two ends.
	Normals() []r3.Vector
	// Round tells whether a part of the surface is curved.
	Round() bool
}

// GapAlong returns the gap from a to b along the unit vector u: how much room a
// sheet with normal u has with a behind it and b in front. It is negative where
// the projections overlap, −Inf where one of them is unbounded that way, and +Inf
// where one of them has no points. The sheet may lie anywhere in that room. It is not symmetric:
// from b to a the same sheet has the normal −u.
func GapAlong(a, b Solid, u r3.Vector) float64 {
	return gapBetween(a.Extent(u), b.Extent(u))
}

// gapBetween is GapAlong for the two projections. An empty interval stands for a body without
// points, from which everything is infinitely far.
func gapBetween(a, b r1.Interval) float64 {
	if a.IsEmpty() || b.IsEmpty() {
		return math.Inf(1)
	}
	return b.Lo - a.Hi // −Inf where either is unbounded that way
}
