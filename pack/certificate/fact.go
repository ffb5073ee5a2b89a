package certificate

import "math/big"

// Part names a part of a box.
type Part struct{ Box, Part int }

// relation is two parts, or a part and a solid, that have to lie apart.
type relation struct {
	a, b  Part // b.Box is none for a solid
	solid int
}

func (s *Space) kindOf(box int) *kind { return &s.kinds[s.boxes[box]] }

// directions are those in which part a may lie clear of the other.
func (s *Space) directions(r relation) []vec {
	if r.b.Box == none {
		return s.solids[r.solid].directions()
	}
	return (&solid{endless: none}).directions()
}

// key names a demand that was worked out before.
type key struct {
	what, kindA, partA, kindB, partB, of int
	setA, setB                           poses
}

const (
	ofWall = iota
	ofPair
	ofSolid
)

func (s *Space) remember(k key, work func() *big.Rat) *big.Rat {
	d, there := s.known[k]
	if !there {
		d = work()
		s.known[k] = d
	}
	return d
}

// wallDemand is the least d for which n·c ≥ d holds for the centre of a box with any
// pose of a set: the centre keeps that far behind the wall.
func (s *Space) wallDemand(box int, set poses, w int) *big.Rat {
	return s.remember(key{what: ofWall, kindA: s.boxes[box], of: w, setA: set}, func() *big.Rat {
		wall := &s.walls[w]
		long := length(wall.n)
		return set.least(s.kindOf(box), func(pose []part) *big.Rat {
			var need *big.Rat
			for i, q := range pose {
				d := sub(mul(wall.need.of(i), long), q.least(wall.n))
				if need == nil || less(need, d) {
					need = d
				}
			}
			return add(wall.at, need)
		})
	})
}

// demand is the least d for which n·(a − b) ≥ d holds for the centres of two boxes that
// lie apart along direction number k, with any poses of two sets; for a solid n·a ≥ d.
func (s *Space) demand(r relation, k int, setA, setB poses) *big.Rat {
	if r.b.Box == none {
		return s.remember(key{ofSolid, s.boxes[r.a.Box], r.a.Part, r.solid, 0, k, setA, 0}, func() *big.Rat {
			q := &s.solids[r.solid]
			n := q.directions()[k]
			d := add(q.most(n), s.push(r.a, setA, n))
			if q.round != nil {
				return d // the body is inside the solid grown by the gap
			}
			return add(d, mul(q.need.of(r.a.Part), length(n)))
		})
	}
	return s.remember(key{ofPair, s.boxes[r.a.Box], r.a.Part, s.boxes[r.b.Box], r.b.Part, k, setA, setB}, func() *big.Rat {
		n := s.directions(r)[k]
		back := vec{neg(n[0]), neg(n[1]), neg(n[2])}
		return add(add(s.push(r.a, setA, n), s.push(r.b, setB, back)), s.between(r, n))
	})
}

// push is how far in front of a face with normal n, at the least, the centre of a box has
// to be for one of its parts to be in front of it.
func (s *Space) push(p Part, set poses, n vec) *big.Rat {
	return set.least(s.kindOf(p.Box), func(pose []part) *big.Rat { return neg(pose[p.Part].least(n)) })
}

// between is the gap required between two parts along an axis.
func (s *Space) between(r relation, n vec) *big.Rat {
	switch {
	case r.a.Part > 0 && r.b.Part > 0:
		return s.gaps.post
	case r.a.Part > 0 || r.b.Part > 0:
		return s.gaps.boot
	case n[2].Sign() != 0:
		return s.gaps.above
	}
	return s.gaps.beside
}

// poses is a set of poses of a kind, of which there are at most 24.
type poses uint32

func (set poses) has(pose int) bool { return set&(1<<pose) != 0 }

// least is the least value over the poses of a set that is not empty.
func (set poses) least(k *kind, value func([]part) *big.Rat) *big.Rat {
	var low *big.Rat
	for i, pose := range k.poses {
		if set.has(i) {
			if v := value(pose); low == nil || less(v, low) {
				low = v
			}
		}
	}
	return low
}

func (k *kind) all() poses { return 1<<len(k.poses) - 1 }
