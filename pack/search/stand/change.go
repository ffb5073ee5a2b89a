package stand

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"rackwright/pack/search/model"
)

// withLevel is a stance with a level more, to which some boxes go. A third of the boxes of its
// plane go there; its height is that of a level they come from, so that they need not move far.
func (g *staging) withLevel(s stance, rng *rand.Rand) stance {
	out := s.clone()
	at := s.levels
	plane := s.planes[rng.IntN(at)]
	out.levels++
	out.heights = slices.Insert(out.heights, at, g.anyHeight(plane, rng))
	out.planes = slices.Insert(out.planes, at, plane)
	for i := range out.boxes {
		b := &out.boxes[i]
		switch {
		// Own levels come after those of the trays, which are one more now.
		case b.on >= 0:
			b.level++
		case rng.IntN(3) == 0 && out.planes[b.level] == plane:
			if out.heights[at] = out.heights[b.level]; !g.pinned[i] {
				b.level = at
			}
		}
	}
	return out
}

// tidied is a stance with its levels in order of height, those that are one put together and
// those without boxes left out. The number of levels is then that of trays to build.
func (g *staging) tidied(s stance) stance {
	order := make([]int, 0, s.levels)
	for l := range s.levels {
		if slices.ContainsFunc(s.boxes, func(b place) bool { return b.level == l }) {
			order = append(order, l)
		}
	}
	// From the lowest up, as they are told and built.
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(s.heights[a], s.heights[b]) })
	out := stance{boxes: slices.Clone(s.boxes)}
	now := make(map[int]int, s.levels)
	for _, l := range order {
		same := slices.IndexFunc(out.heights, func(h float64) bool {
			return s.heights[l]-h <= oneLevel && out.planes[slices.Index(out.heights, h)] == s.planes[l]
		})
		if same < 0 {
			same = len(out.heights)
			out.heights, out.planes = append(out.heights, s.heights[l]), append(out.planes, s.planes[l])
		}
		now[l] = same
	}
	out.levels = len(out.heights)
	if g.carries {
		out.heights = append(out.heights, s.heights[s.levels:]...)
		out.planes = append(out.planes, s.planes[s.levels:]...)
	}
	for i := range out.boxes {
		// Own levels move with the number of trays.
		if b := &out.boxes[i]; b.on >= 0 {
			b.level += out.levels - s.levels
		} else {
			b.level = now[b.level]
		}
	}
	return out
}

// oneLevel is how far two levels may lie apart to be taken for one: they are moved by as much,
// which costs no spare that counts.
const oneLevel = 1e-9

// hung is a layout as a stance with a level for each box, and false where one has no way to
// stand so. It is a stance in form only: merged then makes levels of it.
func (g *staging) hung(spots []model.Spot) (stance, bool) {
	n := len(spots)
	s := stance{levels: n, boxes: make([]place, n), heights: make([]float64, n), planes: make([]int, n)}
	for i, at := range spots {
		ways := g.ways[g.m.Boxes[i].Kind]
		w := slices.IndexFunc(ways, func(w footing) bool { return w.pose == at.Pose })
		if w < 0 {
			return stance{}, false
		}
		s.boxes[i] = place{way: w, level: i, on: -1}
		s.planes[i] = ways[w].plane
		s.heights[i] = at.At.Dot(g.planes[ways[w].plane].up) - ways[w].low
		g.put(&s, i, at.At)
	}
	if g.carries {
		s.heights, s.planes = append(s.heights, make([]float64, n)...), append(s.planes, make([]int, n)...)
	}
	return s, true
}

// merged is a stance of so many levels made of one with more: boxes that come after one another
// by height share one, at a height between theirs. Boxes that have no way to stand in the plane of
// their new level keep the first way of their kind, and cost what that costs.
func (g *staging) merged(s stance, levels int, rng *rand.Rand) stance {
	n := len(s.boxes)
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	height := func(i int) float64 { return s.heights[s.boxes[i].level] }
	// Planes are not mixed: boxes on one tray lean alike.
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Or(cmp.Compare(s.planes[s.boxes[i].level], s.planes[s.boxes[j].level]), cmp.Compare(height(i), height(j)))
	})
	out := stance{levels: levels, boxes: slices.Clone(s.boxes), heights: make([]float64, levels), planes: make([]int, levels)}
	if g.carries {
		out.heights, out.planes = append(out.heights, make([]float64, n)...), append(out.planes, make([]int, n)...)
	}
	cuts := g.cuts(order, height, levels, rng)
	from := 0
	for l, to := range cuts {
		out.planes[l] = s.planes[s.boxes[order[from]].level]
		for _, i := range order[from:to] {
			out.heights[l] += height(i) / float64(to-from)
			b := &out.boxes[i]
			b.level, b.on = l, -1
			ways := g.ways[g.m.Boxes[i].Kind]
			if ways[b.way].plane != out.planes[l] {
				b.way = max(0, slices.IndexFunc(ways, func(w footing) bool { return w.plane == out.planes[l] }))
			}
		}
		from = to
	}
	return out
}

// cuts draws where an order of boxes is cut into levels: mostly at the largest steps. Noise differs
// from draw to draw, so that one layout gives many stances.
func (g *staging) cuts(order []int, height func(int) float64, levels int, rng *rand.Rand) []int {
	n := len(order)
	levels = min(levels, n)
	var steps []int
	for k := 1; k < n; k++ {
		steps = append(steps, k)
	}
	// In mm: mostly little against the height of a box, now and then much.
	noise := 10 * rng.ExpFloat64()
	weight := make(map[int]float64)
	for _, k := range steps {
		weight[k] = height(order[k]) - height(order[k-1]) + noise*rng.NormFloat64()
	}
	slices.SortStableFunc(steps, func(a, b int) int { return cmp.Compare(weight[b], weight[a]) })
	cuts := append(slices.Clone(steps[:levels-1]), n)
	slices.Sort(cuts)
	return cuts
}

// middle is the height of the middle of the mass of boxes. One whose mass is not given counts
// a little. In mm above the vehicle's origin.
func (g *staging) middle(spots []model.Spot) float64 {
	sum, whole := 0.0, 0.0
	for i, s := range spots {
		m := max(g.mass(i), leastMass)
		sum, whole = sum+m*s.At.Z, whole+m
	}
	return sum / whole
}

// leastMass is what a box without a mass counts for, so that it lies low too.
const leastMass = 0.01 // kg

// alike tells whether a builder would call two layouts one: boxes of each kind can be matched
// so that each stands as its match does, but for a turn between equal faces, within alikeWithin of
// it; or so with one of them in a mirror, where the opening is its own image.
func alike(m *model.Model, a, b []model.Spot) bool {
	return match(m, a, b, false) || m.Mirrored && match(m, a, b, true)
}

// alike asks about the model of the staging.
func (g *staging) alike(a, b []model.Spot) bool { return alike(g.m, a, b) }

// alikeWithin is how far in mm the middles of matching boxes may be apart.
const alikeWithin = 8

// match tells so for one of the two images. Nearest first is no perfect matching, but boxes within
// some millimetres of one another's places are far from all others.
func match(m *model.Model, a, b []model.Spot, mirror bool) bool {
	used := make([]bool, len(b))
	for i, s := range a {
		at, p := s.At, m.PoseOf(i, s)
		if mirror {
			at.Y = 2*m.Middle - at.Y
		}
		found, near := -1, math.Inf(1)
		for j, t := range b {
			if used[j] || m.Boxes[i].Kind != m.Boxes[j].Kind || !p.SameCase(m.PoseOf(j, t)) {
				continue
			}
			// The nearest that is left.
			if d := at.Sub(t.At).Norm(); d < near {
				found, near = j, d
			}
		}
		if found < 0 || near > alikeWithin {
			return false
		}
		used[found] = true
	}
	return true
}

// atWorst is the staging of the model with everything at its worst: boxes have the places that
// they have as measured, and trays the room. Nil where the poses are not the same, as when larger
// boxes have other useful ones. What a way asks of the frame stays that of the staging as measured,
// so a tray has the room that it has.
func (g *staging) atWorst(worst *model.Model) *staging {
	for k := range g.m.Poses {
		if len(worst.Poses[k]) != len(g.m.Poses[k]) {
			return nil
		}
	}
	w := *newStaging(worst)
	w.planes, w.flattest = g.planes, g.flattest
	w.ways = g.ways
	w.slabs, w.slabPoses = g.slabs, g.slabPoses
	return &w
}
