package start

import "rackwright/pack/search/model"

// hold remembers, of the pairing of two boxes, which planes last left enough: of apart, of each
// clause, and of the tools over the posts of the first box and of the second. It only says where to
// look first (model.Clause.Lack); what it holds never changes a result.
type hold struct {
	apart   uint8
	clauses []uint8
	tools   [2][]uint8
}

// newHold makes room for it, for two boxes of so many posts.
func newHold(first, second int) hold {
	clauses := (1 + first) * (1 + second)
	all := make([]uint8, clauses+first+second)
	return hold{clauses: all[:clauses], tools: [2][]uint8{all[clauses : clauses+first], all[clauses+first:]}}
}

// cost is the weighted sum of what box i lacks at a spot; it stops early above limit.
//
// The order of what is looked at is chosen so that dear spots show themselves soon: walls, then the
// boxes that have shown it before, then the solids of the frame, then the tools.
func (s *separator) cost(i int, at model.Spot, limit float64) float64 {
	kind := s.m.Boxes[i].Kind
	s.work.Relations(len(s.m.Walls[kind][at.Pose]) + len(s.m.Solids[kind][at.Pose]) + len(s.spots))
	// Of the relations with the frame.
	weight := s.weight[i][i]
	sum := weight * s.wallLack(kind, at)
	order := s.order[i]
	for k, j := range order {
		if sum > limit {
			return sum
		}
		weight := s.pairWeight(i, j)
		if lack := s.pairLack(i, at, j, (limit-sum)/weight); lack > 0 {
			// The box that was too much comes first next time.
			if sum += weight * lack; sum > limit {
				copy(order[1:], order[:k])
				order[0] = j
			}
		}
	}
	if sum > limit {
		return sum
	}
	sum += weight * s.guarded(kind, at.Pose).lack(at.At, s.enough, (limit-sum)/weight)
	// Tools come last: they are the least urgent.
	if s.m.Reach != nil && sum <= limit {
		sum += weight * s.tools(kind, at.Pose).lack(at.At, 0, (limit-sum)/weight)
	}
	return sum
}

// wallLack is what a box of a kind lacks at a spot from the half-spaces around the opening. In mm,
// summed over the walls: a box in a corner lacks on both sides.
func (s *separator) wallLack(kind int, at model.Spot) float64 {
	sum := 0.0
	walls := s.m.Walls[kind][at.Pose]
	for k := range walls {
		if l := walls[k].Lack(at.At, s.enough); l > 0 {
			sum += l
		}
	}
	return sum
}

// pairWeight is the weight of two boxes, in either order.
func (s *separator) pairWeight(i, j int) float64 { return s.weight[max(i, j)][min(i, j)] }

// frameLack is what a box of a kind lacks at a spot from what of the frame leaves it least.
func (s *separator) frameLack(kind int, at model.Spot) float64 {
	lack := s.guarded(kind, at.Pose).most(at.At, s.enough)
	for k := range s.m.Walls[kind][at.Pose] {
		lack = max(lack, s.m.Walls[kind][at.Pose][k].Lack(at.At, s.enough))
	}
	return lack
}

// pairLack is what boxes i and j lack; it stops early above limit. Where Apart leaves enough, so do
// all clauses and tools, which is the case of most pairs.
func (s *separator) pairLack(i int, at model.Spot, j int, limit float64) float64 {
	// What is remembered is by the box that moves and the one that stays.
	pair, held, o := s.m.PairingIn(j, s.spots[j], i, at), &s.beside[i][j], model.OffsetOf(at.At.Sub(s.spots[j].At))
	if pair.Apart.Lack(&o, &held.apart, max(0, s.enough)) == 0 {
		return 0
	}
	sum, _ := toolLack(pair, &o, held)
	for k := range pair.Clauses {
		if sum > limit {
			return sum
		}
		sum += pair.Clauses[k].Lack(&o, &held.clauses[k], s.enough)
	}
	return sum
}

// toolLack is how far each of two boxes is in the way of the tools over the other's posts:
// the lesser of the two, and which it is. Connecting one of them first is enough, so the lesser
// counts. Tools ask for no spare.
func toolLack(p *model.Pairing, o *model.Offset, held *hold) (least float64, which int) {
	for k, clauses := range p.Tools {
		sum := 0.0
		for c := range clauses {
			sum += clauses[c].Lack(o, &held.tools[k][c], 0)
		}
		if sum == 0 {
			return 0, k
		}
		if k == 0 || sum < least {
			least, which = sum, k
		}
	}
	return least, which
}
