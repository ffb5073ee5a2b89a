package stand

import (
	"cmp"
	"math"
	"slices"

	"rackwright/geom"
	"rackwright/pack/entry"
	"rackwright/pack/lp"
	"rackwright/pack/search/model"
)

// gathered is a layout with its air gathered. It holds no less than the spare that it was gathered
// for.
type gathered struct {
	s      stance
	spots  []model.Spot
	spare  float64
	middle float64
}

// unsaidReserve is the reserve in millimetres where the files give no accuracy, so that nothing is
// sure: what a builder's tape is off by. It is our own choice.
const unsaidReserve = 2

// finish finds out whether a layout keeps the reserve, and gathers its air in part: its boxes
// come down as far as that leaves it. What does not keep the reserve keeps the spare that it has.
// Of all that is found only the height is asked here; the rest waits until a layout is offered.
func (s *Search) finish(f *stood) {
	v, floor := s.reserved(f)
	v.hold(floor)
	v.wishFor(v.lowWish())
	s.note(f, v)
}

// reserved is a stance to be gathered, and the spare that it keeps. With worst, that is of the
// problem at its worst.
//
// Three cases: a reserve in mm is given, or stands for accuracies that are not; everything at its
// worst fits, and the worst is what has to go on fitting; or it does not, and what is kept is the
// spare.
func (s *Search) reserved(f *stood) (v *levelled, floor float64) {
	keep := s.settings.Keep
	if keep < 0 && s.worst == nil {
		keep = unsaidReserve
	}
	if keep >= 0 {
		v = s.g.newLevelled(f.s, nil)
		f.keeps = f.spare >= keep-slackFree
		return v, min(max(keep, leastSure), f.spare)
	}
	// At its worst everything is larger, so the places have to be found anew.
	v = s.worst.newLevelled(f.s, nil)
	v.climb()
	if f.keeps = v.spare >= leastSure && s.entersAtWorst(s.worst.spots(&v.s)); f.keeps {
		return v, leastSure
	}
	return s.g.newLevelled(f.s, nil), f.spare
}

// leastSure is the least spare that is asked for, at the worst too, so that rounding does not take it
// away.
const leastSure = 1e-6

// entersAtWorst asks for ways in with all boxes as large as they may be.
func (s *Search) entersAtWorst(spots []model.Spot) bool {
	if s.settings.AnyEntry {
		return true
	}
	m := s.worst.m
	ok, err := entry.Holds(s.settings.Late, m.Problem, m.Layout(spots), s.settings.Tool)
	return !s.settings.Failed(err) && ok
}

// note keeps what gathering has come to, if the boxes still go in. The boxes may not go in as they
// were gathered though they did before: then what was before stays.
func (s *Search) note(f *stood, v *levelled) {
	s.work.Add(int64(v.work))
	spots := s.g.spots(&v.s)
	if f.gathered.spots == nil {
		f.gathered = gathered{f.s, f.spots, f.spare, f.middle}
	}
	if s.g.m.SharpLeft(spots) >= 0 && s.enters(spots) && (v.g == s.g || s.entersAtWorst(spots)) {
		f.gathered = gathered{v.s, spots, s.g.m.SharpLeft(spots), s.g.middle(spots)}
	}
}

// hold has v keep a spare from now on. Wishes granted before are forgotten with it.
func (v *levelled) hold(floor float64) { v.floor, v.held = floor, nil }

// wish is a linear function of the columns of a program that is to be small: with even, its
// absolute value less mid. As in improve, but over the columns of levels.
type wish struct {
	coef []float64
	even bool
	mid  float64
}

// newWish asks for nothing yet; the spare has no part in a wish.
func (v *levelled) newWish() wish { return wish{coef: make([]float64, v.columns()-1)} }

// add adds scale times a coordinate of a box's place, given by a direction. The place of a box
// follows from its u, its v and the height of its level, which several boxes share.
func (v *levelled) add(w *wish, i int, scale, x, y, z float64) {
	s := v.s.boxes[i]
	p := v.g.planes[v.s.planes[s.level]]
	w.coef[2*i] += scale * (x*p.along.X + z*p.along.Z)
	w.coef[2*i+1] += scale * y
	w.coef[v.heightColumn(s.level)] += scale * (x*p.up.X + z*p.up.Z)
	// What does not depend on the columns goes into what is taken off.
	w.mid -= scale * v.g.way(i, s).low * (x*p.up.X + z*p.up.Z)
}

// lowWish asks for the mass low.
func (v *levelled) lowWish() wish {
	w := v.newWish()
	for i := range v.s.boxes {
		v.add(&w, i, max(v.g.mass(i), leastMass), 0, 0, 1)
	}
	return w
}

// centredWish asks for the mass in the middle across.
func (v *levelled) centredWish() wish {
	w := v.newWish()
	w.even = true
	for i := range v.s.boxes {
		m := max(v.g.mass(i), leastMass)
		v.add(&w, i, m, 0, 1, 0)
		w.mid += m * v.g.m.Middle
	}
	return w
}

// at is what the wish comes to.
func (w wish) at(x []float64) float64 {
	sum := -w.mid
	for k, c := range w.coef {
		sum += c * x[k]
	}
	if w.even {
		return math.Abs(sum)
	}
	return sum
}

// x are the columns of a program that a stance means, but for the spare. In the order of columns: u
// and v of each box, then heights.
func (v *levelled) x(s *stance) []float64 {
	list := make([]float64, 0, v.columns()-1)
	for _, b := range s.boxes {
		list = append(list, b.u, b.v)
	}
	return append(list, s.heights...)
}

// wishFor moves boxes for a wish, keeping the spare and the wishes before, and holds what it
// reaches. It tells how much is left of it. What cannot be granted is held as it is.
func (v *levelled) wishFor(w wish) float64 {
	if next, ok := v.granted(w); ok {
		v.s = next
	}
	v.held = append(v.held, w)
	return w.at(v.x(&v.s))
}

// granted is the stance with the least of a wish. The spare is not asked for more than the floor:
// that is what the wish is paid with.
func (v *levelled) granted(w wish) (stance, bool) {
	v.spare = v.floor
	v.choose()
	n := v.columns()
	p := v.wishProgram(w)
	for _, h := range v.held {
		reached := h.at(v.x(&v.s)) + slackFree
		p.Push(h.row(1, reached+h.mid, -1))
		if h.even {
			p.Push(h.row(-1, reached-h.mid, -1))
		}
	}
	if w.even {
		p.Push(w.row(1, w.mid, n))
		p.Push(w.row(-1, -w.mid, n))
	}
	v.push(p, 0)
	next, ok := v.finish(p, math.Inf(-1))
	lp.Return(p)
	if !ok || v.measured(&next) < v.floor-slackFree {
		return stance{}, false
	}
	return next, true
}

// wishProgram is a program without rows that asks for a wish; its last column is what an even
// one is off.
func (v *levelled) wishProgram(w wish) *lp.Solver {
	n := v.columns()
	lo, hi := v.limits(n + 1)
	objective := make([]float64, n+1)
	for k, c := range w.coef {
		objective[k] = -c
	}
	// The spare is what it is held at.
	lo[n-1], hi[n-1] = v.floor, v.floor
	lo[n] = 0
	if w.even {
		clear(objective)
		objective[n] = -1
	}
	return lp.Lend(objective, lo, hi, v.halt)
}

// row is sign·coef·x − t ≤ bound, where t is a column or, with less, 0. A negative column means
// that there is no t.
func (w wish) row(sign, bound float64, column int) lp.Row {
	r := lp.Row{Bound: bound}
	for k, c := range w.coef {
		if c != 0 {
			r.Index, r.Coef = append(r.Index, k), append(r.Coef, sign*c)
		}
	}
	if column >= 0 {
		r.Index, r.Coef = append(r.Index, column), append(r.Coef, -1)
	}
	return r
}

// gather gathers the air of a layout for good: its boxes come down, then close up along rows,
// then fall into line, then lie in the middle.
//
// A millimetre beside the reserve is kept until the end, which rounding to whole numbers then may
// use.
func (s *Search) gather(f *stood) {
	v, floor := s.reserved(f)
	v.hold(floor + min(roomForRounding, max(v.spare-floor, 0)/2))
	v.wishFor(v.lowWish())
	v.wishFor(v.rowWish())
	v.alignFaces()
	v.wishFor(v.centredWish())
	v.hold(floor)
	v.round(s.g)
	s.note(f, v)
}

// rowWish asks for the boxes of each level to be near to those beside them. Only pairs that lie
// side by side, with nothing said of those beyond reach: closing up is for the look and for short
// bearers.
func (v *levelled) rowWish() wish {
	w := v.newWish()
	for i, b := range v.s.boxes {
		for j, c := range v.s.boxes[:i] {
			if b.level != c.level || b.on >= 0 {
				continue
			}
			p, q := v.g.way(i, b), v.g.way(j, c)
			du, dv := b.u-c.u, b.v-c.v
			gu, gv := math.Abs(du)-p.half.X-q.half.X, math.Abs(dv)-p.half.Y-q.half.Y
			switch {
			// Beside each other along the plane, overlapping across.
			case gu >= 0 && gu < closingReach && gv < 0:
				w.coef[2*i] += math.Copysign(1, du)
				w.coef[2*j] -= math.Copysign(1, du)
			case gv >= 0 && gv < closingReach && gu < 0:
				w.coef[2*i+1] += math.Copysign(1, dv)
				w.coef[2*j+1] -= math.Copysign(1, dv)
			}
		}
	}
	return w
}

// alignFaces brings faces of boxes of one level into common planes, nearest first, where they can
// be all at once. Those that are in one plane already are held without a program.
func (v *levelled) alignFaces() {
	for _, w := range v.alignments() {
		if w.at(v.x(&v.s)) > slackFree {
			next, ok := v.granted(w)
			if !ok || w.at(v.x(&next)) > 10*slackFree {
				continue
			}
			v.s = next
		}
		v.held = append(v.held, w)
	}
}

// alignments lists wishes that bring two faces into one plane. Along and sideways, low faces with
// low and high with high.
func (v *levelled) alignments() []wish {
	type pair struct {
		wish
		off float64
	}
	var pairs []pair
	for i, b := range v.s.boxes {
		for j, c := range v.s.boxes[:i] {
			if b.level != c.level {
				continue
			}
			p, q := v.g.way(i, b), v.g.way(j, c)
			for axis, half := range [2][2]float64{{p.half.X, q.half.X}, {p.half.Y, q.half.Y}} {
				// Of the middles, with low faces and with high faces in one plane; the same for
				// boxes alike.
				shifts := []float64{half[0] - half[1], half[1] - half[0]}
				for _, shift := range slices.Compact(shifts) {
					w := v.newWish()
					w.coef[2*i+axis], w.coef[2*j+axis], w.even, w.mid = 1, -1, true, shift
					if off := w.at(v.x(&v.s)); off <= alignReach {
						pairs = append(pairs, pair{w, off})
					}
				}
			}
		}
	}
	slices.SortStableFunc(pairs, func(a, b pair) int { return cmp.Compare(a.off, b.off) })
	var list []wish
	for _, p := range pairs[:min(len(pairs), mostAlignments)] {
		list = append(list, p.wish)
	}
	return list
}

// round rounds the places to the coarsest step that keeps the spare; g is the staging as measured.
// In inches the steps are those of a tape: sixteenths, thirty-seconds, sixty-fourths.
func (v *levelled) round(g *staging) {
	had := g.m.SharpLeft(g.spots(&v.s))
	steps := []float64{1, 2, 4, 10, 20, 1024, 1e7}
	if g.m.Problem.Pack.Unit == geom.Inch {
		steps = []float64{16 / 25.4, 32 / 25.4, 64 / 25.4, 1024, 1e7}
	}
	for _, perMM := range steps {
		next := v.s.clone()
		to := func(x float64) float64 { return math.Round(x*perMM) / perMM }
		for i := range next.boxes {
			b := &next.boxes[i]
			if !g.pinned[i] {
				b.u, b.v = to(b.u), to(b.v)
			}
		}
		for l := range next.heights {
			next.heights[l] = to(next.heights[l])
		}
		// The finest steps are taken whatever they cost: they cost nothing that counts.
		if v.measured(&next) >= v.floor-slackFree && (perMM > 20 || g.m.SharpLeft(g.spots(&next)) >= min(had, v.floor)) {
			v.s = next
			return
		}
	}
}
