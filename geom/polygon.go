package geom

import "github.com/golang/geo/r2"

// Polygon is a simple polygon: at least three corners, counter-clockwise, no two in
// the same place, no edge touching another but at their shared corner. Make one with
// PolygonFromCorners; the zero value is no polygon.
type Polygon struct {
	Corners []r2.Point
}
