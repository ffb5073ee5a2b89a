package model

import (
	"math"
	"sync"
	"sync/atomic"
)

// Pairing is what two poses require of each other, on the position of the second box
// less that of the first.
//
// It is symmetric in meaning but not in form: the pairing of q and p has the planes turned round,
// along q's axes.
type Pairing struct {
	Clauses []Clause
	// Apart holds, for both ways along each axis of the first pose, a plane that asks for
	// what the most demanding clause asks for there, and one of the two sorts of tools. Where
	// one of them leaves enough, all clauses do: most boxes are that far from each other.
	Apart Clause
	// Tools are, for the first pose and for the second, the clauses that keep the other case
	// out of the way of the tools over its posts. One of the two has to hold: a post that
	// another box will stand before is connected before that box goes in. There are none
	// where that is not asked, or one pose has no posts.
	Tools [2][]Clause
}

// PairingOf gives the pairing of two poses, which is not to be changed. Workers may ask for it at the
// same time. It is made when first asked for: a pack of
// many kinds with posts has more pairs of poses than any search looks at. Two that ask at once may
// both make it; the first to store it wins, and the other's is the same.
func (m *Model) PairingOf(p, q *Pose) *Pairing {
	at := &m.pairs[p.ID*m.poseCount+q.ID]
	if c := at.Load(); c != nil {
		return c
	}
	c := &Pairing{Clauses: m.pair(p, q), Tools: m.toolPair(p, q)}
	planes := 0
	for _, list := range [][]Clause{c.Clauses, c.Tools[0], c.Tools[1]} {
		for _, one := range list {
			planes += len(one.Planes)
		}
	}
	// One of the two sorts of tools has to hold, hence the lesser of the two; all clauses have to
	// hold, hence the greater.
	for k, f := range c.Clauses[0].Planes[:6] {
		f.D = max(mostAsked(c.Clauses, k), min(mostAsked(c.Tools[0], k), mostAsked(c.Tools[1], k)))
		c.Apart.Planes = append(c.Apart.Planes, f)
	}
	c.Apart.square, c.Apart.isSquare = squareOf(c.Apart.Planes)
	m.kept.keep(at, c, planes)
	return c
}

// kept are the pairings that are kept, in the order in which they came. Where they have too many
// planes together, the first are let go: those of poses that a search has left.
type kept struct {
	sync.Mutex
	list   []keptOne
	planes int
}

// keptOne is where a pairing is kept, and how many planes it has.
type keptOne struct {
	at     *atomic.Pointer[Pairing]
	planes int
}

// keep stores what has been made, unless another has. A reader may still hold what is let go: it stays valid, since pairings are never changed.
func (k *kept) keep(at *atomic.Pointer[Pairing], p *Pairing, planes int) {
	k.Lock()
	defer k.Unlock()
	if at.Load() != nil {
		return // made twice at once
	}
	at.Store(p)
	k.list, k.planes = append(k.list, keptOne{at, planes}), k.planes+planes
	gone := 0
	for ; k.planes > maxStored && gone < len(k.list); gone++ {
		k.list[gone].at.Store(nil)
		k.planes -= k.list[gone].planes
	}
	k.list = k.list[gone:]
}

// Pairs is how many relations boxes have with one another. Where there are more than Many, looking at
// all of them takes so long that little of it may be done once the search has to end. Those
// of a box with itself are not among them. It counts with the first pose of each kind: all
// poses of a kind have as many parts, but for bare ones.
func (m *Model) Pairs() int {
	parts, own := 0, 0
	for _, b := range m.Boxes {
		n := len(m.Poses[b.Kind][0].Parts)
		parts, own = parts+n, own+n*n
	}
	return (parts*parts - own) / 2
}

// Many is some fifty milliseconds' worth: what 64 boxes with three posts have.
const Many = 30_000

// mostAsked is what plane k of the most demanding clause asks for, of clauses whose first
// planes are along the same axes.
func mostAsked(clauses []Clause, k int) float64 {
	most := math.Inf(-1)
	for _, c := range clauses {
		most = max(most, c.Planes[k].D)
	}
	return most
}

// pair makes the clauses: that of the cases first, then those with posts. The first six
// planes of each are along the axes of p. Order matters to Lack's memory alone: index k means the
// same clause for the same two poses.
func (m *Model) pair(p, q *Pose) []Clause {
	g := m.Problem.Pack.Gaps
	clauses := []Clause{Between(p, 0, q, 0, CaseGap(g))}
	for i := range p.Parts {
		for j := range q.Parts {
			switch {
			case i == 0 && j == 0:
			case i == 0 || j == 0:
				clauses = append(clauses, Between(p, i, q, j, Constant(g.Boot)))
			default:
				clauses = append(clauses, Between(p, i, q, j, Constant(g.Post)))
			}
		}
	}
	return clauses
}

// toolPair makes the clauses of the tools. A tool is a body of its own without a gap: it has to go
// between, and that is all. Only the other's case is held against it; entry, which decides, looks
// at more.
func (m *Model) toolPair(p, q *Pose) (tools [2][]Clause) {
	if m.bars == nil || len(m.bars[p.ID]) == 0 || len(m.bars[q.ID]) == 0 {
		return tools
	}
	for _, bar := range m.bars[p.ID] {
		tools[0] = append(tools[0], Between(bar, 0, q, 0, Constant(0)))
	}
	for _, bar := range m.bars[q.ID] {
		tools[1] = append(tools[1], Between(p, 0, bar, 0, Constant(0)))
	}
	return tools
}

// PairingIn is the pairing of boxes i and j in their spots.
func (m *Model) PairingIn(i int, a Spot, j int, b Spot) *Pairing {
	return m.PairingOf(m.PoseOf(i, a), m.PoseOf(j, b))
}

// PairClauses are those of boxes i and j in their spots, on j's place less i's.
func (m *Model) PairClauses(i int, a Spot, j int, b Spot) []Clause {
	return m.PairingIn(i, a, j, b).Clauses
}

// PairLeft is the spare between boxes i and j. Of tools nothing is asked here: they have no part in
// the spare. See ToolsLeft.
func (m *Model) PairLeft(i int, a Spot, j int, b Spot) float64 {
	d := b.At.Sub(a.At)
	left := math.Inf(1)
	clauses := m.PairClauses(i, a, j, b)
	for k := range clauses {
		left = min(left, clauses[k].Left(d))
	}
	return left
}

// PairLeaves tells whether boxes i and j leave each other a spare of at least enough. It is quicker
// than PairLeft, for most boxes are far from each other. Of tools it says nothing, though Apart,
// which asks for more, happens to include them.
func (m *Model) PairLeaves(i int, a Spot, j int, b Spot, enough float64) bool {
	d := b.At.Sub(a.At)
	pair := m.PairingIn(i, a, j, b)
	if pair.Apart.Left(d) >= enough {
		return true
	}
	for k := range pair.Clauses {
		if pair.Clauses[k].Left(d) < enough {
			return false
		}
	}
	return true
}
