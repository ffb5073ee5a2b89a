package start

import (
	"math/rand/v2"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/search/model"
)

// Alike boxes, turned in different ways, can stand in a grid of rows, columns and layers
// that is nowhere straight: four around a hole like the arms of a pinwheel, or Hoffman's
// 27 in a cube (Klarner, The Mathematical Gardner (1981)). No box-by-box order with an eye
// on one corner comes upon these, so they are looked for as such: in every row, column and
// layer the sizes along it have to go between the walls, each box being pushed against
// the one before it.

// grid is one search for such a layout.
//
// Cells are numbered along x, then y, then z, and filled in that order; size, low and chosen are
// those of the cells filled so far. Low corners follow from the cells before, so a grid is told by
// its shapes alone.
type grid struct {
	m       *model.Model
	kind    int
	shapes  []r3.Vector // with the gap added
	poses   []int       // one for each shape
	count   [3]int      // along each axis
	room    r3.Vector
	size    []r3.Vector // by cell: what stands there
	low     []r3.Vector
	chosen  []int
	slack   float64 // how much room all rows, columns and layers may leave yet
	patient int     // steps left
}

// gridLayout places all boxes of one kind in a grid with turns mixed; ok is false where
// none is found. The others are not placed: their entries are zero. Posts, slants and rails are not
// looked at: separation then pushes what is found out of them.
func gridLayout(m *model.Model, kind int, rng *rand.Rand) (spots []model.Spot, ok bool) {
	n := m.Kinds[kind].Count
	// Which factors are tried first is left to chance, since patience may end the search.
	counts := factors(n)
	rng.Shuffle(len(counts), func(i, j int) { counts[i], counts[j] = counts[j], counts[i] })
	for _, count := range counts {
		g := newGrid(m, kind, count, rng)
		if g.place(0) {
			return g.spots(), true
		}
	}
	return nil, false
}

// factors lists the ways to write n as a product of three numbers, without rows of one. A single
// row is no grid with turns mixed; construction makes those.
func factors(n int) [][3]int {
	var all [][3]int
	for a := 1; a <= n; a++ {
		for b := 1; b <= n/a; b++ {
			if c := n / a / b; n%a == 0 && a*b*c == n && max(a, b, c) < n {
				all = append(all, [3]int{a, b, c})
			}
		}
	}
	return all
}

// newGrid is a search that has placed nothing. Each size is taken with the gap to the next box, and
// the room with one gap more, so that the last needs none.
func newGrid(m *model.Model, kind int, count [3]int, rng *rand.Rand) *grid {
	gaps := m.Problem.Pack.Gaps
	gap := r3.Vector{X: gaps.Beside, Y: gaps.Beside, Z: gaps.Above}
	g := &grid{m: m, kind: kind, count: count, patient: mostGridSteps}
	g.room = r3.Vector{X: m.Room[0].Length(), Y: m.Room[1].Length(), Z: m.Room[2].Length()}.Add(gap)
	for axis, n := range count {
		g.slack += geom.Component(g.room, axis) * float64(count[0]*count[1]*count[2]/n)
	}
	seen := map[int]bool{}
	for _, k := range rng.Perm(len(m.Useful[kind])) {
		p := m.Poses[kind][m.Useful[kind][k]]
		if !seen[p.Shape] {
			seen[p.Shape] = true
			g.shapes = append(g.shapes, p.Parts[0].Half.Mul(2).Add(gap))
			g.poses = append(g.poses, m.Useful[kind][k])
		}
	}
	// Every shape of a kind has the same three sizes. Along each axis every row can be no longer
	// than the room; summed over all rows of all axes, the room less the sizes is what they may
	// leave together. A branch that leaves more cannot be completed.
	g.slack -= float64(m.Kinds[kind].Count) * (g.shapes[0].X + g.shapes[0].Y + g.shapes[0].Z)
	return g
}

// corner is a cell's number along each axis.
func (g *grid) corner(cell int) [3]int {
	return [3]int{cell % g.count[0], cell / g.count[0] % g.count[1], cell / g.count[0] / g.count[1]}
}

// before is the cell before a cell along an axis, −1 at the wall.
func (g *grid) before(cell, axis int) int {
	if g.corner(cell)[axis] == 0 {
		return -1
	}
	return cell - [3]int{1, g.count[0], g.count[0] * g.count[1]}[axis]
}

// place fills the cells from cell on. It is a search in depth with going back, and not complete:
// patience ends it.
func (g *grid) place(cell int) bool {
	if cell == g.count[0]*g.count[1]*g.count[2] {
		return true
	}
	var low r3.Vector
	for axis := range 3 {
		if b := g.before(cell, axis); b >= 0 {
			low = geom.WithComponent(low, axis, geom.Component(g.low[b], axis)+geom.Component(g.size[b], axis))
		}
	}
	for k, size := range g.shapes {
		if g.patient--; g.patient < 0 {
			return false
		}
		left := g.leaves(cell, low, size)
		if left > g.slack || !g.goes(cell, low, size) {
			continue
		}
		g.slack -= left
		g.low, g.size, g.chosen = append(g.low, low), append(g.size, size), append(g.chosen, k)
		if g.place(cell + 1) {
			return true
		}
		g.low, g.size, g.chosen = g.low[:cell], g.size[:cell], g.chosen[:cell]
		g.slack += left
	}
	return false
}

// leaves is the room that the rows which end with a cell leave behind it.
func (g *grid) leaves(cell int, low, size r3.Vector) float64 {
	left := 0.0
	for axis, at := range g.corner(cell) {
		if at == g.count[axis]-1 {
			left += geom.Component(g.room, axis) - geom.Component(low, axis) - geom.Component(size, axis)
		}
	}
	return left
}

// goes tells whether a box leaves room for the rest of its rows and meets no other. Boxes of other
// rows may reach into this one: that is what pinwheels do, so all that are placed are looked at.
func (g *grid) goes(cell int, low, size r3.Vector) bool {
	at := g.corner(cell)
	for axis := range 3 {
		least := geom.Component(g.shapes[0], axis)
		for _, s := range g.shapes {
			least = min(least, geom.Component(s, axis))
		}
		rest := float64(g.count[axis]-1-at[axis]) * least
		if geom.Component(low, axis)+geom.Component(size, axis)+rest > geom.Component(g.room, axis) {
			return false
		}
	}
	for other := range g.low {
		if meet(low, size, g.low[other], g.size[other]) {
			return false
		}
	}
	return true
}

// meet tells whether two boxes by low corner and size overlap. Touching is not overlapping.
func meet(a, aSize, b, bSize r3.Vector) bool {
	for axis := range 3 {
		if geom.Component(a, axis) >= geom.Component(b, axis)+geom.Component(bSize, axis) ||
			geom.Component(b, axis) >= geom.Component(a, axis)+geom.Component(aSize, axis) {
			return false
		}
	}
	return true
}

// spots are the layout found, the low corner of the grid in that of the room.
func (g *grid) spots() []model.Spot {
	spots := make([]model.Spot, len(g.m.Boxes))
	corner := r3.Vector{X: g.m.Room[0].Lo, Y: g.m.Room[1].Lo, Z: g.m.Room[2].Lo}
	cell := 0
	for i, b := range g.m.Boxes {
		if b.Kind == g.kind {
			pose := g.poses[g.chosen[cell]]
			half := g.m.Poses[g.kind][pose].Parts[0].Half
			spots[i] = model.Spot{Pose: pose, At: corner.Add(g.low[cell]).Add(half)}
			cell++
		}
	}
	return spots
}
