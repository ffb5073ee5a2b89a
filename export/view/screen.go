package view

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// screen is the solids that hide what is behind them in a view, sorted into a grid of cells of the
// view, so that an edge asks those alone that it may be behind.
type screen struct {
	dir    Direction
	across int // cells each way
	solids []convex
	areas  []r2.Rect // of the solids
	whole  r2.Rect
	cells  [][]int // solids in each, row by row
	asked  []int   // when each solid was last found
	asking int
}

// mostAcross is how many cells a screen has each way at most: a stretch of a bent rail then asks a few
// dozen solids of two thousand (found by trying).
const mostAcross = 48

func newScreen(d Direction, bodies []body) *screen {
	s := &screen{dir: d, whole: r2.EmptyRect()}
	for _, b := range bodies {
		area := b.bounds(d)
		for _, c := range b.solids {
			s.solids, s.areas = append(s.solids, c), append(s.areas, area)
		}
		if len(b.solids) > 0 {
			s.whole = s.whole.Union(area)
		}
	}
	s.across = min(mostAcross, 1+int(math.Sqrt(float64(len(s.solids)))))
	s.cells, s.asked = make([][]int, s.across*s.across), make([]int, len(s.solids))
	for i, area := range s.areas {
		s.each(area, func(cell int) { s.cells[cell] = append(s.cells[cell], i) })
	}
	return s
}

// each calls do with every cell that an area touches.
func (s *screen) each(area r2.Rect, do func(cell int)) {
	fromX, toX := s.cellsOf(area.X, s.whole.X)
	fromY, toY := s.cellsOf(area.Y, s.whole.Y)
	for y := fromY; y <= toY; y++ {
		for x := fromX; x <= toX; x++ {
			do(y*s.across + x)
		}
	}
}

// cellsOf are the first and the last cell that an interval touches.
func (s *screen) cellsOf(part, whole r1.Interval) (from, to int) {
	if whole.Length() <= 0 {
		return 0, s.across - 1
	}
	cell := func(v float64) int {
		return int(max(0, min(float64(s.across-1), math.Floor((v-whole.Lo)/whole.Length()*float64(s.across)))))
	}
	return cell(part.Lo), cell(part.Hi)
}

// near are the solids whose areas in the view a segment's may overlap, in their order.
func (s *screen) near(a, b r3.Vector) []convex {
	area := r2.RectFromPoints(s.dir.flat(a), s.dir.flat(b))
	if !area.Intersects(s.whole) {
		return nil
	}
	var found []convex
	s.asking++
	s.each(area, func(cell int) {
		for _, i := range s.cells[cell] {
			if s.asked[i] != s.asking && s.areas[i].Intersects(area) {
				s.asked[i] = s.asking
				found = append(found, s.solids[i])
			}
		}
	})
	return found
}
