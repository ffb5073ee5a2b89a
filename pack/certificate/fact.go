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

// ask is what each pose of a kind asks of an inequality, in grains; nil for a pose that
// cannot be where the inequality holds.
type ask []*big.Int

// A grain is 2⁻⁶⁴ mm. What is asked for is rounded down to whole grains: that asks less, and
// whole numbers are added up sooner than fractions.
var grainsInMM = new(big.Rat).SetInt(new(big.Int).Lsh(big.NewInt(1), 64))

func grains(d *big.Rat) *big.Int { return floor(mul(d, grainsInMM)).Num() }

// askOf has what every pose asks for.
func (k *kind) askOf(of func(pose) *big.Rat) ask {
	var all ask
	for _, p := range k.poses {
		if d := of(p); d != nil {
			all = append(all, grains(d))
		} else {
			all = append(all, nil)
		}
	}
	return all
}

// fact is an inequality: n·a − n·b ≥ d for the centres of two boxes, or n·a ≥ d. What d is
// depends on their poses: it is the sum of what the one asks, what the other asks and apart.
type fact struct {
	a, b       int // b is none
	n          vec
	asks, with ask // of a, of b; nil for nothing
	apart      *big.Int
}

// least is the least that a pose of a set asks; nil where none can be.
func (a ask) least(set PoseSet) *big.Int {
	var low *big.Int
	for p, d := range a {
		if d != nil && set.Has(p) && (low == nil || d.Cmp(low) < 0) {
			low = d
		}
	}
	return low
}

// key names a fact, but for which boxes of their kinds it is of.
type key struct {
	kindA, partA, kindB, partB, solid, wall int
	way                                     *way
}

// remember is a fact that is worked out once, with the boxes put in.
func (s *Space) remember(k key, a, b int, work func() fact) fact {
	f, there := s.known[k]
	if !there {
		f = work()
		s.known[k] = f
	}
	f.a, f.b = a, b
	return f
}

// inside says that the centre of a box keeps as far behind a wall as its parts need.
func (s *Space) inside(box, w int) fact {
	return s.remember(key{kindA: s.boxes[box], kindB: none, solid: none, wall: w}, box, none, func() fact {
		wall := &s.walls[w]
		n, long := exactDirection(wall.n), length(wall.n)
		asks := s.kindOf(box).askOf(func(p pose) *big.Rat {
			var need *big.Rat
			for i := range p.parts {
				d := sub(mul(wall.need.of(i), long), p.least(n, i))
				if need == nil || less(need, d) {
					need = d
				}
			}
			return need
		})
		return fact{n: wall.n, asks: asks, apart: grains(wall.at)}
	})
}

// clear says that a part lies clear of another part or of a solid along w; n is the rational
// direction near w.
func (s *Space) clear(r relation, w *way) fact {
	k := key{kindA: s.boxes[r.a.Box], partA: r.a.Part, kindB: none, solid: none, wall: none, way: w}
	if r.b.Box == none {
		k.solid = r.solid
		return s.remember(k, r.a.Box, none, func() fact { return s.clearOfSolid(r, w) })
	}
	k.kindB, k.partB = s.boxes[r.b.Box], r.b.Part
	return s.remember(k, r.a.Box, r.b.Box, func() fact {
		push := func(p Part, n direction) ask {
			return s.kindOf(p.Box).askOf(func(q pose) *big.Rat { return neg(q.least(n, p.Part)) })
		}
		apart := sub(s.between(r, w.direction), w.lost(minus(s.high, s.low)))
		return fact{n: w.near(), asks: push(r.a, w.direction), with: push(r.b, w.opposite()), apart: grains(apart)}
	})
}

// clearOfSolid leaves out the poses that do not have the way: they are on other branches.
func (s *Space) clearOfSolid(r relation, w *way) fact {
	q := &s.solids[r.solid]
	asks := s.kindOf(r.a.Box).askOf(func(p pose) *big.Rat {
		if w.only != nil && w.only != p.tilt {
			return nil
		}
		return neg(p.least(w.direction, r.a.Part))
	})
	d := sub(q.most(w.direction), w.lost(s.farthest()))
	if q.round == nil { // else the body is inside the solid grown by the gap
		d = add(d, mul(q.need.of(r.a.Part), w.length()))
	}
	return fact{n: w.near(), asks: asks, apart: grains(d)}
}

// farthest is how far from 0 the coordinates of a centre can be.
func (s *Space) farthest() vec {
	var reach vec
	for k := range 3 {
		reach[k] = most(most(s.low[k], neg(s.low[k])), most(s.high[k], neg(s.high[k])))
	}
	return reach
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
