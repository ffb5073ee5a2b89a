package label

import (
	"cmp"
	"slices"

	"github.com/golang/geo/r2"
)

// apart is how much room is left between labels of the column.
const apart = 2.0

// stack puts labels one below the other into the column.
func (m *Map) stack(labels []Label, aside []int, x, top float64, places []Place) {
	if len(aside) == 0 {
		return
	}
	c := column{m: m, x: x, top: top}
	for _, i := range aside {
		c.rows = append(c.rows, row{number: i, size: last(labels[i].Sizes), anchors: labels[i].Anchors, anchor: rightmost(labels[i].Anchors)})
	}
	slices.SortStableFunc(c.rows, func(a, b row) int {
		return cmp.Or(cmp.Compare(a.anchor.Y, b.anchor.Y), cmp.Compare(a.anchor.X, b.anchor.X))
	})
	for range 3 {
		c.spread()
		c.choose()
		c.uncross()
	}
	for _, r := range c.rows {
		area := r2.RectFromPoints(r2.Point{X: x, Y: r.y - r.size.Y/2}, r2.Point{X: x + r.size.X, Y: r.y + r.size.Y/2})
		m.Block(area)
		places[r.number] = Place{Area: area, Wording: len(labels[r.number].Sizes) - 1, Leader: []r2.Point{c.end(r), r.anchor}, Aside: true}
	}
}

func rightmost(points []r2.Point) r2.Point {
	return slices.MaxFunc(points, func(a, b r2.Point) int { return cmp.Compare(a.X, b.X) })
}

// column is a stack of labels in the making.
type column struct {
	m      *Map
	x, top float64
	rows   []row
}

type row struct {
	number  int
	size    r2.Point
	anchors []r2.Point
	anchor  r2.Point
	y       float64 // of the middle
}

// end is where the leader of a row begins.
func (c *column) end(r row) r2.Point { return r2.Point{X: c.x - 2, Y: r.y} }

// spread puts each as near to the height of its anchor as the others allow.
func (c *column) spread() {
	var at, sizes []float64
	low := c.top
	for _, r := range c.rows {
		at, sizes = append(at, r.anchor.Y), append(sizes, r.size.Y+apart)
	}
	for i, y := range Spread(at, sizes) {
		c.rows[i].y = max(y, low+sizes[i]/2)
		low = c.rows[i].y + sizes[i]/2
	}
}

// choose takes for each the anchor whose leader is shortest and runs through the fewest words.
func (c *column) choose() {
	for i := range c.rows {
		r := &c.rows[i]
		cost := func(a r2.Point) float64 { return a.Sub(c.end(*r)).Norm() + crossCost*c.m.crossed(c.end(*r), a) }
		r.anchor = slices.MinFunc(r.anchors, func(a, b r2.Point) int { return cmp.Compare(cost(a), cost(b)) })
	}
}

// uncross exchanges labels whose leaders cross, until none do.
func (c *column) uncross() {
	for range len(c.rows) * len(c.rows) {
		i, j, ok := c.crossing()
		if !ok {
			return
		}
		c.rows[i], c.rows[j] = c.rows[j], c.rows[i]
		c.spread()
	}
}

// crossing finds two rows whose leaders cross.
func (c *column) crossing() (i, j int, ok bool) {
	for j := range c.rows {
		for i := range j {
			if Cross(c.end(c.rows[i]), c.rows[i].anchor, c.end(c.rows[j]), c.rows[j].anchor) {
				return i, j, true
			}
		}
	}
	return 0, 0, false
}

// Cross tells whether two segments have an inner point in common, other than lying on one line.
func Cross(a, b, c, d r2.Point) bool {
	side := func(p, q, s r2.Point) float64 { return q.Sub(p).Cross(s.Sub(p)) }
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}

// Spread moves the middles of things of some sizes, which rise, as little as it takes for
// none to overlap the one before: least squares, by joining neighbours that would overlap
// (pool adjacent violators; Barlow, Bartholomew, Bremner & Brunk 1972).
func Spread(middles, sizes []float64) []float64 {
	type group struct{ sum, n float64 }
	var groups []group
	offsets := make([]float64, len(sizes)) // from the first one, when all touch
	for i, p := range middles {
		if i > 0 {
			offsets[i] = offsets[i-1] + (sizes[i-1]+sizes[i])/2
		}
		g := group{p - offsets[i], 1}
		for len(groups) > 0 && groups[len(groups)-1].sum/groups[len(groups)-1].n >= g.sum/g.n {
			last := groups[len(groups)-1]
			g = group{g.sum + last.sum, g.n + last.n}
			groups = groups[:len(groups)-1]
		}
		groups = append(groups, g)
	}
	var all []float64
	for _, g := range groups {
		for range int(g.n) {
			all = append(all, g.sum/g.n+offsets[len(all)])
		}
	}
	return all
}
