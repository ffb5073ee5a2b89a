package wire

import (
	"maps"
	"math"
	"slices"
)

// fuseStrings leaves the pluses of strings to leads of their own.
func (j *joints) fuseStrings() {
	if j.strings < 2 {
		return
	}
	j.fused, j.plus = true, make([][]float64, j.n)
	for i := range j.plus {
		j.plus[i] = make([]float64, j.n)
	}
}

// bestStrings goes through all ways to part the batteries into strings, to order each, and to
// join their ends one to the next: first the cheapest string of every set by its two ends,
// then dynamic programming over the set of batteries that are in and the ends of the last.
func (j *joints) bestStrings() []int {
	one := j.everyString()
	sets := subsets(j.n, j.series)
	layers := []map[uint32][]ends{{0: {{}}}}
	for s := range j.strings {
		next := map[uint32][]ends{}
		for _, before := range slices.Sorted(maps.Keys(layers[s])) {
			join := j.joinedTo(before, layers[s][before])
			for _, set := range sets {
				if before&set == 0 {
					one.extend(next, before, set, join)
				}
			}
		}
		layers = append(layers, next)
	}
	set, at := uint32(1)<<j.n-1, 0
	for k, e := range layers[j.strings][set] {
		if e.cost < layers[j.strings][set][at].cost {
			at = k
		}
	}
	var order []int
	for s := j.strings; s > 0; s-- {
		e := layers[s][set][at]
		order = append(one.order(e.part, at/j.n, at%j.n), order...)
		set, at = set&^e.part, e.from
	}
	return order
}

// ends is the cheapest way to have some batteries in, by the two ends of the last string: its
// index is first · n + last.
type ends struct {
	cost float64
	part uint32 // the last string
	from int    // the ends of the one before
}

// joinedTo is, for every two ends of a next string, the cheapest way to join it to what is in.
// It takes the least over the first batteries first, which are joined by their minuses, then
// over the last, which are by their pluses.
func (j *joints) joinedTo(before uint32, last []ends) []ends {
	n := j.n
	out := make([]ends, n*n)
	if before == 0 {
		return out
	}
	half := make([]ends, n*n) // by the first of the next string, and the last of the one before
	for i := range out {
		out[i].cost, half[i].cost = math.Inf(1), math.Inf(1)
	}
	for at, e := range last {
		for first := 0; first < n && !math.IsInf(e.cost, 1); first++ {
			if c := e.cost + j.minus[at/n][first]; c < half[first*n+at%n].cost {
				half[first*n+at%n] = ends{cost: c, from: at}
			}
		}
	}
	for at, e := range half {
		for end := 0; end < n && !math.IsInf(e.cost, 1); end++ {
			if c := e.cost + j.plus[at%n][end]; c < out[at/n*n+end].cost {
				out[at/n*n+end] = ends{cost: c, from: e.from}
			}
		}
	}
	return out
}

// everyString is the cheapest string through every set of batteries, by its first and its last.
type everyString struct {
	n     int
	least []float64
	via   []int8
}

func (j *joints) everyString() everyString {
	n := j.n
	e := everyString{n, make([]float64, n*n<<n), make([]int8, n*n<<n)}
	for i := range e.least {
		e.least[i] = math.Inf(1)
	}
	for i := range n {
		e.least[e.at(1<<i, i, i)] = 0
	}
	for set := uint32(1); set < 1<<n; set++ {
		in := members(set)
		if len(in) >= j.series {
			continue
		}
		for _, start := range in {
			for _, end := range in {
				c := e.least[e.at(set, start, end)]
				for next := 0; next < n && !math.IsInf(c, 1); next++ {
					k := e.at(set|1<<next, start, next)
					if sum := c + j.link[end][next]; set>>next&1 == 0 && sum < e.least[k] {
						e.least[k], e.via[k] = sum, int8(end)
					}
				}
			}
		}
	}
	return e
}

func (e everyString) at(set uint32, start, end int) int { return (int(set)*e.n+start)*e.n + end }

func (e everyString) cost(set uint32, start, end int) float64 { return e.least[e.at(set, start, end)] }

func (e everyString) order(set uint32, start, end int) []int {
	if set == 1<<end {
		return []int{end}
	}
	before := int(e.via[e.at(set, start, end)])
	return append(e.order(set&^(1<<end), start, before), end)
}

// extend adds a string of a set, with every two ends, to what is in before.
func (e everyString) extend(next map[uint32][]ends, before, set uint32, join []ends) {
	all := next[before|set]
	if all == nil {
		all = make([]ends, e.n*e.n)
		for i := range all {
			all[i].cost = math.Inf(1)
		}
		next[before|set] = all
	}
	in := members(set)
	for _, start := range in {
		for _, end := range in {
			at := start*e.n + end
			if c := join[at].cost + e.cost(set, start, end); c < all[at].cost {
				all[at] = ends{cost: c, part: set, from: join[at].from}
			}
		}
	}
}
