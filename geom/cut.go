package geom

import (
	"math"

	"github.com/golang/geo/r2"
)

// HalfPlane is all points q of a view with N·q ≤ At. N is a unit vector.
type HalfPlane struct {
	N  r2.Point
	At float64
}

// Other returns the half-plane on the other side of the same line.
func (h HalfPlane) Other() HalfPlane { return HalfPlane{h.N.Mul(-1), -h.At} }

// sliver is the thickness in mm below which a polygon is none: a nanometre. It is a thousand times
// Tolerance: a piece that thin is what rounding leaves beside a cut.
const sliver = 1e-6

// IsSliver tells whether a convex polygon is no thicker than a nanometre, by its area and its longer extent, or has no area at all.
func (p Polygon) IsSliver() bool {
	if len(p.Corners) < 3 {
		return true
	}
	size := p.Bounds().Size()
	return p.Area() <= sliver*math.Max(size.X, size.Y)
}

// IsSliver tells whether a bounded prism has no points, or is no thicker than a nanometre. The
// first comparison is written so that an empty depth counts as a sliver.
func (p Prism) IsSliver() bool { return !(p.Depth.Length() > sliver) || p.Profile.IsSliver() }

// Clipped returns the part of a convex polygon in half-planes. It may have no corners,
// or be a sliver.
//
// Algorithm: I. E. Sutherland and G. W. Hodgman, Reentrant polygon clipping,
// Communications of the ACM 17 (1974) 32–42. The polygon given stays as it is.
func (p Polygon) Clipped(by ...HalfPlane) Polygon {
	corners := p.Corners
	for _, h := range by {
		corners = clip(corners, h.N, h.At)
	}
	return Polygon{Corners: hullOf(corners)}
}

// Without returns what is left of a convex polygon when the part in all the half-planes
// is taken out, in convex pieces without slivers. Where that part is a sliver the
// polygon stays whole. Each half-plane in turn cuts off the piece beyond it, and what is left goes
// to the next; so the pieces share no area.
func (p Polygon) Without(region []HalfPlane) []Polygon {
	if p.Clipped(region...).IsSliver() {
		return []Polygon{p}
	}
	var rest []Polygon
	for _, h := range region {
		if out := p.Clipped(h.Other()); !out.IsSliver() {
			rest = append(rest, out)
		}
		p = p.Clipped(h)
	}
	return rest
}
