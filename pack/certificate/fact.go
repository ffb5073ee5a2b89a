package certificate

import (
	"math/big"
	"slices"
)

// Part names a part of a box.
type Part struct{ Box, Part int }

// relation is two parts, or a part and a solid, that have to lie apart.
type relation struct {
	a, b  Part // b.Box is none for a solid
	solid int
}

func (s *Space) kindOf(box int) *kind { return &s.kinds[s.boxes[box]] }

// way is a direction in which a part may lie clear of another part or of a solid: of all
// poses, or only of those with a tilt.
type way struct {
	direction
	only *tilt
}

// sideways are the ways along the axis that all tilts leave as it is.
var sideways = []*way{{direction: exactDirection(along(1, 1))}, {direction: exactDirection(along(1, -1))}}

// waysOf are those along the axes of a tilted case, without sideways.
func waysOf(t *tilt) []*way {
	var all []*way
	for _, n := range []direction{t.forward(), t.up()} {
		all = append(all, &way{n, t}, &way{n.opposite(), t})
	}
	return all
}

// waysApart are those in which part a, in some pose of a set, may lie clear of the other:
// of a part sideways and along the axes of both cases, of a solid also along its faces.
func (s *Space) waysApart(r relation, setA, setB PoseSet) []*way {
	if r.b.Box == none {
		return s.solids[r.solid].ways(s.tiltsIn(s.kindOf(r.a.Box), setA))
	}
	all := slices.Clone(sideways)
	in := s.tiltsIn(s.kindOf(r.a.Box), setA)
	for i, there := range s.tiltsIn(s.kindOf(r.b.Box), setB) {
		if in[i] || there {
			all = append(all, s.along[i]...)
		}
	}
	return all
}

// tiltsIn tells for every tilt of the space whether a set has a pose with it.
func (s *Space) tiltsIn(k *kind, set PoseSet) []bool {
	in := make([]bool, len(s.tilts))
	for i, p := range k.poses {
		if set.Has(i) {
			in[slices.Index(s.tilts, p.tilt)] = true
		}
	}
	return in
}

// key names a demand that was worked out before.
type key struct {
	kindA, partA, kindB, partB, solid, wall int
	way                                     *way
	setA, setB                              PoseSet
}

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
func (s *Space) wallDemand(box int, set PoseSet, w int) *big.Rat {
	return s.remember(key{kindA: s.boxes[box], kindB: none, solid: none, wall: w, setA: set}, func() *big.Rat {
		wall := &s.walls[w]
		n, long := exactDirection(wall.n), length(wall.n)
		return set.least(s.kindOf(box), func(p pose) *big.Rat {
			var need *big.Rat
			for i := range p.parts {
				d := sub(mul(wall.need.of(i), long), p.least(n, i))
				if need == nil || less(need, d) {
					need = d
				}
			}
			return add(wall.at, need)
		})
	})
}

// demand is a d for which n·(a − b) ≥ d holds for the centres of two boxes that lie apart
// along w, with any poses of two sets, and n the rational direction near w; for a solid
// n·a ≥ d. It is the greatest such where no tilt is in it. Some pose has to have the way.
func (s *Space) demand(r relation, w *way, setA, setB PoseSet) *big.Rat {
	k := key{kindA: s.boxes[r.a.Box], partA: r.a.Part, kindB: none, solid: none, wall: none, way: w, setA: setA}
	if r.b.Box == none {
		k.solid = r.solid
		return s.remember(k, func() *big.Rat { return s.demandOfSolid(r, w, setA) })
	}
	k.kindB, k.partB, k.setB = s.boxes[r.b.Box], r.b.Part, setB
	return s.remember(k, func() *big.Rat {
		d := add(s.push(r.a, setA, w.direction), s.push(r.b, setB, w.opposite()))
		return sub(add(d, s.between(r, w.direction)), w.lost(minus(s.high, s.low)))
	})
}

func (s *Space) demandOfSolid(r relation, w *way, set PoseSet) *big.Rat {
	q := &s.solids[r.solid]
	push := s.push(r.a, s.kindOf(r.a.Box).tilted(set, w.only), w.direction)
	d := sub(add(q.most(w.direction), push), w.lost(s.farthest()))
	if q.round != nil {
		return d // the body is inside the solid grown by the gap
	}
	return add(d, mul(q.need.of(r.a.Part), w.length()))
}

// farthest is how far from 0 the coordinates of a centre can be.
func (s *Space) farthest() vec {
	var reach vec
	for k := range 3 {
		reach[k] = most(most(s.low[k], neg(s.low[k])), most(s.high[k], neg(s.high[k])))
	}
	return reach
}

// push is how far in front of a face with normal n, at the least, the centre of a box has
// to be for one of its parts to be in front of it.
func (s *Space) push(p Part, set PoseSet, n direction) *big.Rat {
	return set.least(s.kindOf(p.Box), func(q pose) *big.Rat { return neg(q.least(n, p.Part)) })
}

// Above and below these parts of a length of 1 a sheet surely lies or stands for the judge,
// for whom it lies with more than √½ + 10⁻⁹ of it upright.
var (
	surelyLies   = big.NewRat(707_106_783, 1_000_000_000)
	surelyStands = big.NewRat(707_106_782, 1_000_000_000)
)

// between is the gap required between two parts along a direction of length 1.
func (s *Space) between(r relation, n direction) *big.Rat {
	upright := n[2].size()
	switch {
	case r.a.Part > 0 && r.b.Part > 0:
		return s.gaps.post
	case r.a.Part > 0 || r.b.Part > 0:
		return s.gaps.boot
	case less(surelyLies, upright.low):
		return s.gaps.above
	case less(upright.high, surelyStands):
		return s.gaps.beside
	}
	return least(s.gaps.above, s.gaps.beside)
}
