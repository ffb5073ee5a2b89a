package search

import (
	"cmp"
	"math"
	"slices"

	"rackwright/pack/search/improve"
	"rackwright/pack/search/model"
)

// candidate is an arrangement with its spare and the number of the start that made it. Places are
// nil where a start made nothing of use. The number settles ties, so that results do not depend on
// which worker was first.
type candidate struct {
	spots []model.Spot
	spare float64
	early *candidate // what it was before other planes were tried; nil if it is that
	tight []int      // boxes that limit the spare, as far as known
	start int
	entry known // whether it goes in
}

// known is what is known of a question. Unasked is also what stays open when the search has to end.
type known int

const (
	unasked known = iota
	no
	yes
)

// pool keeps the best candidates that differ from one another, best first. Limits are small, since
// every candidate is held against all that are kept.
type pool struct {
	m      *model.Model
	prefer []improve.Preference
	limit  int
	best   []candidate
}

// spare is that of the best candidate, −Inf with none.
func (p *pool) spare() float64 {
	if len(p.best) == 0 {
		return math.Inf(-1)
	}
	return p.best[0].spare
}

// add keeps c if it is better than one that a builder would call the same, or among
// the best that differ. Order and twins are settled again for each: a new one may stand between two
// that differ.
func (p *pool) add(c candidate) {
	alike := slices.IndexFunc(p.best, func(o candidate) bool { return alike(p.m, o.spots, c.spots) })
	if alike >= 0 {
		if p.best[alike].spare >= c.spare {
			return
		}
		p.best = slices.Delete(p.best, alike, alike+1)
	}
	p.best = append(p.best, c)
	slices.SortStableFunc(p.best, p.rank)
	p.dropAlike(c)
	p.best = p.best[:min(len(p.best), p.limit)]
}

// rank compares candidates: the greater spare first, then as preferred, then the earlier. Rounded
// to the tie, so that it is an order: pairs within a tie of each other need not be so in a chain.
func (p *pool) rank(a, b candidate) int {
	if c := cmp.Compare(math.Round(b.spare/improve.Tie), math.Round(a.spare/improve.Tie)); c != 0 {
		return c
	}
	for _, want := range p.prefer {
		if c := cmp.Compare(math.Round(improve.Measure(p.m, want, a.spots)/improve.Tie), math.Round(improve.Measure(p.m, want, b.spots)/improve.Tie)); c != 0 {
			return c
		}
	}
	return cmp.Compare(a.start, b.start)
}

// dropAlike removes what is like c and worse: c may stand between two that differ. It is told by
// its start, which is its own.
func (p *pool) dropAlike(c candidate) {
	seen := false
	p.best = slices.DeleteFunc(p.best, func(o candidate) bool {
		if o.start == c.start {
			seen = true
			return false
		}
		return seen && alike(p.m, o.spots, c.spots)
	})
}

// alike tells whether a builder would call two arrangements the same: boxes of each
// kind can be matched so that each stands alike and is within half its smallest side
// of its match. Turns that leave the case as it is do not count: posts may look elsewhere.
func alike(m *model.Model, a, b []model.Spot) bool { return match(m, a, b, (*model.Pose).SameCase) }

// match tells whether boxes of each kind can be matched so that the poses of each pair are
// alike and the places within half the smallest side. Boxes are matched greedily, nearest
// first. Greedy may miss a matching that there is; the layout is then kept as another one, which
// does no harm.
func match(m *model.Model, a, b []model.Spot, alike func(p, q *model.Pose) bool) bool {
	used := make([]bool, len(b))
	for i, s := range a {
		match, near := -1, math.Inf(1)
		for j, t := range b {
			if used[j] || m.Boxes[i].Kind != m.Boxes[j].Kind || !alike(m.PoseOf(i, s), m.PoseOf(j, t)) {
				continue
			}
			if d := s.At.Sub(t.At).Norm(); d < near {
				match, near = j, d
			}
		}
		if match < 0 || near > smallSide(m, i)/2 {
			return false
		}
		used[match] = true
	}
	return true
}

// smallSide is the least of a box's three sizes, in mm.
func smallSide(m *model.Model, i int) float64 {
	s := m.Kinds[m.Boxes[i].Kind].Size
	return min(s.X, s.Y, s.Z)
}
