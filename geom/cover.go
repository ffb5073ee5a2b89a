package geom

import (
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// Swath is what a part of a convex body is swept through during a stretch of a movement:
// Outer holds all of it, and every point of Inner is somewhere in it. What keeps clear of Outer
// keeps clear of the part throughout the stretch; what lies in Inner is certainly hit. Either may
// have no points.
type Swath struct {
	Outer, Inner Solid
	Range        r1.Interval // of positions
}

// Block is an axis-parallel block of space. It is unbounded where an interval is.
type Block struct{ X, Y, Z r1.Interval }

// NoBlock is empty.
func NoBlock() Block {
	return Block{r1.EmptyInterval(), r1.EmptyInterval(), r1.EmptyInterval()}
}

// MostWork is what the covers of one frame may take: about half a second of a processor. It is
// counted in corners times faces times stretches (work), not in time.
const MostWork = 4e6

// Where covers reach further than they must, in millimetres: beyond the arcs of corners, in
// the hollow on the side of the axis, and where a side is let turn about its middle. Together
// they keep CoverError.
const (
	CoverError = 0.1
	arcError   = 0.03
	hollow     = 0.06
	cornered   = 0.02
)

// widest is how far a swath may turn and its body reach around the axis together: less than
// half a turn, or their hull would hold the axis. Some way below half a turn, so that hulls stay
// clear of the axis with a margin.
const widest = 150 * math.Pi / 180

// Cover returns convex bodies that cover a convex body over its whole movement, from outside
// within CoverError, and others from inside: outer is what is covered from outside, inner from
// inside, the same body or one in it. Two prisms of the side view in a flat motion make prisms,
// all else makes polyhedra, whose insides are the body at the middle of each stretch alone.
//
// A body swept by a turn is hollow where one of its sides turns about a point of itself. So
// it is cut there, along planes through the axis. Then every side moves either outward or
// inward, and the hull of what a stretch begins and ends with is larger than what is swept by no
// more than ρ(1 − cos Δβ), at the radius ρ that is least: how far the nearest corner at the
// beginning is off the side that leaves it square to its radius at the end.
//
// Room is where it matters: farther away from it, covers in space may reach further by a tenth
// of how far away they are. Without one, empty, it matters everywhere. Where covers in space
// would take more than a share, up to 1, of MostWork, they are coarser, still around what is
// swept, in the end that of a block around the body: a file may ask for much.
func (m Motion) Cover(outer, inner Solid, room Block, share float64) []Swath {
	a, okA := outer.(Prism)
	b, okB := inner.(Prism)
	if okA && okB && m.Flat() && a.View == SideView && b.View == SideView {
		return flatCover{m, a, b}.swaths()
	}
	const around = 96
	return solidCover{m, PolyhedronOf(outer, around), PolyhedronOf(inner, around), room, share * MostWork, 1}.swaths()
}

// flatCover covers in the side view. Both are prisms of the side view, with a movement that stays
// in it.
type flatCover struct {
	Motion
	outer, inner Prism
}

// swaths cuts the body at its hollows and the movement into stretches, and gives the hull of each.
// A slide needs neither: its hull is exact.
func (c flatCover) swaths() []Swath {
	if !c.Turns {
		return []Swath{c.swath(c.hull(c.outer.Profile, c.Range, 0, false), c.hull(c.inner.Profile, c.Range, 0, false), c.Range)}
	}
	o, _ := SideView.Flatten(c.About)
	fans, left := sectors(c.outer.Profile, o, c.Range.Length())
	var all []Swath
	for _, f := range fans {
		outer, inner := c.outer.Profile.Clipped(f...), c.inner.Profile.Clipped(f...)
		if len(outer.Corners) < 3 {
			continue
		}
		near, angle := spread(outer, o)
		for _, r := range cutEvenly(c.Range, min(chord(near, hollow)/2, max(widest-angle, widest/10))) {
			// What the hull is larger than what is swept is taken off the inside.
			off := near*(1-math.Cos(r.Length())) + left
			in, ok := Polygon{}, false
			if len(inner.Corners) >= 3 {
				in, ok = c.hull(inner, r, arcError, false).Offset(-off)
			}
			s := c.swath(c.hull(outer, r, arcError, true), in, r)
			if !ok {
				s.Inner = Prism{Depth: r1.EmptyInterval()}
			}
			all = append(all, s)
		}
	}
	return all
}

// swath keeps the depths of the two prisms, which a flat movement does not change.
func (c flatCover) swath(outer, inner Polygon, r r1.Interval) Swath {
	return Swath{
		Outer: Prism{Profile: outer, View: SideView, Depth: c.outer.Depth},
		Inner: Prism{Profile: inner, View: SideView, Depth: c.inner.Depth},
		Range: r,
	}
}

// hull is that of where the corners of a polygon are in a stretch; outside of their arcs, by
// no more than off, or with corners on them.
func (c flatCover) hull(p Polygon, r r1.Interval, off float64, outside bool) Polygon {
	var points []r2.Point
	for _, q := range p.Corners {
		for _, x := range c.arc(SideView.Point(q, c.About.Y), r, off, outside) {
			flat, _ := SideView.Flatten(x)
			points = append(points, flat)
		}
	}
	return Polygon{Corners: hullOf(points)}
}

// arc returns points whose hull has the way of a point in a stretch in it, or is in the hull
// of that way. Of a slide both are the two ends.
func (m Motion) arc(p r3.Vector, r r1.Interval, off float64, outside bool) []r3.Vector {
	points := []r3.Vector{m.Point(p, r.Lo), m.Point(p, r.Hi)}
	if !m.Turns {
		return points
	}
	v := p.Sub(m.About)
	foot := m.About.Add(m.Along.Mul(m.Along.Dot(v)))
	out := p.Sub(foot)
	for _, part := range cutEvenly(r, chord(out.Norm(), off)) {
		if outside {
			tip := out.Mul(1 / math.Cos(part.Length()/2))
			points = append(points, foot.Add(m.turned(tip, part.Center())))
		} else {
			points = append(points, m.Point(p, part.Hi))
		}
	}
	return points
}

// chord is the greatest angle over which the chord of an arc is no further off than that, and
// the tips of tangents at its ends about as far. An eighth of a turn at most, beyond which the
// formula would be of no use.
func chord(radius, off float64) float64 {
	if radius <= off {
		return math.Pi / 4
	}
	return min(2*math.Acos(radius/(radius+off)), math.Pi/4)
}

// cutEvenly cuts an interval into equal ones no longer than most. One at least, and no sliver at
// the end by rounding.
func cutEvenly(r r1.Interval, most float64) []r1.Interval {
	n := max(1, int(math.Ceil(r.Length()/most-1e-9)))
	var all []r1.Interval
	for i := range n {
		all = append(all, r1.Interval{Lo: r.Lo + r.Length()*float64(i)/float64(n), Hi: r.Lo + r.Length()*float64(i+1)/float64(n)})
	}
	return all
}

// spread is how near a polygon comes to a point, and over what angle it lies around it. The angle
// is measured from the middle of the corners, so it does not go round behind.
func spread(p Polygon, o r2.Point) (near, angle float64) {
	near = p.DistanceToEdge(o)
	low, high := 0.0, 0.0
	middle := mean(p.Corners).Sub(o)
	for _, q := range p.Corners {
		if v := q.Sub(o); v.Norm() > Tolerance {
			a := math.Atan2(middle.Cross(v), middle.Dot(v))
			low, high = min(low, a), max(high, a)
		}
	}
	return near, high - low
}

// mean is the middle of points, which are at least one.
func mean(points []r2.Point) r2.Point {
	var sum r2.Point
	for _, q := range points {
		sum = sum.Add(q)
	}
	return sum.Mul(1 / float64(len(points)))
}

// sectors returns regions around o that a convex polygon is cut along so that none of its
// sides turns about a point of itself, and how far in mm what is left of such turning leaves a
// hull off what is swept. Together the regions are all of the plane. A side that passes through o,
// or nearly, is cut on its inner side.
func sectors(p Polygon, o r2.Point, angle float64) (regions [][]HalfPlane, left float64) {
	var cuts []r2.Point
	for i, a := range p.Corners {
		n := p.normal(i)
		along := r2.Point{X: -n.Y, Y: n.X}
		before, after := -a.Sub(o).Dot(along), p.Corners[p.next(i)].Sub(o).Dot(along)
		depth := hollowOf(before, after, angle)
		switch d := a.Sub(o).Dot(n); {
		case depth <= cornered:
			left = max(left, depth)
		case math.Abs(d) <= Tolerance:
			cuts = append(cuts, n.Mul(-1))
		default:
			cuts = append(cuts, n.Mul(sign(d)))
		}
	}
	return around(cuts, mean(p.Corners).Sub(o), o, p.InteriorContains(o)), left
}

// hollowOf is how far the hull is off what a side sweeps that reaches so far to both sides of
// the foot of the axis on it. It is 0 where the foot is not between the ends: then the side moves
// one way as a whole.
func hollowOf(before, after, angle float64) float64 {
	if before <= Tolerance || after <= Tolerance {
		return 0
	}
	return before * after / (before + after) * min(angle, 1)
}

// around makes regions between rays from o, each less than half a turn wide. Where o is
// outside of the body, towards whose middle it looks, the rays are lines. A body that does not hold
// o is cut by lines through it, of which only the half on the body's side matters.
func around(cuts []r2.Point, towards, o r2.Point, inside bool) [][]HalfPlane {
	leftOf := func(u r2.Point) HalfPlane {
		n := r2.Point{X: u.Y, Y: -u.X}
		return HalfPlane{N: n, At: n.Dot(o)}
	}
	angle := func(u r2.Point) float64 { return math.Atan2(towards.Cross(u), towards.Dot(u)) }
	if !inside {
		for i, u := range cuts {
			if u.Dot(towards) < 0 {
				cuts[i] = u.Mul(-1)
			}
		}
	}
	slices.SortFunc(cuts, func(a, b r2.Point) int {
		if angle(a) < angle(b) {
			return -1
		}
		return 1
	})
	cuts = slices.CompactFunc(cuts, func(a, b r2.Point) bool { return a.Sub(b).Norm() < 1e-9 })
	var all [][]HalfPlane
	switch {
	case len(cuts) == 0:
		return [][]HalfPlane{nil}
	case !inside:
		all = append(all, []HalfPlane{leftOf(cuts[0]).Other()})
		for i, u := range cuts[1:] {
			all = append(all, []HalfPlane{leftOf(cuts[i]), leftOf(u).Other()})
		}
		return append(all, []HalfPlane{leftOf(cuts[len(cuts)-1])})
	}
	var rays []r2.Point
	for i, u := range cuts {
		next := cuts[(i+1)%len(cuts)]
		turn := math.Atan2(u.Cross(next), u.Dot(next))
		if turn <= 0 {
			turn += 2 * math.Pi
		}
		for _, part := range cutEvenly(r1.Interval{Hi: turn}, widest*0.8) {
			sin, cos := math.Sincos(part.Lo)
			rays = append(rays, r2.Point{X: u.X*cos - u.Y*sin, Y: u.X*sin + u.Y*cos})
		}
	}
	for i, u := range rays {
		all = append(all, []HalfPlane{leftOf(u), leftOf(rays[(i+1)%len(rays)]).Other()})
	}
	return all
}
