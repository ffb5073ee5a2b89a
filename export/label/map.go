package label

import (
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
)

// Cell is how long the side of a cell is, in the units of the picture.
const Cell = 3.0

// Nothing is the owner of cells in which nothing is seen.
const Nothing = 0

// Map is what is seen, drawn and written where in a picture. y may run up or down.
type Map struct {
	area       r2.Rect
	cols, rows int
	owner      []int
	ink        []int
	taken      []int
	written    []r2.Rect
	// Summed ink, and cells in which something is seen, once they were asked for.
	inkSums, overSums *sums
}

// NewMap is the map of an area, in which owner says what is seen at a point.
func NewMap(area r2.Rect, owner func(r2.Point) int) *Map {
	m := &Map{area: area, cols: cells(area.X), rows: cells(area.Y)}
	m.owner, m.ink, m.taken = make([]int, m.cols*m.rows), make([]int, m.cols*m.rows), make([]int, m.cols*m.rows)
	for i := range m.owner {
		m.owner[i] = owner(m.middle(i))
	}
	return m
}

func cells(in r1.Interval) int { return max(1, int(in.Length()/Cell)) }

// middle is that of a cell.
func (m *Map) middle(i int) r2.Point {
	return m.area.Lo().Add(r2.Point{X: (float64(i%m.cols) + 0.5) * Cell, Y: (float64(i/m.cols) + 0.5) * Cell})
}

// at is the number of the cell that a point is in, and whether it is in one.
func (m *Map) at(q r2.Point) (int, bool) {
	x, y := int(math.Floor((q.X-m.area.X.Lo)/Cell)), int(math.Floor((q.Y-m.area.Y.Lo)/Cell))
	if x < 0 || y < 0 || x >= m.cols || y >= m.rows {
		return 0, false
	}
	return y*m.cols + x, true
}

// Ink draws a line, which words had better not lie on, the less the heavier it is.
func (m *Map) Ink(a, b r2.Point, weight int) {
	m.inkSums = nil
	m.along(a, b, func(i int) { m.ink[i] += weight })
}

// along goes through the cells of a segment.
func (m *Map) along(a, b r2.Point, visit func(i int)) {
	steps := int(b.Sub(a).Norm()/Cell*1.5) + 1
	last := -1
	for k := range steps + 1 {
		i, ok := m.at(a.Add(b.Sub(a).Mul(float64(k) / float64(steps))))
		if ok && i != last {
			visit(i)
		}
		last = i
	}
}

// Block takes an area: nothing is written there from now on.
func (m *Map) Block(area r2.Rect) {
	m.written = append(m.written, area)
	x, y := m.span(area.X, m.area.X.Lo, m.cols), m.span(area.Y, m.area.Y.Lo, m.rows)
	for j := y[0]; j < y[1]; j++ {
		for i := x[0]; i < x[1]; i++ {
			m.taken[j*m.cols+i] = 1
		}
	}
}

// span are the first cell that an interval meets and the one after the last.
func (m *Map) span(in r1.Interval, lo float64, n int) [2]int {
	first := int(math.Floor((in.Lo - lo) / Cell))
	last := int(math.Ceil((in.Hi - lo) / Cell))
	return [2]int{min(n, max(0, first)), min(n, max(0, last))}
}

// Cells are the middles of those cells in which an owner is seen, at most so many, spread over all
// of them: away from edges and from what is written, where there are such.
func (m *Map) Cells(owner, most int) []r2.Point {
	var ranks [4][]r2.Point
	for i, o := range m.owner {
		if o != owner {
			continue
		}
		rank := 2 * m.taken[i]
		if !m.surrounded(i) {
			rank++
		}
		ranks[rank] = append(ranks[rank], m.middle(i))
	}
	var all []r2.Point
	for _, rank := range ranks {
		if all = rank; len(all) > 0 {
			break
		}
	}
	var some []r2.Point
	for k := range min(most, len(all)) {
		some = append(some, all[(2*k+1)*len(all)/(2*min(most, len(all)))])
	}
	return some
}

// surrounded tells whether all neighbours of a cell have its owner.
func (m *Map) surrounded(i int) bool {
	x, y := i%m.cols, i/m.cols
	if x == 0 || y == 0 || x == m.cols-1 || y == m.rows-1 {
		return false
	}
	for _, j := range [...]int{i - 1, i + 1, i - m.cols, i + m.cols} {
		if m.owner[j] != m.owner[i] {
			return false
		}
	}
	return true
}

// sums are summed areas: how much of something is above and left of each cell.
type sums struct {
	cols int
	all  []int
}

func (m *Map) sums(value func(i int) int) sums {
	s := sums{m.cols + 1, make([]int, (m.cols+1)*(m.rows+1))}
	for y := range m.rows {
		row := 0
		for x := range m.cols {
			row += value(y*m.cols + x)
			s.all[(y+1)*s.cols+x+1] = s.all[y*s.cols+x+1] + row
		}
	}
	return s
}

// drawn sums the lines, of which all are drawn before words are placed.
func (m *Map) drawn() sums {
	if m.inkSums == nil {
		s := m.sums(func(i int) int { return m.ink[i] })
		m.inkSums = &s
	}
	return *m.inkSums
}

// covered sums the cells in which something is seen.
func (m *Map) covered() sums {
	if m.overSums == nil {
		s := m.sums(func(i int) int { return min(1, m.owner[i]) })
		m.overSums = &s
	}
	return *m.overSums
}

// in is how much there is in a block of cells.
func (s sums) in(x, y, wide, high int) int {
	return s.all[(y+high)*s.cols+x+wide] - s.all[y*s.cols+x+wide] - s.all[(y+high)*s.cols+x] + s.all[y*s.cols+x]
}

// Clone is a map of the same picture in which something else may be written.
func (m *Map) Clone() *Map {
	c := *m
	c.taken, c.written = slices.Clone(m.taken), slices.Clone(m.written)
	return &c
}
