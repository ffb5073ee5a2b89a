package model

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
)

// mirrorPlane tells whether the problem is its own mirror image left to right, and
// about which y. It says no when in doubt.
//
// Where it says yes, every layout has an image that is as good, so the proof searches one half (see
// proof's root). A wrong yes would make a proof wrong; a wrong no costs twice the time.
func (m *Model) mirrorPlane() (middle float64, ok bool) {
	middle = m.Room[1].Center()
	for _, o := range m.obstacles {
		if !slices.ContainsFunc(m.obstacles, func(q frame.Obstacle) bool { return mirrorOf(o, q, middle) }) {
			return 0, false
		}
	}
	for _, ps := range m.Poses {
		for _, p := range ps {
			if !slices.ContainsFunc(ps, p.mirrorOf) {
				return 0, false
			}
		}
	}
	return middle, true
}

// mirrorOf tells whether q is p seen in a mirror. Posts may change places with one another, but not
// with the case: a post asks for other gaps. Which post it is does not matter to what fits.
func (p *Pose) mirrorOf(q *Pose) bool {
	if p.Axes != q.Axes || len(p.Parts) != len(q.Parts) {
		return false
	}
	for _, a := range p.Parts {
		image := Part{Offset: flip(a.Offset, 0), Half: a.Half}
		if !slices.ContainsFunc(q.Parts, func(b Part) bool {
			return b.Half == image.Half && b.Offset == image.Offset && (a.post == caseOnly) == (b.post == caseOnly) && a.joined == b.joined
		}) {
			return false
		}
	}
	return true
}

// flip is a point seen in a mirror at y = middle.
func flip(p r3.Vector, middle float64) r3.Vector {
	p.Y = 2*middle - p.Y
	return p
}

// mirrorOf tells whether b is a seen in a mirror, comes off as it does, and asks for the same gap: a
// layout that goes in past the one then has an image that goes in past the other. Names, sources
// and accuracies may differ: the solids here are already those at the worst where that is asked
// for.
func mirrorOf(a, b frame.Obstacle, middle float64) bool {
	sameGap := (a.Gap == nil) == (b.Gap == nil) && gapOr(a.Gap, 0) == gapOr(b.Gap, 0)
	sameUse := a.Kind == b.Kind && a.Metal == b.Metal && a.Open == b.Open && a.Removable == b.Removable && a.LiftsOff == b.LiftsOff
	return sameGap && sameUse && mirrorSolids(a.Solid, b.Solid, middle)
}

// mirrorSolids tells whether b is a seen in a mirror. It may say no of some that are.
func mirrorSolids(a, b geom.Solid, middle float64) bool {
	if bar, ok := geom.BarOf(a); ok {
		other, ok := geom.BarOf(b)
		return ok && bar.Mirrored(middle).Same(other)
	}
	return !a.Round() && !b.Round() && mirrorFlat(a, b, middle) && mirrorFlat(b, a, middle)
}

// mirrorFlat tells whether every face of a has its mirror image in b.
func mirrorFlat(a, b geom.Solid, middle float64) bool {
	for _, n := range a.Normals() {
		image := flip(n, 0)
		// To the last bit: a frame drawn as its own image has normals that are, for both are worked
		// out from corners that differ by a sign.
		if !slices.Contains(b.Normals(), image) {
			return false
		}
		shift := 2 * middle * image.Y
		if math.Abs(b.Extent(image).Hi-shift-a.Extent(n).Hi) > geom.Tolerance {
			return false
		}
	}
	return true
}
