package ways

import (
	"math"

	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// Fineness is how much more air, in millimetres, may be asked from a round solid
// than the mover's air: where its surface is met, cuts are added until the flat
// faces around it are no further off. A tape does not show it.
const Fineness = 0.005

// maxHalves ends the cutting of one barrier; what is left then counts as blocked. A
// tube of 400 mm diameter needs about 600 faces all round at Fineness.
const maxHalves = 1000

// barrier is all displacements at which one moving solid is nearer to one standing
// solid than it may be: an open convex set, within all of halves. For flat solids
// halves are exact; for round ones they are a flat body around the set, cut finer
// where it is met.
type barrier struct {
	owner    int
	moving   geom.Box
	standing geom.Solid
	air      float64
	round    bool
	mover    *Mover
	halves   []half
	// swept[k] is the set of the displacements from which the ray along direction
	// k meets the barrier; made when first asked for.
	swept [maxDirections][]half
}

// newBarrier returns the barrier of standing to moving. The gap to keep is the
// mover's air, or the clearance where moving is now if that is less.
func newBarrier(m *Mover, owner int, moving geom.Box, standing geom.Solid) *barrier {
	if m.place.Near != nil {
		return m.leastBarrier(owner, moving, standing)
	}
	b := &barrier{owner: owner, moving: moving, standing: standing, mover: m, round: standing.Round()}
	normals := geom.SheetNormals(moving, standing)
	if b.round {
		_, nearest := geom.SheetGap(moving, standing)
		normals = append(append(normals, around...), nearest)
	}
	gaps := make([]float64, len(normals))
	clearance := math.Inf(-1)
	for i, n := range normals {
		gaps[i] = geom.GapAlong(moving, standing, n)
		clearance = math.Max(clearance, gaps[i])
	}
	b.air = math.Min(m.place.Air, clearance)
	b.halves = make([]half, 0, len(normals))
	for i, n := range normals {
		if !math.IsInf(gaps[i], -1) {
			b.halves = append(b.halves, b.half(n, gaps[i]-b.air))
		}
	}
	return b
}

// around are the directions in which a round solid is first looked at: along the
// edges, the face diagonals and the space diagonals of a cube.
var around = cubeDirections()

func cubeDirections() []r3.Vector {
	var list []r3.Vector
	for _, x := range []float64{-1, 0, 1} {
		for _, y := range []float64{-1, 0, 1} {
			for _, z := range []float64{-1, 0, 1} {
				if v := (r3.Vector{X: x, Y: y, Z: z}); v != (r3.Vector{}) {
					list = append(list, v.Normalize())
				}
			}
		}
	}
	return list
}

func (b *barrier) half(normal r3.Vector, offset float64) half {
	h := half{normal: normal, offset: offset, square: isAxis(normal)}
	for k, d := range b.mover.directions {
		h.along[k] = normal.Dot(d)
	}
	return h
}

func isAxis(v r3.Vector) bool {
	a := v.Abs()
	return a.X+a.Y+a.Z == 1 && (a.X == 1 || a.Y == 1 || a.Z == 1)
}

// rays returns the halves of the displacements from which the ray along direction k
// meets the barrier.
func (b *barrier) rays(k int) []half {
	if b.swept[k] == nil {
		b.swept[k] = b.sweep(k)
	}
	return b.swept[k]
}

// sweep eliminates the length of the ray from the halves (Fourier and Motzkin): a
// half that the ray leaves stays, one that it enters is combined with each that it
// leaves. For round solids cuts see to the combinations.
func (b *barrier) sweep(k int) []half {
	var stay, enter []half
	for _, h := range b.halves {
		if h.along[k] > level {
			enter = append(enter, h)
		} else {
			stay = append(stay, h)
		}
	}
	list := stay[:len(stay):len(stay)]
	if b.round {
		return list
	}
	for _, in := range enter {
		for _, out := range stay {
			if out.along[k] < -level {
				list = b.appendSum(list, in, -out.along[k], out, in.along[k])
			}
		}
	}
	return list
}

// appendSum appends p·g + q·h, scaled to a unit normal, unless it holds everywhere.
func (b *barrier) appendSum(list []half, g half, p float64, h half, q float64) []half {
	normal := g.normal.Mul(p).Add(h.normal.Mul(q))
	length := normal.Norm()
	if length <= level {
		return list
	}
	return append(list, b.half(normal.Mul(1/length), (p*g.offset+q*h.offset)/length))
}

// cut adds the face of the barrier with this normal.
func (b *barrier) cut(normal r3.Vector) {
	h := b.half(normal, geom.GapAlong(b.moving, b.standing, normal)-b.air)
	b.halves = append(b.halves, h)
	for k, list := range b.swept {
		if list != nil && h.along[k] <= level {
			b.swept[k] = append(list, h)
		}
	}
}

// gap returns the true clearance with the solid displaced by v, and its direction.
func (b *barrier) gap(v r3.Vector) (float64, r3.Vector) {
	return geom.SheetGap(moved(b.moving, v), b.standing)
}

// near tells whether the clearance at p is really less than the barrier's air, or
// more by Fineness at most. When it is not, the barrier is cut so that p is outside.
func (b *barrier) near(p stop) bool {
	if !b.round || len(b.halves) >= maxHalves {
		return true
	}
	gap, normal := b.gap(b.mover.vector(p))
	if gap <= b.air+Fineness {
		return true
	}
	b.cut(normal)
	return false
}

// nearRay tells the same of the nearest point of the ray from p along direction k.
func (b *barrier) nearRay(p stop, k int) bool {
	if !b.round || len(b.halves) >= maxHalves {
		return true
	}
	least, cuts := b.leastGap(b.mover.vector(p), k, b.air+Fineness)
	if least <= b.air+Fineness {
		return true
	}
	for _, c := range cuts {
		b.cut(c)
	}
	return false
}

// tangent is the clearance at a point of a ray, and how it changes along it.
type tangent struct {
	at, gap, slope float64
	normal         r3.Vector
}

func (b *barrier) tangent(from r3.Vector, k int, at float64) tangent {
	d := b.mover.directions[k]
	gap, normal := b.gap(from.Add(d.Mul(at)))
	return tangent{at: at, gap: gap, slope: -normal.Dot(d), normal: normal}
}

// leastGap searches the least clearance along the ray. The clearance is a convex
// function of the length, so two tangents bound it from below where they cross. It
// stops when the least is known to be at most enough, or more; in that case it gives
// the normals of sheets that show it, the last of them square to the ray.
func (b *barrier) leastGap(from r3.Vector, k int, enough float64) (float64, []r3.Vector) {
	lo := b.tangent(from, k, 0)
	if lo.gap <= enough || lo.slope >= 0 {
		return lo.gap, []r3.Vector{lo.normal}
	}
	hi := b.tangent(from, k, b.passed(from, k))
	for hi.gap > enough && hi.slope > lo.slope {
		x := (lo.gap - hi.gap + hi.slope*hi.at - lo.slope*lo.at) / (hi.slope - lo.slope)
		bound := lo.gap + lo.slope*(x-lo.at)
		if bound > enough || x <= lo.at || x >= hi.at {
			return bound, []r3.Vector{lo.normal, hi.normal, squareTo(lo, hi)}
		}
		mid := b.tangent(from, k, x)
		switch {
		case mid.gap <= enough:
			return mid.gap, nil
		case mid.slope < 0:
			lo = mid
		default:
			hi = mid
		}
	}
	return hi.gap, []r3.Vector{hi.normal}
}

// passed returns a length of the ray after which the moving solid is beyond the
// standing one.
func (b *barrier) passed(from r3.Vector, k int) float64 {
	d := b.mover.directions[k]
	length := b.standing.Extent(d).Hi - moved(b.moving, from).Extent(d).Lo
	return math.Max(1, math.Min(length, farAway))
}

// farAway is longer than any way, in millimetres.
const farAway = 1e6

// squareTo combines the normals of two tangents, one falling and one rising, to one
// square to the ray.
func squareTo(lo, hi tangent) r3.Vector {
	return lo.normal.Mul(hi.slope).Sub(hi.normal.Mul(lo.slope)).Normalize()
}

// moved returns the box displaced by v.
func moved(b geom.Box, v r3.Vector) geom.Box {
	b.Centre = b.Centre.Add(v)
	return b
}
