package ways

import (
	"math"
	"slices"

	"github.com/golang/geo/r1"
)

// finder is one search: the barriers of the owners present, and the owners that it
// met and that are, together, enough to block what it found blocked.
type finder struct {
	*Mover
	present  Set
	gathered []group
	met      Set
	atOnce   map[[2]int]crossing // of three legs with a first one of no length, by the other two
}

// gather takes the barriers of all that is present.
func (f *finder) gather() *finder {
	for _, owner := range f.present.Members() {
		f.gathered = append(f.gathered, f.kept(owner))
	}
	return f
}

func (f *finder) meet(b *barrier) {
	if !f.met.Has(b.owner) {
		f.met = f.met.With(b.owner)
	}
}

func (f *finder) search(legs int) []Way {
	switch legs {
	case 1:
		return f.oneLeg()
	case 2:
		return f.gather().twoLegs()
	}
	return f.gather().threeLegs()
}

// oneLeg returns the ways straight out.
func (f *finder) oneLeg() []Way {
	var list []Way
	for k := range f.directions {
		if owner, ok := f.inTheWay(k).firstIn(f.present); ok {
			f.met = f.met.With(owner)
			continue
		}
		list = append(list, f.way(line(k), k))
	}
	return list
}

// inTheWay returns all owners that are met straight ahead along direction k.
func (m *Mover) inTheWay(k int) Set {
	if m.ahead == nil {
		m.lookAhead()
	}
	return m.ahead[k]
}

// lookAhead looks along every direction. It builds the barriers for that alone: most
// boxes leave without any being asked for again, and of many boxes with many posts
// there is no room to keep them all.
func (m *Mover) lookAhead() {
	m.ahead = make([]Set, len(m.directions))
	for owner := range m.place.Standing {
		bars := m.build(owner)
		for k := range m.directions {
			if slices.ContainsFunc(bars, func(b *barrier) bool { return b.meetsRay(line(k), k) }) {
				m.ahead[k] = m.ahead[k].With(owner)
			}
		}
	}
}

// passes tells whether the ray from p along direction k stays outside of a half that
// it does not come nearer to: a quick answer for most barriers.
func (b *barrier) passes(p stop, k int) bool {
	for n := range b.halves {
		h := &b.halves[n]
		if h.along[k] <= level && h.value(p) <= h.offset+h.slack(p.straight()) {
			return true
		}
	}
	return false
}

// meetsRay tells whether the barrier is met from p along direction k.
func (b *barrier) meetsRay(p stop, k int) bool {
	if b.passes(p, k) {
		return false
	}
	for inside(b.rays(k), p) {
		if b.nearRay(p, k) {
			return true
		}
	}
	return false
}

// twoLegs returns the ways along i to a stop and then out along k, the best stop for
// each pair.
func (f *finder) twoLegs() []Way {
	var list []Way
	for i := range f.directions {
		limit, by := f.reach(line(i))
		if by == nil || limit == 0 {
			f.meetAll(by)
			continue
		}
		for k := range f.directions {
			if k == i || k == opposite(i) {
				continue
			}
			window, _, ok := f.opening(line(i), k, limit)
			if ok {
				list = append(list, f.way(line(i).at(settle(window)), k))
			}
		}
		f.meet(by)
	}
	return list
}

func (f *finder) meetAll(bars ...*barrier) {
	for _, b := range bars {
		if b != nil {
			f.meet(b)
		}
	}
}

// reach returns how far the mover can go along the line p, and what stops it there:
// nil and +Inf for nothing.
func (f *finder) reach(p stop) (float64, *barrier) {
	best, by := math.Inf(1), (*barrier)(nil)
	for _, g := range f.gathered {
		if around, sure := span(g.around.halves, p); blank(sure) || sure.Hi <= 0 || around.Lo >= best {
			continue
		}
		for _, b := range g.bars {
			if contact := b.contact(p, best); contact < best {
				best, by = contact, b
			}
		}
	}
	return best, by
}

// contact returns where the line first meets the barrier, from 0 on; limit or more
// when it does not before limit.
func (b *barrier) contact(p stop, limit float64) float64 {
	for {
		full, sure := span(b.halves, p)
		contact := math.Max(full.Lo, 0)
		if blank(sure) || sure.Hi <= 0 || contact >= limit {
			return math.Inf(1)
		}
		if b.near(p.at(contact)) {
			return contact
		}
	}
}

// link is a barrier's part of a line on which a ray is blocked.
type link struct {
	bar        *barrier
	full, sure r1.Interval
}

// opening searches the line p, from 0 to limit, for the first window from which the
// ray along k is free. When there is none it returns the barriers that together
// block all of it, each overlapping the next, the last one reaching beyond limit.
func (f *finder) opening(p stop, k int, limit float64) (window r1.Interval, chain []link, ok bool) {
	links := f.links(p, k, limit)
	at, from := 0.0, 0.0
	for at <= limit {
		n := longest(links, at)
		if n < 0 {
			return windowAt(links, at, from, limit), chain, true
		}
		if !links[n].trim(p, k, limit) {
			continue
		}
		f.meet(links[n].bar)
		chain = append(chain, links[n])
		at, from = links[n].sure.Hi, links[n].full.Hi
	}
	return r1.EmptyInterval(), chain, false
}

func (f *finder) links(p stop, k int, limit float64) []link {
	var list []link
	on := func(b *barrier) (link, bool) {
		full, sure := span(b.rays(k), p)
		return link{b, full, sure}, !blank(sure) && sure.Hi > 0 && sure.Lo <= limit
	}
	for _, g := range f.gathered {
		if _, ok := on(g.around); !ok {
			continue
		}
		for _, b := range g.bars {
			if l, ok := on(b); ok {
				list = append(list, l)
			}
		}
	}
	return list
}

// longest returns the link around at that reaches furthest, or -1.
func longest(links []link, at float64) int {
	best := -1
	for n, l := range links {
		if l.sure.Lo < at && at < l.sure.Hi && (best < 0 || l.sure.Hi > links[best].sure.Hi) {
			best = n
		}
	}
	return best
}

// trim cuts the link's barrier until both ends of it between 0 and limit are really
// blocked. It tells whether nothing had to be cut.
func (l *link) trim(p stop, k int, limit float64) bool {
	if l.bar.nearRay(p.at(math.Max(l.sure.Lo, 0)), k) && l.bar.nearRay(p.at(math.Min(l.sure.Hi, limit)), k) {
		return true
	}
	l.full, l.sure = span(l.bar.rays(k), p)
	return false
}

// windowAt returns the window that begins at at, where no link is. It leaves out the
// slack of the links if there is room for that.
func windowAt(links []link, at, from, limit float64) r1.Interval {
	sure := r1.Interval{Lo: at, Hi: limit}
	full := r1.Interval{Lo: math.Max(at, from), Hi: limit}
	for _, l := range links {
		if l.sure.Lo >= at && !blank(l.sure) {
			sure.Hi = math.Min(sure.Hi, l.sure.Lo)
			full.Hi = math.Min(full.Hi, l.full.Lo)
		}
	}
	if full.Lo <= full.Hi {
		return full
	}
	return sure
}
