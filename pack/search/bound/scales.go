package bound

import (
	"math"

	"rackwright/geom"
	"rackwright/pack/lp"
	"rackwright/pack/search/model"
)

// Dual feasible functions replace the lengths along an axis by others, such that
// lengths that fit side by side still do. Replaced on all three axes, what fits still
// has no more volume than the opening: one inequality for each choice of functions
// (Fekete & Schepers, Mathematical Methods of Operations Research 60 (2004)). How many
// boxes take which pose is a variable; if no mixture of poses keeps all inequalities,
// nothing fits.
//
// It is sound for upright walls only in that it looks at the bounding box of the
// opening, and applies where every pose is parallel to the axes.

// scale maps a length to at least its share, and the whole length to 1 or more.
//
// That lengths side by side within the whole have shares of at most 1 together is what makes one
// valid; each of those below is by the papers named. Comparisons lean to the side that gives the
// lesser share, by one part in 10¹².
type scale func(length, whole float64) float64

// plainScale leaves lengths as they are, in parts of the whole.
func plainScale(x, whole float64) float64 { return x / whole }

// stepScale counts whole steps (Carlier, Clautiaux & Moukrim, Computers & Operations
// Research 34 (2007)): what exceeds half takes what the rest cannot use.
func stepScale(step float64) scale {
	return func(x, whole float64) float64 {
		steps := func(l float64) float64 { return math.Floor(l/step*(1+1e-12) + 1e-12) }
		all := steps(whole)
		switch {
		// The whole is less than one step: nothing can be said.
		case all == 0:
			return 0
		// What is left beside it counts whole steps; it takes all the others.
		case x > whole/2*(1+1e-12):
			return 1 - steps(whole-x)/all
		case x < whole/2*(1-1e-12):
			return steps(x) / all
		}
		return 0.5
	}
}

// pointScale counts how many of n evenly spaced points the length must hit. A length that covers no
// point counts for nothing.
func pointScale(n float64) scale {
	return func(x, whole float64) float64 {
		return max(0, math.Ceil((n+1)*x/whole*(1-1e-12)-1e-12)-1) / n
	}
}

// cutScale drops lengths below cut and rounds those above whole − cut up. It asks for
// a cut of at most half the whole, and changes nothing otherwise.
func cutScale(cut float64) scale {
	return func(x, whole float64) float64 {
		switch {
		case cut > whole/2:
			return x / whole
		case x > (whole-cut)*(1+1e-12):
			return 1
		case x < cut*(1-1e-12):
			return 0
		}
		return x / whole
	}
}

// scaled is the problem at a spare: lengths that lie side by side without a gap. Columns are kinds
// in each of their shapes; posts do not count, for a case without them needs no more room.
type scaled struct {
	shares  shares
	whole   [3]float64
	lengths [][3]float64 // by column
}

// scaleBound is a spare that no layout exceeds, by dual feasible functions.
//
// What is refuted at one spare is refuted at every greater one, since lengths only grow; so the
// least is found by halving.
func scaleBound(m *model.Model, limit float64) float64 {
	if !allUpright(m) || math.IsInf(limit, 1) {
		return math.Inf(1)
	}
	work := mostScaling
	left := &work
	// Whether anything fits at all is the question that matters; what a spare above 0 is refuted by
	// comes second.
	if limit > 0 && scalesAllow(m, 0, left) {
		return scaleSearch(m, 0, limit, left)
	}
	return scaleSearch(m, -m.Size, min(limit, 0), left)
}

// scaleSearch narrows the least refuted spare between lo, not refuted, and hi. Forty halvings go
// from the size of everything to far below scaleSlack. +Inf where not even hi is refuted.
func scaleSearch(m *model.Model, lo, hi float64, left *model.Effort) float64 {
	if scalesAllow(m, hi, left) {
		return math.Inf(1)
	}
	for range 40 {
		if m.Ended() {
			break
		}
		mid := (lo + hi) / 2
		if scalesAllow(m, mid, left) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi + scaleSlack
}

// scaleSlack covers the rounding of lengths by one part in 10¹² in the steps and
// points of the scales, for lengths of up to 16 m, with room to spare.
const scaleSlack = 1e-7

// upright tells whether every pose is parallel to the vehicle's axes.
func allUpright(m *model.Model) bool {
	for _, ps := range m.Poses {
		for _, p := range ps {
			if p.Tilt != 0 {
				return false
			}
		}
	}
	return true
}

// scalesAllow tells whether the inequalities leave a mixture of poses at a spare. Where it cannot
// be told it says yes.
func scalesAllow(m *model.Model, spare float64, left *model.Effort) bool {
	s, ok := scaledAt(m, spare)
	if !ok {
		return true
	}
	return s.mixture(func(work model.Effort) bool {
		*left -= work
		return *left < 0 || m.Ended()
	})
}

// scaledAt grows every length by the gap that belongs to its axis and the spare, and
// the whole by one such gap less the gaps to the walls. It is not ok where lengths
// vanish, and the argument with them. So boxes in a row with their gaps are lengths in a row
// without any.
func scaledAt(m *model.Model, spare float64) (scaled, bool) {
	g := m.Problem.Pack.Gaps
	s := scaled{shares: sharesOf(m.Kinds)}
	// Beside along and across, above upwards.
	grow := [3]float64{g.Beside + spare, g.Beside + spare, g.Above + spare}
	for axis, in := range m.Room {
		s.whole[axis] = in.Length() - 2*(g.Wall+spare) + grow[axis]
	}
	for k, ps := range m.Poses {
		shape := -1
		for _, p := range ps {
			// Shapes are numbered in order, so the first pose of each comes first.
			if p.Shape <= shape {
				continue
			}
			shape = p.Shape
			var length [3]float64
			for axis := range 3 {
				length[axis] = 2*geom.Component(p.Parts[0].Half, axis) + grow[axis]
				if length[axis] <= 0 {
					return s, false
				}
			}
			s.lengths, s.shares.kind = append(s.lengths, length), append(s.shares.kind, k)
		}
	}
	s.applyScales()
	return s, true
}

// applyScales evaluates all functions of every axis on all columns, each result once.
// A length beyond the whole gets a share beyond 1, so its pose cannot be taken.
func (s *scaled) applyScales() {
	for axis, whole := range s.whole {
		for _, f := range s.scalesFor(axis) {
			var row []float64
			for _, length := range s.lengths {
				share := f(length[axis], whole)
				if length[axis] > whole*(1+1e-12) {
					share = math.Inf(1)
				}
				row = append(row, share)
			}
			s.shares.add(axis, row)
		}
	}
}

// scalesFor lists the scales of an axis: those whose steps and cuts are lengths that occur are the
// ones that can bite.
func (s *scaled) scalesFor(axis int) []scale {
	all := []scale{plainScale, pointScale(1), pointScale(2), pointScale(3), pointScale(4)}
	for _, length := range s.lengths {
		all = append(all, stepScale(length[axis]), cutScale(length[axis]))
	}
	return all
}

// mixture tells whether some mixture of poses keeps all inequalities, as far as there is time.
// Inequalities enter the program as they are broken.
//
// Counts may be fractions, so it can only say yes too often. A no is by safe multipliers.
func (s *scaled) mixture(halt func(model.Effort) bool) bool {
	program, ok := s.shares.program()
	if !ok {
		return false // a kind has no pose that is short enough
	}
	x := make([]float64, len(s.lengths)+1)
	multipliers := make([]float64, len(s.shares.counts)+mostMixes)
	for range mostMixes {
		if program.Solve(math.Inf(-1)) != lp.Optimal {
			return true
		}
		if -program.SafeBound(multipliers) > 1+1e-9 {
			return false
		}
		program.X(x)
		if halt(s.shares.size()) {
			return true
		}
		// The inequality that the present mixture breaks most.
		row, _, excess := s.shares.worst(x)
		if excess <= 1e-9 {
			return true
		}
		program.Push(row)
	}
	return true
}
