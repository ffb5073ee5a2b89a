package search

import (
	"math"
	"math/rand/v2"

	"github.com/golang/geo/r3"

	"rackwright/geom"
)

// separator moves the boxes of an overlapping arrangement apart, one at a time, until
// every relation leaves the target or patience ends. It is guided local search
// (Voudouris & Tsang, European Journal of Operational Research 113 (1999)) as used
// for nesting: a relation that stays broken grows in weight, which drives the search
// out of dead ends.
type separator struct {
	*model
	rng    *rand.Rand
	target float64
	spots  []spot
	weight [][]float64 // of pairs, by the larger and the smaller box; of the frame at [i][i]
}

func (m *model) newSeparator(spots []spot, target float64, rng *rand.Rand) *separator {
	s := &separator{model: m, rng: rng, target: target, spots: spots}
	for i := range spots {
		s.weight = append(s.weight, make([]float64, i+1))
		for j := range s.weight[i] {
			s.weight[i][j] = 1
		}
	}
	return s
}

// run ends after rounds sweeps at the latest and tells whether nothing overlaps.
func (s *separator) run(rounds int) bool {
	for range rounds {
		broken := false
		for _, i := range s.rng.Perm(len(s.spots)) {
			now := s.cost(i, s.spots[i], math.Inf(1))
			if now <= 0 {
				continue
			}
			broken = true
			s.spots[i] = s.better(i, now)
		}
		if !broken {
			return true
		}
		s.raiseWeights()
	}
	return false
}

// lack is how much of the target a relation misses.
func (s *separator) lack(left float64) float64 {
	return max(0, s.target-left-geom.Tolerance)
}

// lackOf is how much of the target a clause misses at p. Most clauses have a plane that
// leaves enough among the first.
func (s *separator) lackOf(c clause, p r3.Vector) float64 {
	enough := s.target - geom.Tolerance
	left := math.Inf(-1)
	for _, f := range c.planes {
		if l := f.left(p); l > left {
			if l >= enough {
				return 0
			}
			left = l
		}
	}
	return enough - left
}

// cost is the weighted sum of what box i lacks at a spot; it stops early above limit.
func (s *separator) cost(i int, at spot, limit float64) float64 {
	kind := s.boxes[i].kind
	sum := 0.0
	for _, f := range s.walls[kind][at.pose] {
		sum += s.weight[i][i] * s.lack(f.left(at.at))
	}
	for _, c := range s.solids[kind][at.pose] {
		sum += s.weight[i][i] * s.lackOf(c, at.at)
	}
	for j := range s.spots {
		if sum > limit {
			return sum
		}
		if j != i {
			sum += s.pairWeight(i, j) * s.pairLack(i, at, j)
		}
	}
	return sum
}

func (s *separator) pairWeight(i, j int) float64 { return s.weight[max(i, j)][min(i, j)] }

func (s *separator) pairLack(i int, at spot, j int) float64 {
	d := at.at.Sub(s.spots[j].at)
	sum := 0.0
	for _, c := range s.pairClauses(j, s.spots[j], i, at) {
		sum += s.lackOf(c, d)
	}
	return sum
}

// tries is how many random spots a broken box looks at before it settles.
const tries = 8

// better returns the best spot found for box i; it may be the one it has.
func (s *separator) better(i int, now float64) spot {
	best, cost := s.descend(i, s.spots[i], now)
	for range tries {
		start := s.randomSpot(i, s.rng)
		if s.rng.IntN(2) == 0 {
			start.pose = s.spots[i].pose
		}
		at, c := s.descend(i, start, s.cost(i, start, math.Inf(1)))
		if c < cost {
			best, cost = at, c
		}
	}
	return best
}

// steps bounds a descent.
const steps = 12

// descend moves box i square to the planes of its broken relations, exactly as far as
// one of them asks, as long as that lowers the cost.
func (s *separator) descend(i int, at spot, cost float64) (spot, float64) {
	for range steps {
		if cost <= 0 {
			break
		}
		next, c := at, cost
		for _, move := range s.moves(i, at) {
			to := spot{at.pose, at.at.Add(move)}
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

// waysOut is how many planes of a broken relation are tried: around a round solid
// there are many, of which the nearest matter.
const waysOut = 12

// moves lists, for every broken relation of box i, the shortest moves that mend it.
func (s *separator) moves(i int, at spot) []r3.Vector {
	var moves []r3.Vector
	mend := func(f plane, p r3.Vector) {
		if l := s.target - f.left(p); l > 0 {
			moves = append(moves, f.n.Mul(l))
		}
	}
	kind := s.boxes[i].kind
	for _, f := range s.walls[kind][at.pose] {
		mend(f, at.at)
	}
	broken := func(clauses []clause, p r3.Vector) {
		for _, c := range clauses {
			if s.lackOf(c, p) == 0 {
				continue
			}
			for _, f := range c.nearest(p, waysOut) {
				mend(f, p)
			}
		}
	}
	broken(s.solids[kind][at.pose], at.at)
	for j := range s.spots {
		if j != i {
			broken(s.pairClauses(j, s.spots[j], i, at), at.at.Sub(s.spots[j].at))
		}
	}
	return moves
}

// raiseWeights makes every relation that is broken now count for more.
func (s *separator) raiseWeights() {
	for i := range s.spots {
		if s.loneLeft(i, s.spots[i]) < s.target-geom.Tolerance {
			s.weight[i][i] *= 1.3
		}
		for j := range i {
			if s.pairLeft(j, s.spots[j], i, s.spots[i]) < s.target-geom.Tolerance {
				s.weight[i][j] *= 1.3
			}
		}
	}
}
