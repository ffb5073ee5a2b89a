package start

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/search/model"
)

// separator moves the boxes of an overlapping arrangement apart, one at a time, until
// every relation leaves the target or patience ends. It is guided local search
// (Voudouris & Tsang, European Journal of Operational Research 113 (1999)) as used
// for nesting: a relation that stays broken grows in weight, which drives the search
// out of dead ends.
//
// It works by planes alone, never by exact distances to round solids: a spot that keeps to the
// planes keeps the distances. It changes spots in place, which have to be the caller's to give
// away.
type separator struct {
	m      *model.Model
	rng    *rand.Rand
	target float64
	enough float64 // target, less what rounding may cost
	spots  []model.Spot
	whole  bool          // not cut short when the search has to end
	weight [][]float64   // of pairs, by the larger and the smaller box; of the frame at [i][i]
	least  []float64     // by box: the least weight; see leastWeights
	held   [][]*guards   // by kind and pose: of solids; made when first asked for
	tool   [][]*guards   // the same of reach
	beside [][]hold      // by two boxes
	order  [][]int       // by box: the others, those first that have shown spots to be too dear
	list   []r3.Vector   // scratch of moves
	ways   []model.Plane // scratch of moves
	work   model.Effort
}

// newSeparator knows nothing yet of what is broken; all weights are at their least.
func newSeparator(m *model.Model, spots []model.Spot, target float64, rng *rand.Rand) *separator {
	s := &separator{m: m, rng: rng, target: target, enough: target - geom.Tolerance, spots: spots}
	s.least = leastWeights(m)
	for i := range spots {
		s.weight = append(s.weight, make([]float64, i+1))
		for j := range s.weight[i] {
			s.weight[i][j] = s.leastWeight(i, j)
		}
		// For both orders of a pair, as either may be the one that moves.
		s.beside = append(s.beside, make([]hold, len(spots)))
		s.order = append(s.order, others(i, len(spots)))
		for j := range s.beside[i] {
			s.beside[i][j] = newHold(len(m.Kinds[m.Boxes[j].Kind].Posts), len(m.Kinds[m.Boxes[i].Kind].Posts))
		}
	}
	s.held, s.tool = make([][]*guards, len(m.Kinds)), make([][]*guards, len(m.Kinds))
	for k, poses := range m.Poses {
		s.held[k], s.tool[k] = make([]*guards, len(poses)), make([]*guards, len(poses))
	}
	return s
}

// others lists the boxes of n but for i.
func others(i, n int) []int {
	list := make([]int, 0, n-1)
	for j := range n {
		if j != i {
			list = append(list, j)
		}
	}
	return list
}

// guarded are the guards against the solids of the frame for a pose of a kind, and tools those
// of the tools over its posts. Of the many poses most are never tried, hence not before they are
// asked for.
func (s *separator) guarded(kind, pose int) *guards {
	if s.held[kind][pose] == nil {
		s.held[kind][pose] = guardsOf(s.m.Solids[kind][pose])
	}
	return s.held[kind][pose]
}

// tools are those over the posts; the model has to have been made with a tool.
func (s *separator) tools(kind, pose int) *guards {
	if s.tool[kind][pose] == nil {
		s.tool[kind][pose] = guardsOf(s.m.Reach[kind][pose])
	}
	return s.tool[kind][pose]
}

// disturb moves or turns a box, most often one of those that limit the spare. Four ways, each as
// likely: two boxes change places, one goes anywhere, one turns where it is, one goes to the best
// of some places.
func (s *separator) disturb(tight []int) {
	i := s.rng.IntN(len(s.spots))
	// Two times in three.
	if len(tight) > 0 && s.rng.IntN(3) > 0 {
		i = tight[s.rng.IntN(len(tight))]
	}
	switch s.rng.IntN(4) {
	case 0:
		j := s.rng.IntN(len(s.spots))
		s.spots[i].At, s.spots[j].At = s.spots[j].At, s.spots[i].At
	case 1:
		s.spots[i] = s.m.RandomSpot(i, s.rng)
	case 2:
		s.spots[i].Pose = s.m.AnyPose(s.m.Boxes[i].Kind, s.rng)
	default:
		s.spots[i] = s.elsewhere(i)
	}
}

// elsewhere is the best spot for box i near some drawn at random. Its own spot is not among them.
func (s *separator) elsewhere(i int) model.Spot {
	return s.nearDrawn(i, s.spots[i], math.Inf(1))
}

// nearDrawn is the best spot for box i near some drawn at random, or the one given, with what it
// costs, where none is better. Only the best of those drawn are walked on from: what a spot costs
// says enough of where that would end.
func (s *separator) nearDrawn(i int, best model.Spot, cost float64) model.Spot {
	for _, d := range s.drawn(i) {
		// Only where it ends counts.
		if at, c := s.descend(i, d.Spot, d.cost); c < cost {
			best, cost = at, c
		}
	}
	return best
}

// tried is a spot with what it costs.
type tried struct {
	model.Spot
	cost float64
}

// drawn draws spots for box i at random, half of them in the pose that it has, and gives the
// best ones, best first. The limit is the cost of the last that is kept, so most draws are given up
// half-way through.
func (s *separator) drawn(i int) []tried {
	list, limit := make([]tried, 0, keptSpots+1), math.Inf(1) // on the stack
	for range drawnSpots {
		at := s.m.RandomSpot(i, s.rng)
		if s.rng.IntN(2) == 0 {
			at.Pose = s.spots[i].Pose
		}
		c := s.cost(i, at, limit)
		if c >= limit {
			continue
		}
		k, _ := slices.BinarySearchFunc(list, c, func(t tried, c float64) int { return cmp.Compare(t.cost, c) })
		list = slices.Insert(list, k, tried{at, c})
		if len(list) > keptSpots {
			list = list[:keptSpots]
		}
		if len(list) == keptSpots {
			limit = list[keptSpots-1].cost
		}
	}
	return list
}

// run ends after rounds sweeps at the latest and tells whether nothing overlaps. What it
// takes is added to work.
//
// Where it does not end with nothing overlapping, the spots are those of the sweep that lacked
// least, without weights; but where the search has to end they are left as they are.
func (s *separator) run(rounds int, work *model.Effort) bool {
	defer func() { *work += s.work }()
	best, least, since := slices.Clone(s.spots), math.Inf(1), 0
	late := s.lateMoves()
	for range rounds {
		if !s.whole && s.m.Ended() {
			return false
		}
		broken := false
		// In an order of its own each time, so that no box always has the last word.
		for _, i := range s.rng.Perm(len(s.spots)) {
			now := s.cost(i, s.spots[i], math.Inf(1))
			if now <= 0 {
				continue
			}
			// Late moves are for the first construction, which has to come to something even when
			// there is no time left.
			if s.m.Ended() {
				if late--; late < 0 {
					return false
				}
			}
			broken = true
			s.spots[i] = s.better(i, now)
		}
		if !broken {
			return true
		}
		// Lack without weights: weights change, and would make sweeps incomparable.
		if lack := s.raiseWeights(); lack < least {
			least, since = lack, 0
			copy(best, s.spots)
		} else if since++; since > staleSweeps {
			break
		}
	}
	copy(s.spots, best)
	return false
}

// lateMoves is how often the separation may still move a box once the search has to end: some hundred
// milliseconds' worth, of boxes with many posts a few.
func (s *separator) lateMoves() int {
	const moves = 2000 // enough for a dozen boxes without posts
	relations := 0
	for _, b := range s.m.Boxes {
		parts := len(s.m.Poses[b.Kind][0].Parts)
		relations += parts * parts
	}
	return moves * 12 / relations
}

// better returns the best spot found for box i; it may be the one it has. Three things are tried:
// going on from here, from here with the posts turned, and from places drawn.
func (s *separator) better(i int, now float64) model.Spot {
	// From where it is.
	best, cost := s.descend(i, s.spots[i], now)
	if turned, c := s.turn(i, now); c < now {
		if at, c := s.descend(i, turned, c); c < cost {
			best, cost = at, c
		}
	}
	return s.nearDrawn(i, best, cost)
}

// turnAll turns every box in its place to where its posts lack least. For slicings, which know
// nothing of posts.
func (s *separator) turnAll() {
	for i, at := range s.spots {
		s.spots[i], _ = s.turn(i, s.cost(i, at, math.Inf(1)))
	}
}

// turn finds the pose of box i with the least cost among those that leave its case
// where it is: only posts look elsewhere.
func (s *separator) turn(i int, now float64) (model.Spot, float64) {
	best, cost := s.spots[i], now
	for _, pose := range s.m.Useful[s.m.Boxes[i].Kind] {
		to := model.Spot{Pose: pose, At: s.spots[i].At}
		// A turn that moves the case is another place, and for others to find.
		if pose == s.spots[i].Pose || !s.m.PoseOf(i, to).SameCase(s.m.PoseOf(i, s.spots[i])) {
			continue
		}
		if c := s.cost(i, to, cost); c < cost {
			best, cost = to, c
		}
	}
	return best, cost
}

// descend moves box i square to the planes of its broken relations, exactly as far as
// one of them asks, as long as that lowers the cost. The cost is what is lacking, weighted, so it
// ends where nothing is lacking or no single move helps.
func (s *separator) descend(i int, at model.Spot, cost float64) (model.Spot, float64) {
	for range descentSteps {
		if cost <= 0 {
			break
		}
		next, c := at, cost
		// Each is tried by itself; moves do not add up.
		for _, move := range s.moves(i, at) {
			to := model.Spot{Pose: at.Pose, At: at.At.Add(move)}
			if v := s.cost(i, to, c); v < c {
				next, c = to, v
			}
		}
		if c >= cost {
			break
		}
		at, cost = next, c
	}
	return at, cost
}

// moves lists, for every broken relation of box i, the shortest moves that mend it, until
// it is called again.
//
// Mending one relation exactly is a move worth trying, for the boxes then touch, as they do in good
// layouts. The list is the separator's own memory.
func (s *separator) moves(i int, at model.Spot) []r3.Vector {
	moves := s.list[:0]
	mend := func(f model.Plane, p r3.Vector, target float64) {
		if l := f.Lack(p, target); l > 0 {
			moves = append(moves, f.N.Mul(l))
		}
	}
	kind := s.m.Boxes[i].Kind
	for _, f := range s.m.Walls[kind][at.Pose] {
		mend(f, at.At, s.target)
	}
	mendNearest := func(c *model.Clause, p r3.Vector, target float64) {
		s.ways = c.Nearest(p, nearestWays, s.ways[:0])
		for _, f := range s.ways {
			mend(f, p, target)
		}
	}
	guarded := func(g *guards, p r3.Vector, target float64) {
		for k := range g.clauses {
			if g.last[k].LeftAlone(p) < target-geom.Tolerance && g.lackOf(k, p, target-geom.Tolerance) > 0 {
				mendNearest(&g.clauses[k], p, target)
			}
		}
	}
	broken := func(clauses []model.Clause, held []uint8, o *model.Offset, target float64) {
		for k := range clauses {
			if clauses[k].Lack(o, &held[k], target-geom.Tolerance) > 0 {
				mendNearest(&clauses[k], o.D, target)
			}
		}
	}
	// First the frame, then its tools, then box by box.
	guarded(s.guarded(kind, at.Pose), at.At, s.target)
	if s.m.Reach != nil {
		guarded(s.tools(kind, at.Pose), at.At, 0)
	}
	for j := range s.spots {
		if j != i {
			pair, held, o := s.m.PairingIn(j, s.spots[j], i, at), &s.beside[i][j], model.OffsetOf(at.At.Sub(s.spots[j].At))
			if pair.Apart.Lack(&o, &held.apart, max(0, s.enough)) == 0 {
				continue
			}
			if cases := pair.Clauses[:1]; cases[0].Lack(&o, &held.clauses[0], s.enough) > 0 {
				broken(cases, held.clauses, &o, s.target) // posts come with the cases
				continue
			}
			broken(pair.Clauses, held.clauses, &o, s.target)
			if lack, which := toolLack(pair, &o, held); lack > 0 {
				broken(pair.Tools[which], held.tools[which], &o, 0)
			}
		}
	}
	s.list = moves
	return moves
}

// leastWeights gives the third power of the part that each box has of the volume of the largest.
// The third power makes a charger of a tenth the volume weigh a thousandth.
func leastWeights(m *model.Model) []float64 {
	least, largest := make([]float64, len(m.Boxes)), 0.0
	for k := range m.Kinds {
		largest = max(largest, caseVolume(m, k))
	}
	for i, b := range m.Boxes {
		part := caseVolume(m, b.Kind) / largest
		least[i] = part * part * part
	}
	return least
}

// leastWeight is what a relation of two boxes, or of one with the frame where both are the same,
// counts for at first, and again when it is no longer broken. That of a small box counts for
// less, so that large ones find their places and leave it room, before it holds them up.
func (s *separator) leastWeight(i, j int) float64 { return min(s.least[i], s.least[j]) }

// raiseWeights makes every relation that is broken now count for more, the others for less, and
// returns how much all of them lack. Doubling, and letting fall by a tenth: weights rise quickly
// where boxes are stuck and are soon forgotten. See tuned.go.
func (s *separator) raiseWeights() float64 {
	sum := 0.0
	weigh := func(i, j int, lack float64) {
		weight := &s.weight[i][j]
		if lack == 0 {
			*weight = max(s.leastWeight(i, j), *weight*keptWeight)
			return
		}
		*weight *= 2
		sum += lack
	}
	for i, at := range s.spots {
		alone := s.frameLack(s.m.Boxes[i].Kind, at)
		if s.m.Reach != nil {
			alone += s.tools(s.m.Boxes[i].Kind, at.Pose).lack(at.At, 0, math.Inf(1))
		}
		weigh(i, i, alone)
		for j := range i {
			weigh(i, j, s.pairLack(i, at, j, math.Inf(1)))
		}
	}
	return sum
}
