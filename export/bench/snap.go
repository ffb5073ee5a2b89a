package bench

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// SnapReach is from how far in mm a box goes to the place where a required gap is just met.
const SnapReach = 6

// square is how near to an axis the normal of a gap has to be to snap along it.
const square = 1 - 1e-9

// snap moves a box by at most SnapReach along each of the axes of a move, to where the judge
// finds a required gap met with nothing left: the nearest first.
func (d *Desk) snap(m Move) {
	p, err := d.find(m.Box, m.Number)
	if err != nil {
		return
	}
	axes := slices.Clone(m.Snap)
	for len(axes) > 0 {
		axis, by := d.nearest(p.Part(), axes)
		if axis < 0 {
			return
		}
		p.Centre = p.Centre.Add(along(axis).Mul(by))
		axes = slices.DeleteFunc(axes, func(a int) bool { return a == axis })
	}
}

// nearest is the axis along which a box has least to go to meet a gap exactly, and how far; −1
// where there is none in reach.
func (d *Desk) nearest(part pack.Part, axes []int) (axis int, by float64) {
	axis, by = -1, math.Inf(1)
	for _, r := range d.judge.Check(d.now.layout).ForBox(part.Box, part.Number) {
		sign := 1.0
		if !r.A.OfBox(part.Box, part.Number) {
			sign = -1
		}
		for _, a := range axes {
			if n := r.Normal.Dot(along(a)); math.Abs(n) >= square && math.Abs(r.Left) <= SnapReach && math.Abs(r.Left) < math.Abs(by) {
				axis, by = a, sign*n*r.Left
			}
		}
	}
	return axis, by
}

func along(axis int) r3.Vector {
	return [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}[axis]
}
