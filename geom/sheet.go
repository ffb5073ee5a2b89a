package geom

import (
	"cmp"
	"math"

	"github.com/golang/geo/r3"
)

// SheetNormals returns the unit normals that a sheet between a and b may have,
// pointing from a to b: the outward normals of a's faces, then the inward ones of
// b's, each once. Against a half-space only the half-space's own normal counts, for
// it is unbounded along all others. Between two bodies without flat faces there is
// none.
//
// Each sheet touches the face that it is parallel to, or could be moved there without getting
// thinner, so no other directions need be looked at.
func SheetNormals(a, b Solid) []r3.Vector { return appendSheetNormals(nil, a, b) }

// appendSheetNormals needs no memory of its own where the list has room: the judge asks it for
// every pair.
func appendSheetNormals(list []r3.Vector, a, b Solid) []r3.Vector {
	_, halfA := a.(HalfSpace)
	_, halfB := b.(HalfSpace)
	if halfA || !halfB {
		list = appendNormals(list, a, 1)
	}
	if halfB || !halfA {
		list = appendNormals(list, b, -1)
	}
	return list
}

// appendNormals appends the normals of s, times sign, that are not in the list yet.
// It knows the flat solids so that their normals need no memory of their own.
func appendNormals(list []r3.Vector, s Solid, sign float64) []r3.Vector {
	switch s := s.(type) {
	case Box:
		// Both signs of each axis are in it anyway.
		for _, axis := range s.Axes {
			list = appendNew(list, axis)
			list = appendNew(list, axis.Mul(-1))
		}
	case HalfSpace:
		list = appendNew(list, s.Normal.Mul(sign))
	case Prism:
		var buffer [16]r3.Vector
		for _, n := range s.appendNormals(buffer[:0]) {
			list = appendNew(list, n.Mul(sign))
		}
	default:
		for _, n := range s.Normals() {
			list = appendNew(list, n.Mul(sign))
		}
	}
	return list
}

// SheetGap returns the sheet gap from a to b and the normal of its sheet, pointing
// from a to b: the greatest GapAlong over SheetNormals. It is negative when the
// bodies overlap, and −Inf when they are unbounded along all the normals. When
// either is round it is Distance and its direction.
//
// SheetGap(b, a) gives the same gap, to the last bit, for flat bodies. Among normals with the same gap it
// takes the one nearest to vertical, then to the x axis.
func SheetGap(a, b Solid) (gap float64, normal r3.Vector) {
	if a.Round() || b.Round() {
		s := separate(a, b)
		return s.distance, s.normal
	}
	return flatSheetGap(a, b)
}

// flatSheetGap is SheetGap by the normals, for any solids. It is as true of round bodies, where it
// is a bound: no more than their shortest distance.
func flatSheetGap(a, b Solid) (gap float64, normal r3.Vector) {
	var buffer [24]r3.Vector
	normals := appendSheetNormals(buffer[:0], a, b)
	gap = math.Inf(-1)
	if hasCorners(a) || hasCorners(b) {
		for _, u := range normals {
			gap, normal = wider(gap, normal, gapOver(a, b, u, gap), u)
		}
		return gap, normal
	}
	// Normals of boxes come in pairs, of which the projections serve for both.
	for i := 0; i < len(normals); i++ {
		u := normals[i]
		onA, onB := a.Extent(u), b.Extent(u)
		gap, normal = wider(gap, normal, gapBetween(onA, onB), u)
		if next := i + 1; next < len(normals) && normals[next] == u.Mul(-1) {
			// The projections the other way round are the same ones.
			i = next
			gap, normal = wider(gap, normal, gapBetween(onB, onA), normals[i])
		}
	}
	return gap, normal
}

// wider returns the wider of two sheets, the steeper one when they are as wide. Ties matter only to
// which sheet is told of; the gap is the same.
func wider(gap float64, normal r3.Vector, g float64, u r3.Vector) (float64, r3.Vector) {
	if g > gap || g == gap && steeper(u, normal) {
		return g, u
	}
	return gap, normal
}

// steeper tells whether a sheet of normal u goes before one of normal v when their
// gaps are the same.
func steeper(u, v r3.Vector) bool {
	u, v = u.Abs(), v.Abs()
	return cmp.Or(cmp.Compare(u.Z, v.Z), cmp.Compare(u.X, v.X)) > 0
}
