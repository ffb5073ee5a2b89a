package geom

import "github.com/golang/geo/r3"

// Distance returns the signed shortest distance between a and b.
func Distance(a, b Solid) float64 { return separate(a, b).distance }

// Nearest returns the points.
func Nearest(a, b Solid) (onA, onB r3.Vector, distance float64) {
	s := separate(a, b)
	return s.onA, s.onB, s.distance
}

type separation struct {
	distance float64
	normal   r3.Vector
	onA, onB r3.Vector
}

func separate(a, b Solid) separation {
	g, n := flatSheetGap(a, b)
	return separation{distance: g, normal: n}
}
