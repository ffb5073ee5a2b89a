package search

import (
	"math/rand/v2"
	"slices"

	"rackwright/pack"
)

// Where boxes stand decides how much a layout can have to spare; which way their posts look
// decides whether it has that. Seldom does one box, turned or moved, gain anything: its
// neighbours have to turn and make room with it. So some starts leave posts out at first: layouts
// of bare boxes are found in a fourth of the time, and with more to spare. Then all boxes are given
// their posts (dresser).

// newBareModel is the model of the problem in which boxes may be bare, as if they had no posts.
// Such poses come after the others, which keep their numbers. The useful poses of a kind with posts
// are the bare ones.
func (r *run) newBareModel() *model {
	m := modelOf(r.problem, posesAndBare)
	m.asked = r.asked
	for k, useful := range m.useful {
		var bare, dressed []int
		for _, p := range useful {
			if m.isBare(m.poses[k][p]) {
				bare = append(bare, p)
			} else {
				dressed = append(dressed, p)
			}
		}
		if m.dressed = append(m.dressed, dressed); len(bare) > 0 {
			m.useful[k] = bare
		}
	}
	r.giveTools(m)
	return m
}

// posesAndBare lists the poses of a kind and, where it has posts, a bare one of each shape.
func posesAndBare(kind int, k pack.Kind, worst bool) []*pose {
	poses := posesOf(kind, k, worst)
	if len(k.Posts) == 0 {
		return poses
	}
	for i, p := range poses {
		if slices.IndexFunc(poses, p.sameCase) == i {
			bare := *p
			bare.parts = p.parts[:1:1]
			poses = append(poses, &bare)
		}
	}
	return poses
}

// isBare tells whether a pose leaves out the posts of its kind.
func (m *model) isBare(p *pose) bool { return len(p.parts) == 1 && len(m.kinds[p.kind].Posts) > 0 }

// bareSpots are spots with bare poses where boxes have posts.
func (m *model) bareSpots(spots []spot) []spot {
	bare := slices.Clone(spots)
	for i, s := range spots {
		kind := m.boxes[i].kind
		for _, p := range m.useful[kind] {
			if m.isBare(m.poses[kind][p]) && m.poses[kind][p].sameCase(m.poseOf(i, s)) {
				bare[i].pose = p
			}
		}
	}
	return bare
}

// worthIt is the gain in millimetres below which boxes are not given their posts.
const worthIt = 1e-3

// undressed makes a candidate from one with posts, or from a bare layout found before, by pushing
// bare boxes apart; one without places where it does not get better than the best answer. It gives
// the bare layout as well.
func (r *run) undressed(n int, from candidate, rng *rand.Rand, work *effort) (to, bare candidate) {
	if len(r.bares.best) > 0 && rng.IntN(2) == 0 {
		from = r.bares.best[rng.IntN(len(r.bares.best))]
	}
	least := r.pool.spare()
	most := beyond * max(least, r.bares.spare())
	s := r.bare.newSeparator(r.bare.bareSpots(from.spots), least+(most-least)*rng.Float64(), rng)
	for range 1 + rng.IntN(3) {
		s.disturb(from.tight)
	}
	s.run(patience, work)
	v := r.bare.newImprover(s.spots)
	v.climb()
	*work += v.work
	bare = candidate{spots: v.spots, spare: v.spare, start: n}
	if v.spare < least+worthIt {
		return candidate{}, bare
	}
	return r.dressedAs(n, v, least, work), bare
}

// beyond is the part of the best bare layout's spare that bare boxes are pushed apart for at most.
const beyond = 1.1

// redressed makes a candidate from one that comes near the best answer, by giving its boxes their
// posts anew; one without places where that does not make it better than both.
func (r *run) redressed(n int, c candidate, work *effort) candidate {
	if c.spots == nil || c.spare < redressing*r.pool.spare() {
		return candidate{}
	}
	v := r.bare.newImprover(r.bare.bareSpots(c.spots))
	return r.dressedAs(n, v, max(c.spare, r.pool.spare()), work)
}

// redressing is the part of the best spare that a candidate has to have for that.
const redressing = 0.97

// dressedAs gives the boxes of a bare layout their posts, and improves what that leads to.
func (r *run) dressedAs(n int, v *improver, least float64, work *effort) candidate {
	spots, ok := v.dress(least, work)
	if !ok {
		return candidate{}
	}
	v = r.newImprover(spots)
	v.forTools()
	return r.improved(n, v, work)
}
