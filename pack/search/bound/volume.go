package bound

import (
	"math"

	"github.com/golang/geo/r2"

	"rackwright/geom"
	"rackwright/pack/search/model"
)

// volumeBound is a spare that no layout exceeds, because above it the boxes have more
// volume than the opening.
//
// Where all boxes are parallel (one tilt for all), each is grown on all sides by half
// of the gap and half of the spare. Grown boxes do not overlap: the sheet between two
// is square to a side of both and at least gap + spare thick, and each box grows
// half-way into it. The opening grows with them: a side with normal n moves out by
// grow·(|n·a| + |n·b| + |n·c|), a, b and c being the axes of the boxes, and in by the wall gap
// and the spare. Where boxes may be tilted differently nothing is grown.
//
// Sixty halvings end at the rounding of numbers. More spare asks for more volume and leaves less
// room, so halving is right.
func volumeBound(m *model.Model) float64 {
	lo, hi := -m.Size, m.Size
	if roomFor(m, hi) {
		return math.Inf(1)
	}
	for range 60 {
		mid := (lo + hi) / 2
		if roomFor(m, mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

// roomFor tells whether the boxes do not have more volume than the opening at a spare.
// It is true where the argument does not hold: tilted boxes that may overlap. The gap is the lesser
// of the two, since which applies depends on how boxes lie to one another.
func roomFor(m *model.Model, spare float64) bool {
	g := m.Problem.Pack.Gaps
	grow := 0.0
	switch least := min(g.Beside, g.Above) + spare; {
	case allParallel(m):
		grow = least / 2
	// Boxes may then overlap one another in a layout at this spare.
	case least < 0:
		return true
	}
	// In mm³.
	need := 0.0
	for _, k := range m.Kinds {
		s := model.CaseSize(k, m.Problem.Worst)
		need += float64(k.Count) * max(0, s.X+2*grow) * max(0, s.Y+2*grow) * max(0, s.Z+2*grow)
	}
	const rounding = 1e-9 // of a volume; sums of a hundred products err by less
	return need <= volume(m, spare, grow)*(1+rounding)
}

// allParallel tells whether every pose of every kind has the same axes. Axes are compared to the
// bit; those of one tilt are the same numbers.
func allParallel(m *model.Model) bool {
	axes := m.Poses[0][0].Axes
	for _, ps := range m.Poses {
		for _, p := range ps {
			if p.Axes != axes {
				return false
			}
		}
	}
	return true
}

// volume is at least that of the part of the opening which boxes grown by grow can
// take at a spare: the area of the side view times the greatest width. Sides that lean across are
// left out, which only adds room.
func volume(m *model.Model, spare, grow float64) float64 {
	inset := m.Problem.Pack.Gaps.Wall + spare
	width := m.Room[1].Length() - 2*(inset-grow)
	b := m.Problem.Frame.Opening.Outline.Bounds().ExpandedByMargin(m.Size)
	v := b.Vertices()
	area := v[:]
	for _, h := range m.HalfSpaces {
		if h.Normal.Y != 0 {
			continue
		}
		out := 0.0
		for _, a := range m.Poses[0][0].Axes {
			out += grow * math.Abs(h.Normal.Dot(a))
		}
		area = clip(area, r2.Point{X: h.Normal.X, Y: h.Normal.Z}, h.Offset+inset-out)
	}
	return max(0, width) * math.Abs(geom.Polygon{Corners: area}.Area())
}

// clip keeps the part of a convex polygon with n·p ≥ offset (Sutherland & Hodgman,
// Communications of the ACM 17 (1974)). Corners on the line are kept.
func clip(polygon []r2.Point, n r2.Point, offset float64) []r2.Point {
	var kept []r2.Point
	for i, b := range polygon {
		a := polygon[(i+len(polygon)-1)%len(polygon)]
		da, db := n.Dot(a)-offset, n.Dot(b)-offset
		if (da < 0) != (db < 0) {
			kept = append(kept, a.Add(b.Sub(a).Mul(da/(da-db))))
		}
		if db >= 0 {
			kept = append(kept, b)
		}
	}
	return kept
}
