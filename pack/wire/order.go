package wire

import (
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"
)

// joints are how batteries are to be joined, by what every joint would cost.
type joints struct {
	n                         int
	series, parallel, strings int
	link                      [][]float64 // from the plus of i to the minus of j
	plus, minus               [][]float64 // between posts of one polarity, for what is in parallel
	// fused tells that the pluses of strings are not joined here: each has a fuse and a lead of
	// its own to where they meet. Their costs are then 0.
	fused bool
}

// mostExact is up to how many batteries all orders are gone through.
const mostExact = 16

// best returns the cheapest order, and whether that is proven. An order lists the batteries
// one after the other: the groups of parallel ones, or the strings, one behind the other.
func (j *joints) best() ([]int, bool) {
	switch {
	case j.n > mostExact:
		return j.searched(), false
	case j.strings > 1:
		return j.bestStrings(), true
	}
	return j.bestGroups(), true
}

// cost is what an order costs in all.
func (j *joints) cost(order []int) float64 {
	sum := 0.0
	j.join(order, func(t joint) { sum += j.of(t) })
	return sum
}

// joint is one jumper of an order: between which batteries, and by which posts.
type joint struct {
	from, to int
	between  polarity
}

type polarity int

const (
	plusToMinus polarity = iota
	plusToPlus
	minusToMinus
)

func (j *joints) of(t joint) float64 {
	switch t.between {
	case plusToPlus:
		return j.plus[t.from][t.to]
	case minusToMinus:
		return j.minus[t.from][t.to]
	}
	return j.link[t.from][t.to]
}

// joined lists the jumpers of an order.
func (j *joints) joined(order []int) []joint {
	var all []joint
	j.join(order, func(t joint) { all = append(all, t) })
	return all
}

// join goes through the jumpers of an order. Within a group each battery is joined to the next by
// both polarities; from one group to the next goes the cheapest link. Strings are joined at
// both ends, each to the next.
func (j *joints) join(order []int, by func(joint)) {
	if j.strings > 1 {
		j.joinStrings(order, by)
		return
	}
	for g := range j.series {
		group := order[g*j.parallel : (g+1)*j.parallel]
		j.within(group, by)
		if g > 0 {
			by(j.between(order[(g-1)*j.parallel:g*j.parallel], group))
		}
	}
}

func (j *joints) joinStrings(order []int, by func(joint)) {
	for s := range j.strings {
		part := order[s*j.series : (s+1)*j.series]
		for i := 1; i < len(part); i++ {
			by(joint{part[i-1], part[i], plusToMinus})
		}
		if s == 0 {
			continue
		}
		before := order[(s-1)*j.series : s*j.series]
		by(joint{before[0], part[0], minusToMinus})
		if !j.fused {
			by(joint{before[len(before)-1], part[len(part)-1], plusToPlus})
		}
	}
}

// within joins a group in its cheapest order by each polarity, or, where there are too many to go
// through, in that of its list.
func (j *joints) within(group []int, by func(joint)) {
	if len(group) == 1 {
		return
	}
	for _, p := range [...]struct {
		way   polarity
		costs [][]float64
	}{{plusToPlus, j.plus}, {minusToMinus, j.minus}} {
		chain := group
		if j.n <= mostExact {
			chain = cheapestChain(group, p.costs)
		}
		for i := 1; i < len(chain); i++ {
			by(joint{chain[i-1], chain[i], p.way})
		}
	}
}

// between is the cheapest link from one group to the next.
func (j *joints) between(a, b []int) joint {
	best := joint{a[0], b[0], plusToMinus}
	if j.parallel == 1 {
		return best
	}
	for _, from := range a {
		for _, to := range b {
			if t := (joint{from, to, plusToMinus}); j.of(t) < j.of(best) {
				best = t
			}
		}
	}
	return best
}

// cheapestChain orders a few things so that the sum of costs from each to the next is least:
// dynamic programming over sets (Held & Karp, Journal of the Society for Industrial and
// Applied Mathematics 10 (1962)). More than mostExact things stay as they are.
func cheapestChain(list []int, cost [][]float64) []int {
	n := len(list)
	if n <= 2 || n > mostExact {
		return list
	}
	at := func(set, last int) int { return set*n + last }
	least, via := make([]float64, n<<n), make([]int, n<<n)
	for i := range least {
		least[i], via[i] = math.Inf(1), -1
	}
	for i := range n {
		least[at(1<<i, i)] = 0
	}
	for set := 1; set < 1<<n; set++ {
		for last := range n {
			c := least[at(set, last)]
			if math.IsInf(c, 1) {
				continue
			}
			for next := range n {
				if set>>next&1 == 1 {
					continue
				}
				k := at(set|1<<next, next)
				if sum := c + cost[list[last]][list[next]]; sum < least[k] {
					least[k], via[k] = sum, last
				}
			}
		}
	}
	set, last := 1<<n-1, 0
	for i := range n {
		if least[at(set, i)] < least[at(set, last)] {
			last = i
		}
	}
	var chain []int
	for set != 0 {
		chain = append(chain, list[last])
		before := via[at(set, last)]
		set &^= 1 << last
		last = max(before, 0)
	}
	slices.Reverse(chain)
	return chain
}

// bestGroups goes through all ways to part the batteries into groups and to order these:
// dynamic programming over the set of batteries that are in, and the one, of the last group,
// that the next link leaves from.
func (j *joints) bestGroups() []int {
	groups := subsets(j.n, j.parallel)
	inner := make([]float64, len(groups))
	steps := newSteps(j.n)
	for k, g := range groups {
		j.within(members(g), func(t joint) { inner[k] += j.of(t) })
		steps.reach(g, step{cost: inner[k], part: g})
	}
	for set := uint32(1); set < 1<<j.n-1; set++ {
		into := steps.linked(set, j.link)
		for k, g := range groups {
			if into == nil || set&g != 0 {
				continue
			}
			best := step{cost: math.Inf(1)}
			for rest := g; rest != 0; rest &= rest - 1 {
				if b := bits.TrailingZeros32(rest); into[b].cost < best.cost {
					best = into[b]
				}
			}
			steps.reach(set|g, step{cost: best.cost + inner[k], part: g, from: best.from})
		}
	}
	return steps.order()
}

// step is the cheapest way to have some batteries in, by the one that the next link leaves from.
type step struct {
	cost float64
	part uint32 // the last group
	from int    // from which battery of the group before the link to it leaves
}

// steps are those of every set, and every battery of its last group.
type steps struct {
	n   int
	all [][]step // by set, then by battery; nil for a set that is not whole groups
}

func newSteps(n int) *steps { return &steps{n, make([][]step, 1<<n)} }

// reach keeps a step for every battery of its group, where it is cheaper than what is known.
func (t *steps) reach(set uint32, s step) {
	if t.all[set] == nil {
		t.all[set] = make([]step, t.n)
		for i := range t.all[set] {
			t.all[set][i].cost = math.Inf(1)
		}
	}
	for rest := s.part; rest != 0; rest &= rest - 1 {
		if at := &t.all[set][bits.TrailingZeros32(rest)]; s.cost < at.cost {
			*at = s
		}
	}
}

// linked is, for every battery that is not in, the cheapest way to link it to a set.
func (t *steps) linked(set uint32, link [][]float64) []step {
	if t.all[set] == nil {
		return nil
	}
	into := make([]step, t.n)
	for b := range into {
		into[b].cost = math.Inf(1)
		for _, a := range members(set) {
			if c := t.all[set][a].cost + link[a][b]; set>>b&1 == 0 && c < into[b].cost {
				into[b] = step{cost: c, from: a}
			}
		}
	}
	return into
}

// order goes back from the cheapest way to have all in.
func (t *steps) order() []int {
	set, at := uint32(1)<<t.n-1, 0
	for b, s := range t.all[set] {
		if s.cost < t.all[set][at].cost {
			at = b
		}
	}
	var order []int
	for set != 0 {
		s := t.all[set][at]
		order = append(members(s.part), order...)
		set, at = set&^s.part, s.from
	}
	return order
}

// subsets are all sets of so many of n things.
func subsets(n, size int) []uint32 {
	var all []uint32
	for s := uint32(1); s < 1<<n; s++ {
		if bits.OnesCount32(s) == size {
			all = append(all, s)
		}
	}
	return all
}

func members(set uint32) []int {
	var list []int
	for i := range bits.Len32(set) {
		if set>>i&1 == 1 {
			list = append(list, i)
		}
	}
	return list
}

// searched orders more batteries than can be gone through: from many random orders, the best
// that reversing a stretch, moving one battery or swapping two leads to.
func (j *joints) searched() []int {
	starts := 640 / j.n // found by trying: some seconds at most
	rng := rand.New(rand.NewPCG(1, uint64(j.n)))
	var best []int
	least := math.Inf(1)
	for range starts {
		order := rng.Perm(j.n)
		cost := j.descend(order)
		if best == nil || cost < least {
			best, least = order, cost
		}
	}
	return best
}

// descend improves an order as long as one change does, and returns its cost.
func (j *joints) descend(order []int) float64 {
	least := j.cost(order)
	try := func(change func([]int)) bool {
		other := slices.Clone(order)
		change(other)
		if c := j.cost(other); c < least-1e-9 {
			copy(order, other)
			least = c
			return true
		}
		return false
	}
	for better := true; better; {
		better = false
		for a := range order {
			for b := range order {
				if a == b {
					continue
				}
				lo, hi := min(a, b), max(a, b)
				better = try(func(o []int) { o[a], o[b] = o[b], o[a] }) ||
					try(func(o []int) { slices.Reverse(o[lo : hi+1]) }) ||
					try(func(o []int) {
						moved := o[a]
						o = slices.Delete(o, a, a+1)
						_ = slices.Insert(o, b, moved)
					}) || better
			}
		}
	}
	return least
}

// never in mm is what a joint counts that cannot be: far more than all that can, and no
// infinity, so that orders with fewer such joints are still told from others.
const never = 1e9

// bestByLongest is the cheapest of the orders in which the longest jumper is as short as can be:
// what is longer than a limit is barred, and the least limit that leaves an order is looked
// for by halving.
func (j *joints) bestByLongest() ([]int, bool) {
	all := slices.Concat(slices.Concat(j.link...), slices.Concat(j.plus...), slices.Concat(j.minus...))
	slices.Sort(all)
	all = slices.Compact(all)
	at, _ := slices.BinarySearchFunc(all, true, func(limit float64, _ bool) int {
		some := j.limited(limit)
		if order, _ := some.best(); some.cost(order) >= never {
			return -1
		}
		return 1
	})
	return j.limited(all[min(at, len(all)-1)]).best()
}

// limited are the joints without those longer than a limit.
func (j *joints) limited(limit float64) *joints {
	cut := func(m [][]float64) [][]float64 {
		out := make([][]float64, len(m))
		for i, row := range m {
			out[i] = slices.Clone(row)
			for k := range row {
				if row[k] > limit {
					out[i][k] = never
				}
			}
		}
		return out
	}
	return &joints{j.n, j.series, j.parallel, j.strings, cut(j.link), cut(j.plus), cut(j.minus), j.fused}
}
