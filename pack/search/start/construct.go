package start

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/search/model"
)

// recipe is one way to build a layout box by box: an order, a corner to build
// towards, the axis boxes slide along, and whether identical boxes go on in rows.
type recipe struct {
	order   []int     // boxes, first to last
	towards r3.Vector // weights: the spot with the least weighted sum is taken
	slide   int       // axis (0, 1, 2) along which a box slides until it touches
	rows    bool      // an identical box first tries to continue the last one's row
	target  float64   // the spare that every relation is given while building
	grid    bool      // the kind of the most boxes stands in a grid, if it can
	moody   bool      // each box favours one shape
	favour  []int     // by box: that shape, drawn for its kind, now and then for itself alone
}

// newRecipe draws a recipe. The first few are not random: they build upwards from
// the four lower corners, large boxes first. Moods, rows and grids are dealt by the number, so that
// any eight recipes in a row are of different sorts.
func newRecipe(m *model.Model, n int, rng *rand.Rand) recipe {
	r := recipe{
		order:   bySize(m),
		towards: r3.Vector{X: model.Sign(n%2 == 0), Y: model.Sign(n/2%2 == 0) * 1e-2, Z: 1},
		rows:    n%3 != 2,
		moody:   n%4 >= 2,
		grid:    n%8 == 3,
	}
	for i, b := range m.Boxes {
		// Alike boxes mostly go together in one shape; each eighth recipe lets every box choose.
		shape := m.Poses[b.Kind][m.AnyPose(b.Kind, rng)].Shape
		if alike := i > 0 && m.Boxes[i-1].Kind == b.Kind; alike && n%8 != 7 {
			shape = r.favour[i-1]
		}
		r.favour = append(r.favour, shape)
	}
	// Those that everyone gets: towards each of four corners, flat or steep.
	if n < 8 {
		r.towards.X *= []float64{1e-3, 1}[n/4]
		return r
	}
	shuffleOrder(m, r.order, rng)
	r.towards = r3.Vector{X: rng.NormFloat64(), Y: rng.NormFloat64() / 2, Z: rng.NormFloat64() + 0.7}
	r.slide = rng.IntN(3)
	return r
}

// bySize orders the boxes by volume, large ones first, kinds together. What is large is hard to
// place late.
func bySize(m *model.Model) []int {
	order := make([]int, len(m.Boxes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Compare(caseVolume(m, m.Boxes[j].Kind), caseVolume(m, m.Boxes[i].Kind))
	})
	return order
}

// caseVolume is that of the case of a kind, in mm³.
func caseVolume(m *model.Model, kind int) float64 {
	s := m.Kinds[kind].Size
	return s.X * s.Y * s.Z
}

// shuffleOrder disturbs an order: a few swaps most times, a full shuffle now and then.
func shuffleOrder(m *model.Model, order []int, rng *rand.Rand) {
	if rng.IntN(4) == 0 {
		rng.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
		return
	}
	for range rng.IntN(len(order)) {
		i, j := rng.IntN(len(order)), rng.IntN(len(order))
		order[i], order[j] = order[j], order[i]
	}
}

// builder builds one layout by a recipe. Work is its own until the end, when it is added to what
// the start has spent.
type builder struct {
	m *model.Model
	recipe
	rng    *rand.Rand
	spots  []model.Spot
	placed []int
	work   model.Effort
}

// build places every box; where one has no free spot it goes where it overlaps least.
// What it takes is added to work. The corner-and-slide idea is that of bottom-left placement (B. S.
// Baker, E. G. Coffman & R. L. Rivest, SIAM Journal on Computing 9 (1980) 846–855), in three
// dimensions and towards any corner.
func build(m *model.Model, r recipe, rng *rand.Rand, work *model.Effort) []model.Spot {
	b := &builder{m: m, recipe: r, rng: rng, spots: make([]model.Spot, len(m.Boxes))}
	if r.grid {
		b.startWithGrid()
	}
	for _, i := range b.order {
		b.spots[i] = b.choose(i)
		b.placed = append(b.placed, i)
	}
	*work += b.work
	return b.spots
}

// startWithGrid places the kind of the most boxes in a grid, and leaves the others. Where no grid
// is found the recipe goes on without.
func (b *builder) startWithGrid() {
	// The first of the kinds with as many.
	kind := 0
	for k := range b.m.Kinds {
		if b.m.Kinds[k].Count > b.m.Kinds[kind].Count {
			kind = k
		}
	}
	spots, ok := gridLayout(b.m, kind, b.rng)
	if !ok {
		return
	}
	b.spots = spots
	var others []int
	for _, i := range b.order {
		if b.m.Boxes[i].Kind == kind {
			b.placed = append(b.placed, i)
		} else {
			others = append(others, i)
		}
	}
	b.order = others
}

// choose returns the free spot of the least rank, and any spot once the search has to end. A box
// that continues a row is not compared with other spots: rows are what the recipe is for.
func (b *builder) choose(i int) model.Spot {
	if b.m.Ended() {
		return b.m.RandomSpot(i, b.rng)
	}
	if s, ok := b.nextInRow(i); ok {
		return s
	}
	best, least := model.Spot{}, math.Inf(1)
	for _, pose := range b.m.Useful[b.m.Boxes[i].Kind] {
		best, least = b.lower(i, pose, best, least)
	}
	// Nothing is free: it goes where it overlaps least.
	if math.IsInf(least, 1) {
		return b.leastOverlap(i)
	}
	return best
}

// base is the part of a spot's rank that does not depend on where it is. The rank is this
// and the place weighted by towards; less is better. It favours poses that reach little along the
// weights, which is to say that lie flat against what is built on. A shape that is out of favour
// ranks below all others, but is there where nothing else goes.
func (b *builder) base(i, pose int) float64 {
	p := b.m.Poses[b.m.Boxes[i].Kind][pose]
	base := 0.5 * b.towards.Abs().Dot(p.Parts[0].Half)
	for axis, u := range model.AxesOfVehicle {
		base -= math.Abs(geom.Component(b.towards, axis)) * p.Reach(0, u)
	}
	if b.moody && p.Shape != b.favour[i] {
		base += b.m.Size
	}
	return base
}

// lower returns the free spot of a pose that ranks below least, if there is one, and its
// rank. Spots have two coordinates at which the box touches a wall or a placed box, and
// the third reached by sliding until it touches. Spots are ranked before they are held against
// anything: what cannot be better than the best is not looked at.
func (b *builder) lower(i, pose int, best model.Spot, least float64) (model.Spot, float64) {
	// The two axes across the slide.
	a, c := (b.slide+1)%3, (b.slide+2)%3
	base := b.base(i, pose) + b.leastSlide(i, pose)
	across := b.coordinates(i, pose, c)
	for _, u := range b.coordinates(i, pose, a) {
		for _, v := range across {
			// Coordinates come with the least weighted first.
			at := geom.WithComponent(geom.WithComponent(r3.Vector{}, a, u), c, v)
			if base+b.towards.Dot(at) >= least || b.m.Ended() {
				break
			}
			// Where sliding along the third axis ends.
			for _, w := range b.stops(i, model.Spot{Pose: pose, At: at}, b.slide) {
				s := model.Spot{Pose: pose, At: geom.WithComponent(at, b.slide, w)}
				if rank := b.base(i, pose) + b.towards.Dot(s.At); rank < least {
					best, least = s, rank
				}
			}
		}
	}
	return best, least
}

// leastSlide is the least that the coordinate reached by sliding can add to a rank. It is a bound
// from the walls alone, so that lower can stop early; infinite where no wall is square to the axis,
// and then nothing is saved.
func (b *builder) leastSlide(i, pose int) float64 {
	room := r1.Interval{Lo: math.Inf(-1), Hi: math.Inf(1)}
	for _, f := range b.m.Walls[b.m.Boxes[i].Kind][pose] {
		if c := geom.Component(f.N, b.slide); c == 1 || c == -1 {
			room = room.Intersection(holds(f, r3.Vector{}, b.slide, b.target))
		}
	}
	w := geom.Component(b.towards, b.slide)
	if w == 0 {
		return 0
	}
	return min(w*room.Lo, w*room.Hi)
}

// nextInRow tries to put box i beside the box placed last, alike in kind and pose, so
// that identical boxes make rows, and rows blocks. Only cases are looked at for the step; posts
// come in with free.
func (b *builder) nextInRow(i int) (model.Spot, bool) {
	// The first box begins the first row.
	if !b.rows || len(b.placed) == 0 {
		return model.Spot{}, false
	}
	last := b.placed[len(b.placed)-1]
	if b.m.Boxes[last].Kind != b.m.Boxes[i].Kind {
		return model.Spot{}, false
	}
	from := b.spots[last]
	// The clause of the cases; its planes say how far to step and which way.
	for _, c := range b.m.PairClauses(last, from, i, from)[:1] {
		for _, f := range b.rowOrder(c.Planes) {
			s := model.Spot{Pose: from.Pose, At: from.At.Add(f.N.Mul(f.D + b.target))}
			if b.free(i, s) {
				return s, true
			}
		}
	}
	return model.Spot{}, false
}

// rowOrder lists planes with those along which the recipe builds last: a row first
// grows across the direction of building.
func (b *builder) rowOrder(planes []model.Plane) []model.Plane {
	sorted := slices.Clone(planes)
	slices.SortStableFunc(sorted, func(f, g model.Plane) int {
		return cmp.Compare(b.towards.Dot(f.N), b.towards.Dot(g.N))
	})
	return sorted
}

// free tells whether box i keeps the target from the frame and from all placed boxes. Within
// geom.Tolerance: what was set exactly against something must not fail by rounding.
func (b *builder) free(i int, s model.Spot) bool {
	if b.m.LoneLeft(i, s) < b.target-geom.Tolerance {
		return false
	}
	for _, j := range b.placed {
		if !b.m.PairLeaves(j, b.spots[j], i, s, b.target-geom.Tolerance) {
			return false
		}
	}
	return true
}

// coordinates lists where on an axis the pose would touch a wall square to it or the
// case of a placed box, those the recipe builds towards first. No more than mostCoordinates are
// kept, or a late box would be tried at thousands of places.
func (b *builder) coordinates(i, pose, axis int) []float64 {
	var all []float64
	add := func(n r3.Vector, d float64) {
		if c := geom.Component(n, axis); c == 1 || c == -1 {
			all = append(all, c*(d+b.target))
		}
	}
	kind := b.m.Boxes[i].Kind
	for _, f := range b.m.Square[kind][pose][axis] {
		add(f.N, f.D)
	}
	for _, j := range b.placed {
		from := geom.Component(b.spots[j].At, axis)
		for _, f := range b.m.PairClauses(j, b.spots[j], i, model.Spot{Pose: pose})[0].Planes {
			add(f.N, f.D+from*geom.Component(f.N, axis))
		}
	}
	all = append(all, b.corners(pose, kind, axis)...)
	w := geom.Component(b.towards, axis)
	slices.SortFunc(all, func(x, y float64) int { return cmp.Compare(w*x, w*y) })
	all = slices.Compact(all)
	return all[:min(len(all), mostCoordinates)]
}

// corners lists coordinates at which a slanted wall may be met: the outline's corners
// moved by half the box. Across there are none: an outline is drawn in the side view.
func (b *builder) corners(pose, kind, axis int) []float64 {
	// Stations of other widths are half-spaces, whose planes are among the square ones or are
	// slanted.
	if axis == 1 {
		return nil
	}
	half := geom.Component(b.m.Poses[kind][pose].Parts[0].Half, axis)
	var all []float64
	for _, c := range b.m.Problem.Frame.Opening.Outline.Corners {
		v := c.X
		if axis == 2 {
			v = c.Y
		}
		all = append(all, v-half, v+half)
	}
	return all
}

// stops lists the ends of the free stretches along an axis through s. It is nil where the walls
// leave nothing, or no end.
func (b *builder) stops(i int, s model.Spot, axis int) []float64 {
	kind := b.m.Boxes[i].Kind
	b.work.Relations(len(b.m.Walls[kind][s.Pose]) + len(b.m.Solids[kind][s.Pose]) + len(b.placed))
	room := r1.Interval{Lo: math.Inf(-1), Hi: math.Inf(1)}
	for _, f := range b.m.Walls[kind][s.Pose] {
		room = room.Intersection(holds(f, s.At, axis, b.target))
	}
	if room.IsEmpty() || math.IsInf(room.Length(), 1) {
		return nil
	}
	// What of the axis is taken.
	var shut []r1.Interval
	block := func(clauses []model.Clause, at r3.Vector, shift float64) {
		for _, c := range clauses {
			if in := breaks(c, at, axis, b.target); !in.IsEmpty() {
				shut = append(shut, r1.Interval{Lo: in.Lo + shift, Hi: in.Hi + shift})
			}
		}
	}
	// Solids stay where they are; against boxes the clause is on the difference of places, so
	// intervals are moved back.
	block(b.m.Solids[kind][s.Pose], s.At, 0)
	for _, j := range b.placed {
		d := s.At.Sub(b.spots[j].At)
		block(b.m.PairClauses(j, b.spots[j], i, s), geom.WithComponent(d, axis, 0), geom.Component(b.spots[j].At, axis))
	}
	return freeEnds(room, shut)
}

// holds is where along an axis through at the plane leaves at least target.
func holds(f model.Plane, at r3.Vector, axis int, target float64) r1.Interval {
	slope := geom.Component(f.N, axis)
	rest := f.D + f.K*target - f.N.Dot(geom.WithComponent(at, axis, 0))
	switch {
	case slope > 0:
		return r1.Interval{Lo: rest / slope, Hi: math.Inf(1)}
	case slope < 0:
		return r1.Interval{Lo: math.Inf(-1), Hi: rest / slope}
	case rest <= 0:
		return r1.Interval{Lo: math.Inf(-1), Hi: math.Inf(1)}
	}
	return r1.EmptyInterval()
}

// breaks is where along an axis through at no plane of the clause leaves target: an
// open interval, since the planes bound a convex body. K counts as 1: the planes of bodies that are
// built against all have it.
func breaks(c model.Clause, at r3.Vector, axis int, target float64) r1.Interval {
	in := r1.Interval{Lo: math.Inf(-1), Hi: math.Inf(1)}
	for _, f := range c.Planes {
		slope := geom.Component(f.N, axis)
		rest := f.D + target - f.N.Dot(geom.WithComponent(at, axis, 0))
		switch {
		case slope > 0:
			in.Hi = min(in.Hi, rest/slope)
		case slope < 0:
			in.Lo = max(in.Lo, rest/slope)
		case rest <= 0:
			return r1.EmptyInterval()
		}
	}
	if in.Lo >= in.Hi {
		return r1.EmptyInterval()
	}
	return in
}

// freeEnds returns the ends of what the open intervals shut leave of room. They are the places at
// which a box that slides comes to rest, from either side. Places within a shut interval's open
// ends touch exactly.
func freeEnds(room r1.Interval, shut []r1.Interval) []float64 {
	slices.SortFunc(shut, func(a, b r1.Interval) int { return cmp.Compare(a.Lo, b.Lo) })
	var ends []float64
	from := room.Lo
	for _, in := range shut {
		if in.Lo >= from && in.Lo <= room.Hi {
			ends = append(ends, from, in.Lo)
		}
		from = max(from, in.Hi)
	}
	if from <= room.Hi {
		ends = append(ends, from, room.Hi)
	}
	return ends
}

// leastOverlap tries random spots for a box that has no free one. It is for separation to push the
// box out again; 64 draws are cheap beside that.
func (b *builder) leastOverlap(i int) model.Spot {
	best, most := model.Spot{}, math.Inf(-1)
	for range 64 {
		s := b.m.RandomSpot(i, b.rng)
		left := b.m.LoneLeft(i, s)
		for _, j := range b.placed {
			left = min(left, b.m.PairLeft(j, b.spots[j], i, s))
		}
		if left > most {
			best, most = s, left
		}
	}
	return best
}
