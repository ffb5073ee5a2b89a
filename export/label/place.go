package label

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r2"
)

// Label is what is to be written about one thing.
type Label struct {
	// Owner is what it names: it may stand where that is seen. Nothing: it stands beside what it is of.
	Owner int
	// Sizes are those of its wordings, the best first. The last is the one that stands away from
	// what it names.
	Sizes []r2.Point
	// Anchors are points of what it is of, at least one, for its leader to end at.
	Anchors []r2.Point
	// Over tells that it may stand on other things, as a number beside its gap may.
	Over bool
	// Optional tells that it is left out where there is no room near what it is of.
	Optional bool
}

// Place is where a label stands.
type Place struct {
	Area    r2.Rect
	Wording int
	// Leader is the line from the words to what they are of, none where they stand on it.
	Leader []r2.Point
	Aside  bool // in the column
	Out    bool // left out
}

// Costs of what words had better not do, in units of the picture.
const (
	inkCost     = 5.0 // for each cell with a line that they lie on
	wordingCost = 12.0
	overCost    = 40.0 // for lying on something
	crossCost   = 90.0 // for a leader through words
)

// reach is how far words may stand from what they are of.
const reach = 66.0

// Placed are the places of labels, and how wide the column is that some of them stand in, 0 where
// none does. The column begins at columnX; its labels stand below top as far as they can.
func (m *Map) Placed(labels []Label, columnX, top float64) (places []Place, column float64) {
	places = make([]Place, len(labels))
	var left, aside []int
	for _, i := range m.rarest(labels) {
		if p, ok := m.on(labels[i]); ok {
			m.Block(p.Area)
			places[i] = p
			continue
		}
		left = append(left, i)
	}
	slices.Sort(left)
	for _, i := range left {
		if p, ok := m.near(labels[i]); ok {
			m.Block(p.Area)
			places[i] = p
			continue
		}
		if labels[i].Optional {
			places[i].Out = true
			continue
		}
		aside = append(aside, i)
	}
	for _, i := range aside {
		column = max(column, last(labels[i].Sizes).X)
	}
	m.stack(labels, aside, columnX, top, places)
	return places, column
}

func last(sizes []r2.Point) r2.Point { return sizes[len(sizes)-1] }

// rarest are the numbers of labels, those first whose owner is seen least.
func (m *Map) rarest(labels []Label) []int {
	seen := map[int]int{}
	for _, o := range m.owner {
		seen[o]++
	}
	order := make([]int, len(labels))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(seen[labels[a].Owner], seen[labels[b].Owner]) })
	return order
}

// on finds the best place on what a label names.
func (m *Map) on(l Label) (Place, bool) {
	if l.Owner == Nothing {
		return Place{}, false
	}
	barred := m.sums(func(i int) int {
		if m.owner[i] != l.Owner {
			return 1
		}
		return m.taken[i]
	})
	ink := m.drawn()
	middle := m.centre(l.Owner)
	best, least := Place{}, math.Inf(1)
	for w, size := range l.Sizes {
		m.each(size, barred, func(area r2.Rect, x, y, wide, high int) {
			cost := inkCost*float64(ink.in(x, y, wide, high)) + area.Center().Sub(middle).Norm()/4 + wordingCost*float64(w)
			if cost < least {
				best, least = Place{Area: area, Wording: w}, cost
			}
		})
	}
	return best, !math.IsInf(least, 1)
}

// centre is the middle of the cells of an owner.
func (m *Map) centre(owner int) r2.Point {
	var sum r2.Point
	n := 0.0
	for i, o := range m.owner {
		if o == owner {
			sum, n = sum.Add(m.middle(i)), n+1
		}
	}
	return sum.Mul(1 / max(n, 1))
}

// each visits all areas of a size in which nothing is barred.
func (m *Map) each(size r2.Point, barred sums, visit func(area r2.Rect, x, y, wide, high int)) {
	wide, high := int(math.Ceil(size.X/Cell)), int(math.Ceil(size.Y/Cell))
	for y := 0; y+high <= m.rows; y++ {
		for x := 0; x+wide <= m.cols; x++ {
			if barred.in(x, y, wide, high) == 0 {
				lo := m.area.Lo().Add(r2.Point{X: float64(x) * Cell, Y: float64(y) * Cell})
				middle := lo.Add(r2.Point{X: float64(wide) * Cell / 2, Y: float64(high) * Cell / 2})
				visit(r2.RectFromCenterSize(middle, size), x, y, wide, high)
			}
		}
	}
}

// near finds the best place beside what a label is of.
func (m *Map) near(l Label) (Place, bool) {
	barred := m.sums(func(i int) int {
		if !l.Over && m.owner[i] != Nothing {
			return 1
		}
		return m.taken[i]
	})
	ink, over := m.drawn(), m.covered()
	w := len(l.Sizes) - 1
	bounds := r2.RectFromPoints(l.Anchors...).ExpandedByMargin(reach)
	best, least := Place{}, math.Inf(1)
	m.each(l.Sizes[w], barred, func(area r2.Rect, x, y, wide, high int) {
		if !bounds.Intersects(area) {
			return
		}
		drawn := ink.in(x, y, wide, high)
		if !l.Over && drawn > 0 {
			return
		}
		for _, a := range l.Anchors {
			from := area.ClampPoint(a)
			away := from.Sub(a).Norm()
			if away > reach || away < Cell {
				continue
			}
			cost := inkCost*float64(drawn) + away
			if over.in(x, y, wide, high) > 0 {
				cost += overCost
			}
			if cost >= least {
				continue
			}
			if cost += crossCost * m.crossed(from, a); cost < least {
				best, least = Place{Area: area, Wording: w, Leader: []r2.Point{from, a}}, cost
			}
		}
	})
	return best, least < crossCost || l.Over && !math.IsInf(least, 1)
}

// crossed counts the words that a segment runs through.
func (m *Map) crossed(a, b r2.Point) float64 {
	n := 0.0
	for _, area := range m.written {
		if Meets(a, b, area) {
			n++
		}
	}
	return n
}

// Meets tells whether a segment has a point within a rectangle.
func Meets(a, b r2.Point, area r2.Rect) bool {
	if max(a.X, b.X) <= area.X.Lo || min(a.X, b.X) >= area.X.Hi || max(a.Y, b.Y) <= area.Y.Lo || min(a.Y, b.Y) >= area.Y.Hi {
		return false
	}
	lo, hi := 0.0, 1.0
	d := b.Sub(a)
	for _, side := range [...][4]float64{{a.X, d.X, area.X.Lo, area.X.Hi}, {a.Y, d.Y, area.Y.Lo, area.Y.Hi}} {
		at, step, from, to := side[0], side[1], side[2], side[3]
		if step == 0 {
			if at <= from || at >= to {
				return false
			}
			continue
		}
		s, t := (from-at)/step, (to-at)/step
		lo, hi = max(lo, min(s, t)), min(hi, max(s, t))
	}
	return lo < hi
}
