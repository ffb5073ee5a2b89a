package certificate

import (
	"math/big"
	"slices"
)

// flat is a point or a direction in a view.
type flat [2]*big.Rat

func (a flat) dot(b flat) *big.Rat { return add(mul(a[0], b[0]), mul(a[1], b[1])) }

// turn is positive where the way from a by b to c turns left.
func turn(a, b, c flat) int {
	return sub(mul(sub(b[0], a[0]), sub(c[1], a[1])), mul(sub(b[1], a[1]), sub(c[0], a[0]))).Sign()
}

// inward is square to the way from a to b, to its left.
func inward(a, b flat) flat { return flat{sub(a[1], b[1]), sub(b[0], a[0])} }

func byPlace(a, b flat) int {
	if c := a[0].Cmp(b[0]); c != 0 {
		return c
	}
	return a[1].Cmp(b[1])
}

// hullOf is the convex hull, counter-clockwise from the leftmost point, without straight
// corners (Andrew, Information Processing Letters 9 (1979)).
func hullOf(points []flat) []flat {
	sorted := slices.Clone(points)
	slices.SortFunc(sorted, byPlace)
	half := func() []flat {
		var chain []flat
		for _, p := range sorted {
			for len(chain) > 1 && turn(chain[len(chain)-2], chain[len(chain)-1], p) <= 0 {
				chain = chain[:len(chain)-1]
			}
			if len(chain) == 0 || byPlace(chain[len(chain)-1], p) != 0 {
				chain = append(chain, p)
			}
		}
		return chain[:len(chain)-1]
	}
	lower := half()
	slices.Reverse(sorted)
	return append(lower, half()...)
}

// reach is the least and the greatest coordinate along an axis of the view.
func reach(points []flat, axis int) (low, high *big.Rat) {
	low, high = points[0][axis], points[0][axis]
	for _, p := range points {
		low, high = least(low, p[axis]), most(high, p[axis])
	}
	return low, high
}
