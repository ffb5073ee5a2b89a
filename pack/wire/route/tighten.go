package route

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"
)

// What a way costs beside its length, found by trying: a bend that is too sharp by a
// millimetre, and being too near to something by a millimetre.
const (
	sharpCost = 3
	nearCost  = 1000
)

// Steps of a point that is moved, in mm, halved from one to the other.
const (
	firstStep = 32.0
	lastStep  = 0.25
)

// tightened moves the points of a way, and leaves out those that are not needed, as long as
// that makes it cheaper: a descent along the axes, the diagonals and the lugs' planes.
func (t *task) tightened(points []r3.Vector) Path {
	best := slices.Clone(points)
	least := t.cost(best)
	for step := firstStep; step >= lastStep; {
		before := least
		best, least = t.shortened(best, least)
		for i := 1; i < len(best)-1; i++ {
			for _, to := range t.moves(best, i, step) {
				was := best[i]
				best[i] = to
				if c := t.cost(best); c < least-1e-9 {
					least = c
				} else {
					best[i] = was
				}
			}
		}
		if before-least < 0.05 {
			step /= 2
		}
	}
	if p := t.pathOf(best); t.inTheWay(p) == 0 {
		return p
	}
	return t.sharper(points)
}

// sharper is a way as it was found, its bends only as wide as there is room for: the cable
// would have to be bent more sharply than it allows.
func (t *task) sharper(points []r3.Vector) Path {
	p := t.pathOf(points)
	for i := range p.Radii {
		for p.Radii[i] > 0 && t.inTheWay(p) > 0 && t.nearBend(p, i) > 0 {
			p.Length += p.Radii[i] / 2 * (2*math.Tan(turnAt(points, i+1)/2) - turnAt(points, i+1))
			if p.Radii[i] /= 2; p.Radii[i] < lastStep {
				p.Radii[i] = 0
			}
			p.Bend = math.Min(p.Bend, p.Radii[i])
		}
	}
	return p
}

// nearBend is by how much a bend is too near to things.
func (t *task) nearBend(p Path, i int) float64 {
	line := p.bend(i + 1)
	sum := 0.0
	for k := 1; k < len(line); k++ {
		sum += t.near(line[k-1], line[k], t.static) + t.near(line[k-1], line[k], t.extra)
	}
	return sum
}

// inTheWay is by how much a path is too near to things, in all.
func (t *task) inTheWay(p Path) float64 {
	line := p.Line()
	sum := 0.0
	for i := 1; i < len(line); i++ {
		sum += t.near(line[i-1], line[i], t.static) + t.near(line[i-1], line[i], t.extra)
	}
	return sum
}

// shortened leaves points out that cost more than they are worth.
func (t *task) shortened(points []r3.Vector, least float64) ([]r3.Vector, float64) {
	first, last := 2, len(points)-3 // the lugs' own stay
	if t.from.loose() {
		first = 1
	}
	if t.to.loose() {
		last = len(points) - 2
	}
	for i := first; i <= last; i++ {
		fewer := slices.Delete(slices.Clone(points), i, i+1)
		if c := t.cost(fewer); c <= least {
			return t.shortened(fewer, c)
		}
	}
	return points, least
}

// moves are where a point may go: those behind the lugs turn about the post or away from it.
func (t *task) moves(points []r3.Vector, i int, step float64) []r3.Vector {
	switch {
	case i == 1 && !t.from.loose():
		return lugMoves(t.from, points[i], step)
	case i == len(points)-2 && !t.to.loose():
		return lugMoves(t.to, points[i], step)
	}
	var list []r3.Vector
	for _, d := range directions {
		list = append(list, points[i].Add(d.Mul(step)))
	}
	return list
}

// lugMoves keep a point in the plane of its lug and no nearer than the lug is straight.
func lugMoves(e End, p r3.Vector, step float64) []r3.Vector {
	away := p.Sub(e.At)
	u := away.Normalize()
	v := e.Normal.Cross(u)
	var list []r3.Vector
	for _, d := range []r3.Vector{u, u.Mul(-1), v, v.Mul(-1), u.Add(v), u.Sub(v), v.Sub(u), u.Mul(-1).Sub(v)} {
		q := away.Add(d.Mul(step))
		if q.Norm() < e.Straight {
			q = q.Normalize().Mul(e.Straight)
		}
		list = append(list, e.At.Add(q))
	}
	return list
}

var directions = func() (list []r3.Vector) {
	for x := -1.0; x <= 1; x++ {
		for y := -1.0; y <= 1; y++ {
			for z := -1.0; z <= 1; z++ {
				if d := (r3.Vector{X: x, Y: y, Z: z}); d.Norm() > 0 {
					list = append(list, d.Normalize())
				}
			}
		}
	}
	return list
}()

// cost is the length of a way, with what is wrong with it.
func (t *task) cost(points []r3.Vector) float64 {
	p := t.pathOf(points)
	c := p.Length
	for i, r := range p.Radii {
		if turnAt(points, i+1) > 1e-6 {
			c += sharpCost * math.Max(0, t.cable.Bend-r)
		}
	}
	return c + nearCost*t.inTheWay(p)
}

// near is by how much a straight piece of cable is too near to things, in all.
func (t *task) near(a, b r3.Vector, from []bounded) float64 {
	if t.clear(a, b, from) {
		return 0
	}
	sum := 0.0
	for i := range from {
		o := &from[i]
		if need := t.cable.Radius + o.Gap; o.reaches(a, b, need) {
			sum += math.Max(0, need-distance(a, b, o.Solid))
		}
	}
	return sum
}
