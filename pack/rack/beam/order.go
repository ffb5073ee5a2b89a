package beam

import (
	"cmp"
	"slices"
)

// neighbours lists, for each node, those that something joins it to.
func (m *Model) neighbours() [][]int {
	list := make([][]int, len(m.nodes))
	link := func(a, b int) {
		if a != Ground && b != Ground && a != b {
			list[a], list[b] = append(list[a], b), append(list[b], a)
		}
	}
	for _, b := range m.members {
		link(b.from, b.to)
	}
	for _, j := range m.joints {
		link(j.A, j.B)
	}
	for _, c := range m.contacts {
		link(c.A, c.B)
	}
	for n := range list {
		slices.Sort(list[n])
		list[n] = slices.Compact(list[n])
	}
	return list
}

// ordered numbers the nodes so that those that are joined are near each other.
//
// Algorithm: E. Cuthill and J. McKee, Reducing the bandwidth of sparse symmetric matrices,
// Proceedings of the 24th ACM national conference (1969) 157–172.
func (m *Model) ordered() []int {
	near := m.neighbours()
	degree := func(a, b int) int { return cmp.Or(cmp.Compare(len(near[a]), len(near[b])), cmp.Compare(a, b)) }
	seen := make([]bool, len(m.nodes))
	starts := make([]int, len(m.nodes))
	for n := range starts {
		starts[n] = n
	}
	slices.SortFunc(starts, degree)
	var order []int
	for _, start := range starts {
		if seen[start] {
			continue
		}
		queue := []int{start}
		seen[start] = true
		for len(queue) > 0 {
			n := queue[0]
			queue = queue[1:]
			order = append(order, n)
			next := slices.SortedFunc(slices.Values(near[n]), degree)
			for _, o := range next {
				if !seen[o] {
					seen[o] = true
					queue = append(queue, o)
				}
			}
		}
	}
	return order
}

// reach is the greatest difference of two unknowns that something joins.
func (s *system) reach() int {
	most := 5
	for n, list := range s.model.neighbours() {
		for _, o := range list {
			for _, i := range s.index[n] {
				for _, j := range s.index[o] {
					if i >= 0 && j >= 0 {
						most = max(most, i-j, j-i)
					}
				}
			}
		}
	}
	return min(most, max(0, s.size-1))
}
