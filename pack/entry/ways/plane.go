package ways

import (
	"math"

	"github.com/golang/geo/r1"

	"rackwright/geom"
)

// threeLegs returns the ways along i, then along j, then out along k.
func (f *finder) threeLegs() []Way {
	var list []Way
	for i := range f.directions {
		limit, by := f.reach(line(i))
		f.meetAll(by)
		if limit == 0 || by == nil {
			continue
		}
		for j := range f.directions {
			if j == i || j == opposite(i) {
				continue
			}
			for k := range f.directions {
				if k == j || k == opposite(j) {
					continue
				}
				if way, ok := f.plane(i, j, k, limit); ok {
					list = append(list, way)
				}
			}
		}
	}
	return list
}

// plane searches the plane of stops s along i, then t along j, for the one with the
// least s, up to limit, from which the ray along k is free.
//
// At one s the barriers block all of the second leg when a chain of them does, each
// overlapping the next, up to the one that the leg runs into. The chain holds until
// the first pair of it parts, and since barriers are convex that is one number for
// each pair: so s jumps from chain to chain, and passes over no free stop.
func (f *finder) plane(i, j, k int, limit float64) (Way, bool) {
	for s := 0.0; s <= limit; {
		p := stop{i: i, j: j, s: s}
		c := f.cross(p, k)
		switch {
		case c.ok:
			return f.way(f.settle(p.at(settle(c.window)), k, limit), k), true
		case c.by == nil: // the second leg leads out itself
			return f.way(p, j), true
		}
		f.meet(c.by)
		s = math.Max(f.holds(c.chain, c.by, p, k, limit), s+geom.Tolerance)
	}
	return Way{}, false
}

// crossing is what a second leg meets: what ends it, and the window in it from which the
// last leg is free, or the chain that leaves none.
type crossing struct {
	by     *barrier
	window r1.Interval
	chain  []link
	ok     bool
}

// cross goes along the line p as far as it is free, and looks along k from there. Where
// the first leg has no length it does not matter which way that went: then it is looked
// up.
func (f *finder) cross(p stop, k int) crossing {
	key := [2]int{p.j, k}
	if c, ok := f.atOnce[key]; ok && p.s == 0 {
		return c
	}
	length, by := f.reach(p)
	c := crossing{by: by}
	c.window, c.chain, c.ok = f.opening(p, k, length)
	if p.s == 0 {
		if f.atOnce == nil {
			f.atOnce = map[[2]int]crossing{}
		}
		f.atOnce[key] = c
	}
	return c
}

// holds returns the s up to which the chain blocks the second leg, more than limit if
// that far.
func (f *finder) holds(chain []link, by *barrier, p stop, k int, limit float64) float64 {
	end := chain[0].bar.holdsStart(p.i, k, p.s)
	for n := range chain {
		next := region{by, -1}
		if n+1 < len(chain) {
			next = region{chain[n+1].bar, k}
		}
		end = math.Min(end, part(region{chain[n].bar, k}, next, p, limit))
	}
	return end
}

// holdsStart returns the s along i up to which the ray along k is blocked without a
// second leg.
func (b *barrier) holdsStart(i, k int, s float64) float64 {
	for {
		full, _ := span(b.rays(k), line(i))
		if full.Hi <= s || math.IsInf(full.Hi, 1) || b.nearRay(line(i).at(full.Hi), k) {
			return full.Hi
		}
	}
}

// region is the part of a plane of stops that a barrier blocks: the stops themselves
// with ray -1, or those from which the ray of that number meets it.
type region struct {
	bar *barrier
	ray int
}

func (r region) halves() []half {
	if r.ray < 0 {
		return r.bar.halves
	}
	return r.bar.rays(r.ray)
}

func (r region) near(p stop) bool {
	if r.ray < 0 {
		return r.bar.near(p)
	}
	return r.bar.nearRay(p, r.ray)
}

// part returns the s from which on two regions that overlap at p.s do so no longer,
// +Inf if they still do at limit.
func part(a, b region, p stop, limit float64) float64 {
	for {
		end, parted := lastCommon([2][]half{a.halves(), b.halves()}, p, limit)
		if end.s <= p.s || a.near(end) && b.near(end) {
			if parted {
				return end.s
			}
			return math.Inf(1)
		}
	}
}

// edge is where a line of constant s crosses the edge of a region, and how that
// changes with s.
type edge struct{ t, slope float64 }

// lastCommon returns the last stop, by s up to limit, that is in or on both regions,
// and whether they part there. The regions overlap at p.s. What they have in common
// on a line of constant s is a concave, piecewise linear function of s, so Newton's
// steps from the right end at its zero, in no more steps than it has pieces.
func lastCommon(regions [2][]half, p stop, limit float64) (stop, bool) {
	s, parted := lastFlat(regions, p, limit)
	for {
		lo, hi := edges(regions, p, s)
		common, slope := hi.t-lo.t, hi.slope-lo.slope
		if common > 0 {
			p.s, p.t = s, between(lo.t, hi.t)
			return p, parted
		}
		parted = true
		next := p.s
		if slope < 0 {
			next = math.Max(next, s-common/slope)
		}
		if next >= s || next <= p.s {
			p.s, p.t = next, lo.t
			return p, true
		}
		s = next
	}
}

// lastFlat returns the s up to which the halves hold that do not depend on t.
func lastFlat(regions [2][]half, p stop, limit float64) (s float64, parted bool) {
	s = limit
	for _, halves := range regions {
		for n := range halves {
			h := &halves[n]
			if math.Abs(h.along[p.j]) > level || h.along[p.i] >= -level {
				continue
			}
			if end := h.offset / h.along[p.i]; end <= s {
				s, parted = end, true
			}
		}
	}
	return s, parted
}

func edges(regions [2][]half, p stop, s float64) (lo, hi edge) {
	lo.t, hi.t = math.Inf(-1), math.Inf(1)
	for _, halves := range regions {
		for n := range halves {
			h := &halves[n]
			b := h.along[p.j]
			if math.Abs(b) <= level {
				continue
			}
			e := edge{(h.offset - s*h.along[p.i]) / b, -h.along[p.i] / b}
			if b > 0 && e.t > lo.t {
				lo = e
			}
			if b < 0 && e.t < hi.t {
				hi = e
			}
		}
	}
	return lo, hi
}

// between returns a number between two, one or both of which may be infinite.
func between(lo, hi float64) float64 {
	switch {
	case math.IsInf(lo, -1) && math.IsInf(hi, 1):
		return 0
	case math.IsInf(lo, -1):
		return hi
	case math.IsInf(hi, 1):
		return lo
	}
	return lo + (hi-lo)/2
}
