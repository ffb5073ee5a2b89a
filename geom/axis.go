package geom

import "github.com/golang/geo/r3"

// Component is the component of a vector along an axis: 0, 1, 2 for x, y, z. Any other number
// counts as 2. A switch and not a slice: it is called in the innermost loops of the search.
func Component(v r3.Vector, axis int) float64 {
	switch axis {
	case 0:
		return v.X
	case 1:
		return v.Y
	default:
		return v.Z
	}
}

// WithComponent is a vector with another component along an axis. The vector given stays as it is.
func WithComponent(v r3.Vector, axis int, value float64) r3.Vector {
	switch axis {
	case 0:
		v.X = value
	case 1:
		v.Y = value
	default:
		v.Z = value
	}
	return v
}
