package survey

import "github.com/golang/geo/r2"

// hinge is two marks and a part of the network that hangs on nothing else: distances allow
// it on either side of the line through the two.
type hinge struct {
	on   Pair
	part []int
}

// hinges are all of them. Of the parts that hang on two marks each is one, for turning over
// the last instead of the others leaves the network's mirror image.
func (n *Network) hinges() []hinge {
	beside := make([][]int, len(n.Marks))
	for _, m := range n.Measurements {
		if m.Sort != Height {
			beside[m.From] = append(beside[m.From], m.To)
			beside[m.To] = append(beside[m.To], m.From)
		}
	}
	var list []hinge
	for a := range n.Marks {
		for b := a + 1; b < len(n.Marks); b++ {
			if parts := partsWithout(beside, a, b); len(parts) > 1 {
				for _, part := range parts {
					list = append(list, hinge{Pair{a, b}, part})
				}
			}
		}
	}
	return list
}

// partsWithout are the connected parts of a graph without two of its nodes.
func partsWithout(beside [][]int, a, b int) [][]int {
	seen := make([]bool, len(beside))
	seen[a], seen[b] = true, true
	var parts [][]int
	for start := range beside {
		if seen[start] {
			continue
		}
		seen[start] = true
		part := []int{start}
		for k := 0; k < len(part); k++ {
			for _, next := range beside[part[k]] {
				if !seen[next] {
					seen[next] = true
					part = append(part, next)
				}
			}
		}
		parts = append(parts, part)
	}
	return parts
}

// turned is a state with the part of a hinge on the other side of its line.
func (h hinge) turned(s state) state {
	out := s.clone()
	a, d := s.at[h.on.From], s.at[h.on.To].Sub(s.at[h.on.From])
	if d.Norm() == 0 {
		return out
	}
	n := r2.Point{X: -d.Y, Y: d.X}.Normalize()
	for _, i := range h.part {
		out.at[i] = s.at[i].Sub(n.Mul(2 * n.Dot(s.at[i].Sub(a))))
	}
	return out
}
