package geom

import (
	"math"

	"github.com/golang/geo/r3"
)

// separateSmooth returns the separation of any two bounded solids by their extents
// alone: two cylinders, or a Solid that this package does not know.
//
// It looks for the direction with the greatest gap. Where a direction with a gap
// above zero is known, the gap falls off to all sides of the best one (over the
// directions it is concave when taken as homogeneous), and two nested golden section
// searches find it to about 1e-9 of the size. Where the bodies overlap there can be
// several peaks: it climbs from the best of about 600 directions spread over the
// sphere and from all candidates for exact contact. A narrower peak can be
// overlooked, so the distance can only come out too small.
//
// Too small is the safe side: a layout is then called tighter than it is.
func separateSmooth(a, b Solid) separation {
	best := separation{distance: math.Inf(-1)}
	for _, u := range candidates(a, b) {
		best.consider(a, b, u)
	}
	if math.IsInf(best.distance, 0) {
		return best
	}
	for _, reach := range []float64{math.Pi / 8, math.Pi / 32, math.Pi / 128} {
		best = climbAll(a, b, best, reach)
	}
	if best.distance > 0 {
		best.onA, best.onB = nearPoints(a, b, best)
	}
	return best
}

// climbAll moves on from peak to peak as long as that gains. It always ends, since the distance
// grows with each step and rounding ends that.
func climbAll(a, b Solid, s separation, reach float64) separation {
	// Twenty steps of the longest reach, 22°, go round the sphere, and more.
	for range 20 {
		next := peak(a, b, s, reach)
		if !(next.distance > s.distance) {
			break
		}
		s = next
	}
	return s
}

// peak climbs to the direction with the greatest gap within reach of s.normal, and
// returns s when there is none better. Yaw and pitch are about two axes square to the normal;
// within reach of it they are as good as coordinates on a plane.
func peak(a, b Solid, s separation, reach float64) separation {
	axes := axesAlong(s.normal)
	towards := func(yaw, pitch float64) r3.Vector {
		u := axes[0].Mul(math.Cos(yaw)).Add(axes[1].Mul(math.Sin(yaw)))
		return unit(u.Mul(math.Cos(pitch)).Add(axes[2].Mul(math.Sin(pitch))))
	}
	value := func(yaw, pitch float64) float64 {
		g := GapAlong(a, b, towards(yaw, pitch))
		if s.distance > 0 && g < 0 {
			// On the plane that touches the sphere at s.normal the gap is concave;
			// on the sphere only where it is above zero.
			g /= math.Cos(yaw) * math.Cos(pitch)
		}
		return g
	}
	pitchAt := func(yaw float64) float64 {
		return climb(func(pitch float64) float64 { return value(yaw, pitch) }, -reach, reach)
	}
	// For each yaw the best pitch: nested searches.
	yaw := climb(func(yaw float64) float64 { return value(yaw, pitchAt(yaw)) }, -reach, reach)
	s.consider(a, b, towards(yaw, pitchAt(yaw)))
	return s
}

// candidates returns the directions that solids can touch along by flat faces or by
// the sides of two bars, and directions spread over the sphere. A candidate need not be right: each
// is measured, and the best is climbed from.
func candidates(a, b Solid) []r3.Vector {
	list := SheetNormals(a, b)
	for _, m := range a.Normals() {
		for _, n := range b.Normals() {
			if u, ok := perpendicular(m, n); ok {
				list = append(list, u, u.Mul(-1))
			}
		}
	}
	if d := unit(center(b).Sub(center(a))); d != (r3.Vector{}) {
		list = append(list, d)
	}
	// A spiral with the golden angle spreads points evenly.
	const n = 600
	turn := math.Pi * (3 - math.Sqrt(5))
	for k := range n {
		z := 1 - (2*float64(k)+1)/n
		r := math.Sqrt(1 - z*z)
		sin, cos := math.Sincos(turn * float64(k))
		list = append(list, unit(r3.Vector{X: r * cos, Y: r * sin, Z: z}))
	}
	return list
}

// center returns the middle of the body's axis-parallel bounds.
func center(s Solid) r3.Vector {
	low, high := Bounds(s)
	return low.Add(high).Mul(0.5)
}

// nearPoints returns near points of two cylinders that are apart, at most 0.01 mm
// farther from each other than the nearest. It starts at the places that a contact of rims, ends or sides can be at
// and improves the best of them. Of a solid that the package does not know it returns
// the origin. Points only matter for where a picture marks the tightest place.
func nearPoints(a, b Solid, s separation) (onA, onB r3.Vector) {
	ca, okA := a.(Cylinder)
	cb, okB := b.(Cylinder)
	if !okA || !okB {
		return onA, onB
	}
	fa, fb := cylinderFrame(ca), cylinderFrame(cb)
	sides := separateSegments(ca.From, ca.To, cb.From, cb.To)
	best := math.Inf(1)
	for _, start := range []r3.Vector{
		fa.outermost(s.normal),
		fb.outermost(s.normal.Mul(-1)),
		sides.onA.Add(s.normal.Mul(ca.Radius)),
	} {
		p, q := backAndForth(fa, fb, start)
		if d := p.Distance(q); d < best {
			onA, onB, best = p, q, d
		}
	}
	return onA, onB
}

// backAndForth drops a point from one cylinder to the other and back until it stays.
//
// Algorithm: W. Cheney and A. Goldstein, Proximity maps for convex sets, Proc. Amer.
// Math. Soc. 10 (1959) 448–450. The distance falls with every step; two nearly parallel bars may
// take many, hence the limit.
func backAndForth(a, b framed, p r3.Vector) (onA, onB r3.Vector) {
	onA = a.nearestTo(p)
	for range 1000 {
		onB = b.nearestTo(onA)
		next := a.nearestTo(onB)
		if next == onA {
			break
		}
		onA = next
	}
	return onA, onB
}

// outermost returns the point of the cylinder farthest along u; when u is along the
// axis or across it but for the error of a search, the middle of the end or side. rough is a sine:
// what a search over directions leaves open.
func (c framed) outermost(u r3.Vector) r3.Vector {
	const rough = 1e-6
	p, height := c.middle, u.Dot(c.axis)
	if math.Abs(height) > rough {
		p = p.Add(c.axis.Mul(math.Copysign(c.half, height)))
	}
	if rim := u.Sub(c.axis.Mul(height)); rim.Norm() > rough {
		p = p.Add(unit(rim).Mul(c.Radius))
	}
	return p
}
