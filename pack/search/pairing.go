package search

import "math"

// pairing is what two poses require of each other, on the position of the second box
// less that of the first.
type pairing struct {
	clauses []clause
	// apart holds, for both ways along each axis of the first pose, a plane that asks for
	// what the most demanding clause asks for there, and one of the two sorts of tools. Where
	// one of them leaves enough, all clauses do: most boxes are that far from each other.
	apart clause
	// tools are, for the first pose and for the second, the clauses that keep the other case
	// out of the way of the tools over its posts. One of the two has to hold: a post that
	// another box will stand before is connected before that box goes in. There are none
	// where that is not asked, or one pose has no posts.
	tools [2][]clause
}

// pairingOf gives the pairing of two poses. It is made when first asked for: a pack of
// many kinds with posts has more pairs of poses than any search looks at.
func (m *model) pairingOf(p, q *pose) *pairing {
	at := &m.pairs[p.id*m.poseCount+q.id]
	if c := at.Load(); c != nil {
		return c
	}
	c := &pairing{clauses: m.pair(p, q), tools: m.toolPair(p, q)}
	planes := 0
	for _, list := range [][]clause{c.clauses, c.tools[0], c.tools[1]} {
		for _, one := range list {
			planes += len(one.planes)
		}
	}
	for k, f := range c.clauses[0].planes[:6] {
		f.d = max(mostAsked(c.clauses, k), min(mostAsked(c.tools[0], k), mostAsked(c.tools[1], k)))
		c.apart.planes = append(c.apart.planes, f)
	}
	c.apart.square, c.apart.isSquare = squareOf(c.apart.planes)
	if m.stored.Add(int64(planes)) <= maxStored {
		at.Store(c)
	}
	return c
}

// mostAsked is what plane k of the most demanding clause asks for, of clauses whose first
// planes are along the same axes.
func mostAsked(clauses []clause, k int) float64 {
	most := math.Inf(-1)
	for _, c := range clauses {
		most = max(most, c.planes[k].d)
	}
	return most
}

// pair makes the clauses: that of the cases first, then those with posts. The first six
// planes of each are along the axes of p.
func (m *model) pair(p, q *pose) []clause {
	g := m.problem.Pack.Gaps
	clauses := []clause{between(p, 0, q, 0, caseGap(g))}
	for i := range p.parts {
		for j := range q.parts {
			switch {
			case i == 0 && j == 0:
			case i == 0 || j == 0:
				clauses = append(clauses, between(p, i, q, j, constant(g.Boot)))
			default:
				clauses = append(clauses, between(p, i, q, j, constant(g.Post)))
			}
		}
	}
	return clauses
}

// toolPair makes the clauses of the tools.
func (m *model) toolPair(p, q *pose) (tools [2][]clause) {
	if m.bars == nil || len(m.bars[p.id]) == 0 || len(m.bars[q.id]) == 0 {
		return tools
	}
	for _, bar := range m.bars[p.id] {
		tools[0] = append(tools[0], between(bar, 0, q, 0, constant(0)))
	}
	for _, bar := range m.bars[q.id] {
		tools[1] = append(tools[1], between(p, 0, bar, 0, constant(0)))
	}
	return tools
}

func (m *model) pairingIn(i int, a spot, j int, b spot) *pairing {
	return m.pairingOf(m.poseOf(i, a), m.poseOf(j, b))
}

// pairClauses are those of boxes i and j in their spots, on j's place less i's.
func (m *model) pairClauses(i int, a spot, j int, b spot) []clause {
	return m.pairingIn(i, a, j, b).clauses
}

// pairLeft is the spare between boxes i and j.
func (m *model) pairLeft(i int, a spot, j int, b spot) float64 {
	d := b.at.Sub(a.at)
	left := math.Inf(1)
	clauses := m.pairClauses(i, a, j, b)
	for k := range clauses {
		left = min(left, clauses[k].left(d))
	}
	return left
}

// pairLeaves tells whether boxes i and j leave each other a spare of at least enough.
func (m *model) pairLeaves(i int, a spot, j int, b spot, enough float64) bool {
	d := b.at.Sub(a.at)
	pair := m.pairingIn(i, a, j, b)
	if pair.apart.left(d) >= enough {
		return true
	}
	for k := range pair.clauses {
		if pair.clauses[k].left(d) < enough {
			return false
		}
	}
	return true
}
