package survey

import (
	"math"
	"math/rand/v2"
	"slices"

	"github.com/golang/geo/r2"
	"gonum.org/v1/gonum/mat"
)

// Plan is which distances to tape.
type Plan struct {
	Pairs []Pair
	// Fewest tells whether no fewer would do; else none fewer were found.
	Fewest bool
	// Least is the least redundancy number of all measurements then, those taken included.
	Least float64
}

// Limits of the search for a plan.
const (
	mostTried = 4000 // sets of distances, where all of a size are tried
	mostWork  = 3e8  // multiplications, where not all are
	planStart = 3    // starts of that
	mostMoves = 25   // of a network that is small enough to look for less than grow gives: 14 marks
)

// Plan returns the fewest distances after which the network is fixed and every measurement,
// those taken before included, is checked. Of plans with as many it takes one whose worst
// checked measurement is checked well. Marks are about where at says. The distances are taken
// to have a standard deviation of sd. It is false where all distances together do not check
// everything.
func (n *Network) Plan(at []r2.Point, sd float64) (Plan, bool) {
	p := n.planner(at, sd)
	if p.moves == 0 {
		return Plan{Fewest: true, Least: 1}, true
	}
	all := make([]int, len(p.pairs))
	for i := range all {
		all[i] = i
	}
	if p.judge(all).bad() {
		return Plan{}, false
	}
	least, most := p.fewest(), p.grow()
	fewest := true
	for size := least; size <= len(most.set); size++ {
		best, tried := p.tryAll(size)
		if !tried && p.moves <= mostMoves {
			best = p.improve(size)
		}
		if size == len(most.set) && (best.set == nil || most.better(best)) {
			best = most
		}
		if best.set != nil {
			return p.plan(best, fewest), true
		}
		fewest = fewest && tried
	}
	return p.plan(most, fewest), true
}

// planner holds the rows of what is measured and of what may be.
type planner struct {
	pairs []Pair
	taken [][]float64
	rows  [][]float64 // of the pairs
	moves int
}

// set is distances to tape, and what is then checked.
type set struct {
	set       []int
	unfixed   int // movements that nothing holds
	unchecked int
	least     float64
}

func (s set) bad() bool { return s.unfixed+s.unchecked > 0 }

// better tells whether a set is better than another of as many.
func (s set) better(o set) bool {
	switch {
	case s.unfixed != o.unfixed:
		return s.unfixed < o.unfixed
	case s.unchecked != o.unchecked:
		return s.unchecked < o.unchecked
	}
	return s.least > o.least*(1+1e-9)
}

func (n *Network) planner(at []r2.Point, sd float64) *planner {
	s := n.placed(state{at: at}, false)
	basis := n.allowed(s)
	p := &planner{pairs: n.untaped()}
	rows := func(list []Measurement) [][]float64 {
		if len(list) == 0 {
			return nil
		}
		net := *n
		net.Measurements = list
		design, _ := net.design(s, basis)
		out := make([][]float64, len(list))
		for i := range out {
			out[i] = mat.Row(nil, i, design)
		}
		return out
	}
	_, p.moves = basis.Dims()
	var may []Measurement
	for _, pair := range p.pairs {
		may = append(may, Measurement{From: pair.From, To: pair.To, SD: sd})
	}
	p.taken, p.rows = rows(n.Measurements), rows(may)
	return p
}

// fewest is how many distances no plan can do without: one for each movement that nothing
// holds, and one more, for else none of them would be checked.
func (p *planner) fewest() int {
	now := p.judge(nil)
	switch {
	case now.unfixed > 0:
		return now.unfixed + 1
	case now.unchecked > 0:
		return 1
	}
	return 0
}

// judge works out what a set of distances checks.
func (p *planner) judge(list []int) set {
	rows := append([][]float64{}, p.taken...)
	for _, i := range list {
		rows = append(rows, p.rows[i])
	}
	out := set{set: list, least: 1}
	if len(rows) == 0 {
		out.unfixed = p.moves
		return out
	}
	design := mat.NewDense(len(rows), p.moves, nil)
	for i, r := range rows {
		design.SetRow(i, r)
	}
	var svd mat.SVD
	svd.Factorize(design, mat.SVDThin)
	var u mat.Dense
	svd.UTo(&u)
	values := svd.Values(nil)
	rank := 0
	for _, v := range values {
		if v > fixedness*values[0] {
			rank++
		}
	}
	out.unfixed = p.moves - rank
	for i := range rows {
		checked := 1.0
		for k := range rank {
			checked -= square(u.At(i, k))
		}
		if checked < CheckedFrom {
			out.unchecked++
		}
		out.least = min(out.least, checked)
	}
	return out
}

// grow adds one distance after the other: first the one whose length is least known, until
// the network is fixed, then the one after which the most are checked. At last those are left
// out again that are not needed.
func (p *planner) grow() set {
	q := p.unknown()
	var list []int
	for range p.judge(nil).unfixed {
		best, most := -1, 0.0
		for i, row := range p.rows {
			if v := q.of(row); v > most && !slices.Contains(list, i) {
				best, most = i, v
			}
		}
		if best < 0 {
			break
		}
		list = append(list, best)
		q.learn(p.rows[best])
	}
	for now := p.judge(list); now.bad() && len(list) < len(p.rows); now = p.judge(list) {
		i := p.mostChecking(q, list)
		list = append(list, i)
		q.learn(p.rows[i])
	}
	for k := len(list) - 1; k >= 0; k-- {
		if less := slices.Delete(slices.Clone(list), k, k+1); !p.judge(less).bad() {
			list = less
		}
	}
	return p.judge(list)
}

// mostChecking is the distance after which most of what is taken would be checked; of equals
// the one that leaves the least known best.
func (p *planner) mostChecking(q *uncertainty, list []int) int {
	taken := append([][]float64{}, p.taken...)
	for _, i := range list {
		taken = append(taken, p.rows[i])
	}
	best, most := -1, -1.0
	for i, row := range p.rows {
		if slices.Contains(list, i) {
			continue
		}
		spread, into := q.times(row), 0.0
		whole := 1 + dot(row, spread)
		for _, other := range taken {
			checked := 1 - q.of(other) + square(dot(other, spread))/whole
			into += min(checked, CheckedFrom)
		}
		into += min(1/whole, CheckedFrom) // the distance itself
		if into > most*(1+1e-9) {
			best, most = i, into
		}
	}
	return best
}

// uncertainty is the covariance of the movements, those that nothing holds yet uncertain by
// far more than any.
type uncertainty struct{ q *mat.SymDense }

func (p *planner) unknown() *uncertainty {
	u := &uncertainty{mat.NewSymDense(p.moves, nil)}
	scale := 0.0
	for _, row := range p.rows {
		scale = max(scale, dot(row, row))
	}
	const far = 1e8 // more: rounding takes over
	for i := range p.moves {
		u.q.SetSym(i, i, far/scale)
	}
	for _, row := range p.taken {
		u.learn(row)
	}
	return u
}

func (u *uncertainty) times(row []float64) []float64 {
	var v mat.VecDense
	v.MulVec(u.q, mat.NewVecDense(len(row), row))
	return v.RawVector().Data
}

// of is the variance of a distance over that of taping it.
func (u *uncertainty) of(row []float64) float64 { return dot(row, u.times(row)) }

// learn takes a distance as taped (the rank-one change of Sherman and Morrison).
func (u *uncertainty) learn(row []float64) {
	v := u.times(row)
	u.q.SymRankOne(u.q, -1/(1+dot(row, v)), mat.NewVecDense(len(v), v))
}

// tryAll tries all sets of a size, where they are few enough to.
func (p *planner) tryAll(size int) (best set, tried bool) {
	if size == 0 {
		if s := p.judge(nil); !s.bad() {
			s.set = []int{}
			return s, true
		}
		return set{}, true
	}
	if ways(len(p.pairs), size) > mostTried {
		return set{}, false
	}
	list := make([]int, size)
	for i := range list {
		list[i] = i
	}
	for {
		if s := p.judge(list); !s.bad() && (best.set == nil || s.better(best)) {
			s.set = append([]int{}, list...)
			best = s
		}
		if !next(list, len(p.pairs)) {
			return best, true
		}
	}
}

// ways is how many sets of a size there are.
func ways(of, size int) float64 {
	product := 1.0
	for i := range size {
		product *= float64(of-i) / float64(i+1)
	}
	return product
}

// next goes on to the next set in order; false after the last.
func next(list []int, of int) bool {
	size := len(list)
	for i := size - 1; i >= 0; i-- {
		if list[i] < of-size+i {
			list[i]++
			for k := i + 1; k < size; k++ {
				list[k] = list[k-1] + 1
			}
			return true
		}
	}
	return false
}

// improve looks for a set of a size by exchanging one distance after the other, from random
// starts; nothing where that leads to none.
func (p *planner) improve(size int) set {
	g := rand.New(rand.NewPCG(2, uint64(size)))
	work := float64(len(p.taken)+size) * square(float64(p.moves)) * 4
	budget := int(mostWork / work / planStart)
	var best set
	for range planStart {
		order := g.Perm(len(p.pairs))
		if now := p.exchange(order, size, max(budget, 50)); !now.bad() && (best.set == nil || now.better(best)) {
			best = now
		}
	}
	return best
}

// exchange swaps distances of the first of an order against the others as long as that helps.
func (p *planner) exchange(order []int, size, budget int) set {
	now := p.judge(order[:size])
	for helped := true; helped; {
		helped = false
		for i := range size {
			for k := size; k < len(order); k++ {
				if budget--; budget < 0 {
					now.set = append([]int{}, order[:size]...)
					return now
				}
				order[i], order[k] = order[k], order[i]
				if other := p.judge(order[:size]); other.better(now) {
					now, helped = other, true
				} else {
					order[i], order[k] = order[k], order[i]
				}
			}
		}
	}
	now.set = append([]int{}, order[:size]...)
	return now
}

func (p *planner) plan(s set, fewest bool) Plan {
	out := Plan{Fewest: fewest || len(s.set) == p.fewest(), Least: math.Max(s.least, 0)}
	for i := range p.pairs {
		for _, k := range s.set {
			if i == k {
				out.Pairs = append(out.Pairs, p.pairs[i])
			}
		}
	}
	return out
}
