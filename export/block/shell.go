package block

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// The wall of a shell is too thin for sockets, so columns stand in its hollow where the
// sockets are, from the floor to the opening, each as one with a side wall.

// leastWall is how much plastic in millimetres is left around a socket at least: three
// lines of the usual nozzle of 0.4 mm (common practice).
const leastWall = 1.2

// column stands at a side of the face that a shell leaves out: sides are counted
// counter-clockwise from the lower one, and along runs with them.
type column struct {
	side  int
	along r1.Interval
	deep  float64 // from the edge of the face
}

// sides are the edges of a rectangle from the origin, counter-clockwise: where each
// begins, its direction, how long it is, and how far it is to the one across.
func sides(size r2.Point) [4]struct {
	from, dir    r2.Point
	long, across float64
} {
	x, y := r2.Point{X: 1}, r2.Point{Y: 1}
	return [4]struct {
		from, dir    r2.Point
		long, across float64
	}{
		{r2.Point{}, x, size.X, size.Y},
		{r2.Point{X: size.X}, y, size.Y, size.X},
		{size, x.Mul(-1), size.X, size.Y},
		{r2.Point{Y: size.Y}, y.Mul(-1), size.Y, size.X},
	}
}

// area is the rectangle that a column takes up of a face.
func (c column) area(size r2.Point) r2.Rect {
	s := sides(size)[c.side]
	return r2.RectFromPoints(s.from.Add(s.dir.Mul(c.along.Lo)), s.from.Add(s.dir.Mul(c.along.Hi)).Add(s.dir.Ortho().Mul(c.deep)))
}

// hollow is the outline of a shell's hollow, counter-clockwise: the face without a rim
// of t along its edge and without its columns.
func (f faceFrame) hollow(t float64, columns []column) []r2.Point {
	var out []r2.Point
	for i, s := range sides(f.size) {
		at := func(along, deep float64) {
			out = append(out, s.from.Add(s.dir.Mul(along)).Add(s.dir.Ortho().Mul(deep)))
		}
		at(t, t)
		for _, c := range columns {
			if c.side == i {
				at(c.along.Lo, t)
				at(c.along.Lo, c.deep)
				at(c.along.Hi, c.deep)
				at(c.along.Hi, t)
			}
		}
	}
	return out
}

// apartBy tells whether columns leave a hollow of one piece: clear of one another and of
// the walls that they do not stand at.
func apartBy(air float64, size r2.Point, t float64, columns []column) bool {
	for i, c := range columns {
		s := sides(size)[c.side]
		if c.along.Lo < t+air || c.along.Hi > s.long-t-air || c.deep < t || c.deep > s.across-t-air {
			return false
		}
		for _, o := range columns[:i] {
			if c.area(size).ExpandedByMargin(air).Intersects(o.area(size)) {
				return false
			}
		}
	}
	return true
}

// columns are those of a piece that is a shell, in the order of its sides.
func (g *grid) columns(c cell) []column {
	_, size := g.box(c)
	open := faceOf(size, g.opening(c))
	var all []column
	for face := pack.Front; face <= pack.Bottom; face++ {
		if !g.inner(c, face) {
			continue
		}
		f := faceOf(size, face)
		for _, at := range g.sockets(f) {
			q := f.at(at, 0).Sub(open.origin)
			deep := g.depth + leastWall
			if face.Axis() == open.face.Axis() {
				deep = 0 // as far from its nearest side as the socket needs
			}
			all = joined(all, g.column(open.size, r2.Point{X: q.Dot(open.u), Y: q.Dot(open.v)}, deep))
		}
	}
	slices.SortFunc(all, func(a, b column) int {
		return cmp.Or(cmp.Compare(a.side, b.side), cmp.Compare(a.along.Lo, b.along.Lo))
	})
	return all
}

// column is the one for a socket over a point of the face, at the side nearest to it and
// at least as deep as given.
func (g *grid) column(size, p r2.Point, deep float64) column {
	half := g.radius + g.Play/2 + leastWall
	var best column
	near := math.Inf(1)
	for i, s := range sides(size) {
		along, away := p.Sub(s.from).Dot(s.dir), p.Sub(s.from).Dot(s.dir.Ortho())
		if away < near-rim {
			near = away
			best = column{i, r1.Interval{Lo: along - half, Hi: along + half}, max(deep, away+half)}
		}
	}
	return best
}

// joined adds a column, or makes one deeper that stands in the same place.
func joined(all []column, c column) []column {
	for i, o := range all {
		if o.side == c.side && math.Abs(o.along.Lo-c.along.Lo) < rim {
			all[i].deep = max(o.deep, c.deep)
			return all
		}
	}
	return append(all, c)
}

// holds tells whether sockets as large as the grid's have plastic around them in every
// piece, and are clear of one another.
func (g *grid) holds() bool {
	for _, c := range g.planes.cells() {
		_, size := g.box(c)
		if g.hollowed(size) && !apartBy(2*leastWall, faceOf(size, g.opening(c)).size, g.Shell, g.columns(c)) {
			return false
		}
		var taken [][2]r3.Vector
		for face := pack.Front; face <= pack.Bottom; face++ {
			if !g.inner(c, face) {
				continue
			}
			for _, at := range g.sockets(faceOf(size, face)) {
				low, high := g.bore(faceOf(size, face), at)
				if min(low.X, low.Y, low.Z) < 0 || min(size.X-high.X, size.Y-high.Y, size.Z-high.Z) < 0 {
					return false
				}
				for _, o := range taken {
					if low.X < o[1].X && o[0].X < high.X && low.Y < o[1].Y && o[0].Y < high.Y && low.Z < o[1].Z && o[0].Z < high.Z {
						return false
					}
				}
				taken = append(taken, [2]r3.Vector{low, high})
			}
		}
	}
	return true
}

// bore is the box around a socket and the plastic that it needs beside and behind it.
func (g *grid) bore(f faceFrame, at r2.Point) (low, high r3.Vector) {
	r := g.radius + g.Play/2 + leastWall
	a := f.at(at.Sub(r2.Point{X: r, Y: r}), 0)
	b := f.at(at.Add(r2.Point{X: r, Y: r}), -g.depth-leastWall)
	return r3.Vector{X: min(a.X, b.X), Y: min(a.Y, b.Y), Z: min(a.Z, b.Z)},
		r3.Vector{X: max(a.X, b.X), Y: max(a.Y, b.Y), Z: max(a.Z, b.Z)}
}

// shellPegs chooses the largest pegs that shells have room for, or none.
func (g *grid) shellPegs() {
	for _, radius := range []float64{3, 2.5, 2, 1.5} {
		for _, depth := range []float64{pegDepth, 6, 4, 3} {
			g.radius, g.depth = radius, depth
			if g.radius > 2*g.Play && g.depth-g.Play >= leastPeg && g.holds() {
				return
			}
		}
	}
	g.radius, g.depth = 0, 0
}

// shellSockets are the middles of the sockets in a face of a shell: nearer to its long
// sides than in solids, so that their columns are small, and past the sockets in the
// faces beside it.
func (g *grid) shellSockets(f faceFrame) []r2.Point {
	long, short := max(f.size.X, f.size.Y), min(f.size.X, f.size.Y)
	aside := min(short/4, g.Shell+2*(g.radius+g.Play+leastWall)+g.depth+leastWall)
	a, b := r2.Point{X: long / 4, Y: aside}, r2.Point{X: long - long/4, Y: short - aside}
	if f.wide() {
		return []r2.Point{a, b}
	}
	return []r2.Point{{X: a.Y, Y: a.X}, {X: b.Y, Y: b.X}}
}
