package drawing

import (
	"slices"

	"github.com/golang/geo/r2"
)

// Same is how near in millimetres points count as one: far below what a template shows,
// far above rounding.
const Same = 1e-3

// Join joins directed stretches end to end into closed lines, without corners in straight
// runs. The stretches have to be those of closed lines.
func Join(stretches [][2]r2.Point) [][]r2.Point {
	var loops [][]r2.Point
	left := slices.Clone(stretches)
	for len(left) > 0 {
		loop, end := []r2.Point{left[0][0]}, left[0][1]
		left = left[1:]
		for {
			next := slices.IndexFunc(left, func(s [2]r2.Point) bool { return s[0].Sub(end).Norm() < 2*Same })
			if next < 0 {
				break
			}
			loop = append(loop, left[next][0])
			end = left[next][1]
			left = slices.Delete(left, next, next+1)
		}
		if loop = withoutStraight(loop); len(loop) > 2 {
			loops = append(loops, loop)
		}
	}
	return loops
}

func withoutStraight(loop []r2.Point) []r2.Point {
	var kept []r2.Point
	n := len(loop)
	for i, p := range loop {
		a, b := loop[(i+n-1)%n], loop[(i+1)%n]
		d := b.Sub(a)
		if off := d.Cross(p.Sub(a)); off > Same*d.Norm() || off < -Same*d.Norm() {
			kept = append(kept, p)
		}
	}
	return kept
}
