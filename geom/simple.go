package geom

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r2"
)

// PolygonRule is a rule that corners have to keep to make a polygon. The order is that in which
// they are asked, so that the first fault is the one to mend first.
type PolygonRule int

const (
	TooFewCorners  PolygonRule = iota // at least three
	NotFinite                         // every coordinate is a finite number
	RepeatedCorner                    // no two corners in the same place
	Crossing                          // no side crosses or touches another
	NoArea                            // the corners enclose an area
)

// ErrPolygon is wrapped by every error of PolygonFromCorners.
var ErrPolygon = errors.New("not a polygon")

// PolygonError says which rule corners break and where: Corner is the index of the
// corner at fault and Other that of the one it repeats; for Crossing they are the
// sides from those corners on. Both are −1 where the rule is about all of them.
type PolygonError struct {
	Rule          PolygonRule
	Corner, Other int
}

// Error counts corners and sides from 1, as a builder does.
func (e *PolygonError) Error() string {
	switch e.Rule {
	case TooFewCorners:
		return "an outline needs at least three corners"
	case NotFinite:
		return fmt.Sprintf("corner %d is not at a finite number", e.Corner+1)
	case RepeatedCorner:
		return fmt.Sprintf("corner %d is in the same place as corner %d", e.Corner+1, e.Other+1)
	case Crossing:
		return fmt.Sprintf("the side after corner %d crosses or touches the side after corner %d", e.Corner+1, e.Other+1)
	}
	return "the corners enclose no area"
}

// Unwrap returns ErrPolygon.
func (e *PolygonError) Unwrap() error { return ErrPolygon }

// PolygonFromCorners makes a polygon of corners given in order, either way round.
// They become counter-clockwise, the first corner staying the first. Corners and
// sides closer than Tolerance count as touching. Its errors are *PolygonError, with
// the indices of the corners as given.
//
// The work grows with the square of the corners; files allow few.
func PolygonFromCorners(corners []r2.Point) (Polygon, error) {
	p := Polygon{Corners: slices.Clone(corners)}
	for _, check := range []func() *PolygonError{p.checkCount, p.checkFinite, p.checkRepeated, p.checkArea, p.checkCrossing} {
		if err := check(); err != nil {
			return Polygon{}, err
		}
	}
	if p.Area() < 0 {
		slices.Reverse(p.Corners[1:])
	}
	return p, nil
}

// checkCount asks for three corners.
func (p Polygon) checkCount() *PolygonError {
	if len(p.Corners) < 3 {
		return &PolygonError{Rule: TooFewCorners, Corner: -1, Other: -1}
	}
	return nil
}

// checkFinite finds a coordinate that is infinite or no number.
func (p Polygon) checkFinite() *PolygonError {
	for i, c := range p.Corners {
		// The difference is a finite number only when both are.
		if c.X-c.X != 0 || c.Y-c.Y != 0 {
			return &PolygonError{Rule: NotFinite, Corner: i, Other: -1}
		}
	}
	return nil
}

// checkRepeated finds a corner in the place of one before it.
func (p Polygon) checkRepeated() *PolygonError {
	for i, c := range p.Corners {
		for j, d := range p.Corners[:i] {
			if math.Hypot(c.X-d.X, c.Y-d.Y) <= Tolerance {
				return &PolygonError{Rule: RepeatedCorner, Corner: i, Other: j}
			}
		}
	}
	return nil
}

// checkArea finds corners that all lie on one line.
func (p Polygon) checkArea() *PolygonError {
	if len(hullOf(p.Corners)) < 3 {
		return &PolygonError{Rule: NoArea, Corner: -1, Other: -1}
	}
	return nil
}

// checkCrossing finds two sides that meet, the later of them first in the order of the corners.
func (p Polygon) checkCrossing() *PolygonError {
	for j := range p.Corners {
		for i := range j {
			if p.sidesTouch(i, j) {
				return &PolygonError{Rule: Crossing, Corner: j, Other: i}
			}
		}
	}
	return nil
}

// sidesTouch tells whether two sides meet but at the corner they share. Of neighbours the shared
// corner is allowed, and folding back on each other is not. Two sides that are both neighbours each
// way are a polygon of two corners.
func (p Polygon) sidesTouch(i, j int) bool {
	a, b := p.Corners[i], p.Corners[p.next(i)]
	c, d := p.Corners[j], p.Corners[p.next(j)]
	switch {
	case p.next(i) == j && p.next(j) == i:
		return true
	case p.next(i) == j:
		return foldsBack(a, b, d)
	case p.next(j) == i:
		return foldsBack(c, d, b)
	}
	return segmentsCross(a, b, c, d, Tolerance)
}

// foldsBack tells whether the path from a by b to c comes back along itself.
func foldsBack(a, b, c r2.Point) bool {
	return distanceToSegment(a, b, c) <= Tolerance || distanceToSegment(c, a, b) <= Tolerance
}

// segmentsCross tells whether the segments a–b and c–d cross, or come within
// tolerance of each other.
func segmentsCross(a, b, c, d r2.Point, tolerance float64) bool {
	if distanceToSegment(a, c, d) <= tolerance || distanceToSegment(b, c, d) <= tolerance ||
		distanceToSegment(c, a, b) <= tolerance || distanceToSegment(d, a, b) <= tolerance {
		return true
	}
	// An end within tolerance of the other's line is on neither side: segments in one line do not
	// cross by rounding. Where they cross even so, an end of one is as near to the other.
	apart := func(a, b, c, d r2.Point) bool {
		s, o := turn(a, b, c, tolerance), turn(a, b, d, tolerance)
		return s != straight && o != straight && s != o
	}
	return apart(a, b, c, d) && apart(c, d, a, b)
}

// Hull returns the convex hull without straight corners (those within Tolerance of
// the line between their neighbours), counter-clockwise from the lowest of the
// leftmost corners. Its corners are corners of p, unchanged.
//
// Algorithm: A. M. Andrew, Another efficient algorithm for convex hulls in two
// dimensions, Information Processing Letters 9 (1979) 216–219.
func (p Polygon) Hull() Polygon { return Polygon{Corners: hullOf(p.Corners)} }

// hullOf is Hull for points in any order, which may repeat.
func hullOf(points []r2.Point) []r2.Point {
	sorted := slices.Clone(points)
	slices.SortFunc(sorted, comparePoints)
	sorted = slices.Compact(sorted)
	if len(sorted) < 3 {
		return sorted
	}
	// From left to right below, then back above.
	lower := halfHull(sorted)
	slices.Reverse(sorted)
	upper := halfHull(sorted)
	return dropStraight(append(lower[:len(lower)-1], upper[:len(upper)-1]...))
}

// halfHull returns the chain of left turns through sorted points. It is exact: with
// a tolerance, points nearly above each other could be dropped for a lesser one. So only what is
// straight to the bit is dropped here; dropStraight then drops the rest.
func halfHull(sorted []r2.Point) []r2.Point {
	var chain []r2.Point
	for _, c := range sorted {
		for n := len(chain); n >= 2 && cross(chain[n-2], chain[n-1], c) <= 0; n-- {
			chain = chain[:n-1]
		}
		chain = append(chain, c)
	}
	return chain
}

// dropStraight returns a convex polygon's corners without those within Tolerance of
// the stretch between their neighbours. (Of the line would not do: it runs on past
// the tip of a sliver.)
func dropStraight(corners []r2.Point) []r2.Point {
	for i := 0; i < len(corners) && len(corners) > 2; {
		n := len(corners)
		if distanceToSegment(corners[i], corners[(i+n-1)%n], corners[(i+1)%n]) > Tolerance {
			i++
		} else {
			corners = slices.Delete(corners, i, i+1)
		}
	}
	return corners
}

// comparePoints orders by the first coordinate, then by the second.
func comparePoints(a, b r2.Point) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) }
