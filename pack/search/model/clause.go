package model

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack"
)

// Plane is one way for two parts to keep clear of each other: n·p ≥ d + k·s, where p
// is the position of the box (against the frame) or the difference of the positions of
// two boxes, n is a unit vector, and s is the spare. Lengths are in mm. The factor k is 1 but for
// bodies inside round solids, which grow slower than the spare, and 0 for room that tools need.
//
// Against the frame N points out of the obstacle, between two boxes from the first to the second. A
// plane is the sheet of the judge seen in the space of places: moving the sheet's gap over to the
// other side of the inequality leaves what depends on the layout, n·p, on the left.
type Plane struct {
	N r3.Vector
	D float64
	K float64
}

// Left is the spare that the plane alone would leave at p. Where the spare has no part in it, it is
// infinite, above 0 where the plane holds and below where it does not. The products are rounded
// before they are added (the conversions forbid fused operations), so that all machines give the
// same bits.
func (f Plane) Left(p r3.Vector) float64 {
	l := float64(f.N.X*p.X) + float64(f.N.Y*p.Y) + float64(f.N.Z*p.Z) - f.D
	if f.K == 1 {
		return l
	}
	// A plane that asks for no spare cannot limit it: it is met, to within the slack, or it is not.
	if f.K == 0 {
		return math.Copysign(math.Inf(1), l+restSlack)
	}
	return l / f.K
}

// LeftAlone is Left for a plane whose factor is 1, and quicker. It is the innermost step of
// separation: no branch, no copy of the plane.
func (f *Plane) LeftAlone(p r3.Vector) float64 {
	return float64(f.N.X*p.X) + float64(f.N.Y*p.Y) + float64(f.N.Z*p.Z) - f.D
}

// Clause is what a relation asks for: at least one of its planes has to hold. The spare it leaves
// is the greatest of theirs.
//
// A clause stands for one relation of one part of a pose. Every plane is sufficient: where it
// holds, the two bodies are apart by what is required plus the spare. Of flat bodies they are also
// all that there is: the sheet that is measured between two is parallel to a face of either. So the
// clause leaves what the judge does.
type Clause struct {
	Planes []Plane
	// Where the obstacle is round, Planes are only some of the directions that count: Round is
	// the solid. Part is the part of the pose and Gap what is required; both are of a clause
	// with the frame alone.
	Round geom.Solid
	Part  int
	Gap   float64
	// Inner is the body inside of the obstacle that bounds are told of, nil where it is the
	// obstacle itself.
	Inner geom.Solid
	// square is what the planes ask for, where isSquare tells that they are six, +x, −x, +y,
	// −y, +z and −z in this order.
	square   [6]float64
	isSquare bool
}

// Left is the spare that the clause leaves at p, by its planes. −Inf for a clause without planes,
// which nothing satisfies.
func (c *Clause) Left(p r3.Vector) float64 {
	if c.isSquare {
		left, _ := squareBest(&c.square, p)
		return left
	}
	best, _ := c.Best(p)
	return best
}

// FirstLeaving tells without looking at more planes than it has to. It gives the first plane that leaves enough at p, or −1 where there is none, and then
// what the best leaves. All factors have to be 1.
func (c *Clause) FirstLeaving(p r3.Vector, enough float64) (at int, best float64) {
	best = math.Inf(-1)
	for k := range c.Planes {
		if l := c.Planes[k].LeftAlone(p); l > best {
			if l >= enough {
				return k, l
			}
			best = l
		}
	}
	return -1, best
}

// squareBest is Best for square planes that ask for d, and the number of the plane: what
// most pairs of boxes ask, and quicker. Written out, not looped: it runs for every pair at every
// step of separation.
func squareBest(d *[6]float64, p r3.Vector) (float64, int) {
	left, at := p.X-d[0], 0
	if l := -p.X - d[1]; l > left {
		left, at = l, 1
	}
	if l := p.Y - d[2]; l > left {
		left, at = l, 2
	}
	if l := -p.Y - d[3]; l > left {
		left, at = l, 3
	}
	if l := p.Z - d[4]; l > left {
		left, at = l, 4
	}
	if l := -p.Z - d[5]; l > left {
		left, at = l, 5
	}
	return left, at
}

// squareOf is what planes ask for, if they are those of a square clause, and whether they are. A
// clause that is not square is as good, only slower; so what is square by accident of rounding
// alone need not be found.
func squareOf(planes []Plane) (d [6]float64, isSquare bool) {
	if len(planes) != 6 {
		return d, false
	}
	for k, f := range planes {
		if f.K != 1 || f.N != AxesOfVehicle[k/2].Mul(Sign(k%2 == 0)) {
			return d, false
		}
		d[k] = f.D
	}
	return d, true
}

// Offset is where the second of two boxes is from the first, and how far that is in each way
// along the axes, in the order of square clauses. It is made once for a pair of boxes and used for
// each of their clauses.
type Offset struct {
	D    r3.Vector
	ways [6]float64
}

// OffsetOf is the offset of a difference of two places.
func OffsetOf(d r3.Vector) Offset { return Offset{d, [6]float64{d.X, -d.X, d.Y, -d.Y, d.Z, -d.Z}} }

// Lack is how much the clause leaves less than enough at o, in mm; 0 where it leaves enough. Most clauses have a plane that
// leaves enough; held is the one that did so last, which is looked at first. All factors have to
// be 1.
//
// held is the caller's, one for each clause of each pair, 0 at first; any number is allowed, for it
// is only where to look first. It never changes what is returned.
func (c *Clause) Lack(o *Offset, held *uint8, enough float64) float64 {
	if c.isSquare {
		return squareLack(&c.square, &o.ways, held, enough)
	}
	if int(*held) < len(c.Planes) && c.Planes[*held].LeftAlone(o.D) >= enough {
		return 0
	}
	k, left := c.FirstLeaving(o.D, enough)
	if k >= 0 {
		*held = uint8(k)
		return 0
	}
	return enough - left
}

// squareLack is Lack for a square clause that asks for d. The answer does not depend on which plane
// is found first: a plane that leaves enough means 0.
func squareLack(d, ways *[6]float64, held *uint8, enough float64) float64 {
	if k := *held; k < 6 && ways[k]-d[k] >= enough {
		return 0
	}
	for k := range d {
		if ways[k]-d[k] >= enough {
			*held = uint8(k)
			return 0
		}
	}
	return enough - max(max(ways[0]-d[0], ways[1]-d[1]), max(ways[2]-d[2], ways[3]-d[3]), max(ways[4]-d[4], ways[5]-d[5]))
}

// Best is Left, and the plane that leaves it: the one to choose for a program, since it is the last
// that a better arrangement near by would do without. Of several that leave the same it is the
// first, so that a result does not depend on chance.
func (c *Clause) Best(p r3.Vector) (float64, Plane) {
	if c.isSquare {
		left, k := squareBest(&c.square, p)
		return left, c.Planes[k]
	}
	left, at := math.Inf(-1), Plane{}
	for _, f := range c.Planes {
		if l := f.Left(p); l > left {
			left, at = l, f
		}
	}
	return left, at
}

// Nearest appends to list at most n of the planes, those that leave most at p, most first: the
// shortest ways out of a relation that is broken. Insertion into a short list, for n is small.
// Among equals the first stay, as with Best.
func (c *Clause) Nearest(p r3.Vector, n int, list []Plane) []Plane {
	if len(c.Planes) <= n {
		return append(list, c.Planes...)
	}
	from := len(list)
	left := make([]float64, 0, 16) // on the stack
	for _, f := range c.Planes {
		l := f.Left(p)
		at := len(left)
		for at > 0 && left[at-1] < l {
			at--
		}
		if at == n {
			continue
		}
		if len(left) == n {
			left, list = left[:n-1], list[:from+n-1]
		}
		left, list = slices.Insert(left, at, l), slices.Insert(list, from+at, f)
	}
	return list
}

// Directions lists the directions from a part towards a solid that a sheet between
// them may be normal to: the three axes of the part both ways, and the faces of the
// solid, each once; around a round solid a fixed fan of them. The parts of one pose share its axes,
// so only the pose matters and not which part.
func Directions(axes [3]r3.Vector, solid geom.Solid) []r3.Vector {
	both := bothWays(axes)
	return appendOther(appendNew(nil, both[:]...), ownDirections(solid))
}

// ownDirections are those of Directions that are the solid's own, each once. They point from the
// part into the solid, hence the sign.
func ownDirections(solid geom.Solid) []r3.Vector {
	var all []r3.Vector
	for _, n := range solid.Normals() {
		all = appendNew(all, n.Mul(-1))
	}
	if solid.Round() {
		all = appendNew(all, fan(solid)...)
	}
	return all
}

// appendNew appends what a list does not hold yet.
func appendNew(list []r3.Vector, more ...r3.Vector) []r3.Vector {
	for _, u := range more {
		if !slices.Contains(list, u) {
			list = append(list, u)
		}
	}
	return list
}

// appendOther appends what a list does not hold of others, each of which is there once. It spares
// comparing the others with one another: a swept part's list is long, and is joined to many axes.
func appendOther(list, others []r3.Vector) []r3.Vector {
	own := list
	for _, u := range others {
		if !slices.Contains(own, u) {
			list = append(list, u)
		}
	}
	return list
}

// bothWays are three axes, each one way and the other.
func bothWays(axes [3]r3.Vector) (both [6]r3.Vector) {
	for i, a := range axes {
		both[2*i], both[2*i+1] = a, a.Mul(-1)
	}
	return both
}

// fanSteps is how many directions around a round solid a clause starts with. Its
// outer body is then at most 1/cos(180°/fanSteps) − 1 = 0.9 % of radius and gap too
// large; improvement works with the exact direction.
const fanSteps = 24

// fan spreads directions around the axis of a round solid: square to it, and leaning
// half-way towards its ends. They miss the true direction by at most half a step, 7.5°, square to
// the axis; see fanSteps for what that costs. A ball has no axis of its own, and takes the one
// across.
func fan(solid geom.Solid) []r3.Vector {
	axis := roundAxis(solid)
	if axis == (r3.Vector{}) {
		axis = r3.Vector{Y: 1}
	}
	u := axis.Ortho()
	v := axis.Cross(u)
	fan := []r3.Vector{axis, axis.Mul(-1)}
	for i := range fanSteps {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / fanSteps)
		around := u.Mul(cos).Add(v.Mul(sin)).Normalize()
		fan = append(fan, around, around.Add(axis).Normalize(), around.Sub(axis).Normalize())
	}
	return fan
}

// roundAxis is the unit direction of a bar, zero for a ball and for what is no bar.
func roundAxis(solid geom.Solid) r3.Vector {
	bar, _ := geom.BarOf(solid)
	return bar.To.Sub(bar.From).Normalize()
}

// Barrier is a solid of the frame with where it begins along each of its own directions. What a
// part is swept through has hundreds of them: they are looked up once for all that comes near. Lows
// are along towards, with the same index; −Inf where the solid has no end that way.
type Barrier struct {
	solid   geom.Solid
	towards []r3.Vector
	lows    []float64
}

// BarrierOf makes a barrier of a solid.
func BarrierOf(solid geom.Solid) Barrier {
	b := Barrier{solid: solid, towards: ownDirections(solid)}
	for _, u := range b.towards {
		b.lows = append(b.lows, solid.Extent(u).Lo)
	}
	return b
}

// AgainstSolid is Against of a solid that is asked of once.
func (p *Pose) AgainstSolid(i int, solid geom.Solid, gap float64) Clause {
	return p.Against(i, BarrierOf(solid), gap)
}

// Against is the clause of part i of a pose and a solid of the frame, with gap
// required between them in mm. A solid without end has no plane along the ways in which it has none:
// a half-space has one plane in all.
//
// The planes along the pose's own axes come first, in the order of bothWays, so that a pose without
// tilt against a level box gets a square clause.
func (p *Pose) Against(i int, b Barrier, gap float64) Clause {
	c := Clause{Part: i, Gap: gap, Planes: make([]Plane, 0, len(b.lows)+6)}
	if b.solid.Round() {
		c.Round = b.solid
	}
	add := func(u r3.Vector, low float64) {
		// A plane that would have to be infinitely far away parts nothing.
		if !math.IsInf(low, -1) {
			c.Planes = append(c.Planes, Plane{N: u.Mul(-1), D: p.Reach(i, u) - low + gap, K: 1})
		}
	}
	axes := bothWays(p.Axes)
	for _, u := range axes {
		add(u, b.solid.Extent(u).Lo)
	}
	for k, u := range b.towards {
		if !slices.Contains(axes[:], u) {
			add(u, b.lows[k])
		}
	}
	c.square, c.isSquare = squareOf(c.Planes)
	return c
}

// Between is the clause of part i of pose p and part j of pose q, on the position of
// q less that of p. gap gives what is required along a direction. The first six planes are along
// the axes of p, both ways: PairingOf counts on it.
func Between(p *Pose, i int, q *Pose, j int, gap func(u r3.Vector) float64) Clause {
	both := bothWays(p.Axes)
	directions := both[:]
	// Boxes with the same axes have no other normals of faces. With different tilts the edge cross
	// products are left out on purpose: a sheet is parallel to a face.
	if p.Axes != q.Axes {
		directions = Directions(p.Axes, geom.Box{Axes: q.Axes})
	}
	c := Clause{Planes: make([]Plane, 0, len(directions))}
	for _, u := range directions {
		c.Planes = append(c.Planes, Plane{N: u, D: p.Reach(i, u) + q.Reach(j, u.Mul(-1)) + gap(u), K: 1})
	}
	c.square, c.isSquare = squareOf(c.Planes)
	return c
}

// CaseGap is the gap required between two cases along u: above where the sheet lies
// (u more than 45° up), beside where it stands. At 45°, rounding aside, it stands. The judge
// decides the same by its own code; TestMeasureIsTheJudges holds the two together.
func CaseGap(g pack.Gaps) func(u r3.Vector) float64 {
	return func(u r3.Vector) float64 {
		if math.Abs(u.Z) > math.Sqrt2/2+geom.Tolerance {
			return g.Above
		}
		return g.Beside
	}
}

// Constant is a gap that is the same in all directions.
func Constant(gap float64) func(r3.Vector) float64 {
	return func(r3.Vector) float64 { return gap }
}
