package entry

import (
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
)

// stripWidth is how much the width across may change over one piece of a wall, in
// millimetres. A piece is as wide as it is where it is widest.
const stripWidth = 2.5

// wall returns side i of the opening as flat plates, from corner to corner and across
// the width, every face nearer by nearer. The frame file says nothing of what is
// behind a side, so a wall has no thickness: a body that moves without jumping cannot
// pass it all the same.
func wall(opening frame.Opening, i int, nearer float64) []geom.Solid {
	corners := opening.Outline.Corners
	from, to := corners[i], corners[(i+1)%len(corners)]
	var list []geom.Solid
	cuts := wallCuts(opening, from.Y, to.Y)
	for n := 1; n < len(cuts); n++ {
		a, b := pointAtShare(from, to, cuts[n-1]), pointAtShare(from, to, cuts[n])
		lo, hi := opening.AcrossAt(a.Y), opening.AcrossAt(b.Y)
		list = append(list, plate(a, b, lo.Union(hi), nearer))
	}
	return list
}

// wallCuts returns where along a side between two heights its plates begin and end,
// as shares of its length from 0 to 1.
func wallCuts(opening frame.Opening, from, to float64) []float64 {
	shares := []float64{0}
	for _, s := range opening.Stations {
		if share := (s.Z - from) / (to - from); from != to && share > 0 && share < 1 {
			shares = append(shares, share)
		}
	}
	if from > to {
		slices.Reverse(shares[1:])
	}
	shares = append(shares, 1)
	cuts := []float64{0}
	for n := 1; n < len(shares); n++ {
		a := opening.AcrossAt(from + (to-from)*shares[n-1])
		b := opening.AcrossAt(from + (to-from)*shares[n])
		change := math.Max(math.Abs(a.Lo-b.Lo), math.Abs(a.Hi-b.Hi))
		pieces := math.Max(1, math.Ceil(change/stripWidth))
		for p := 1.0; p <= pieces; p++ {
			cuts = append(cuts, shares[n-1]+(shares[n]-shares[n-1])*p/pieces)
		}
	}
	return cuts
}

// pointAtShare returns the point a share of the way from a to b.
func pointAtShare(a, b r2.Point, share float64) r2.Point {
	switch share {
	case 0:
		return a
	case 1:
		return b
	}
	return a.Add(b.Sub(a).Mul(share))
}

func plate(a, b r2.Point, across r1.Interval, nearer float64) geom.Box {
	d := b.Sub(a)
	length := d.Norm()
	d = d.Mul(1 / length)
	middle := a.Add(b).Mul(0.5)
	return geom.Box{
		Centre: r3.Vector{X: middle.X, Y: across.Center(), Z: middle.Y},
		Axes:   [3]r3.Vector{{X: d.X, Z: d.Y}, {Y: 1}, {X: d.Y, Z: -d.X}},
		Half:   r3.Vector{X: length/2 + nearer, Y: across.Length()/2 + nearer, Z: nearer},
	}
}
