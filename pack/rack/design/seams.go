package design

import (
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/rack"
)

// need is half of a box, along u, that has to stand on a bar.
type need struct{ within r1.Interval }

// bearing is how much of a bar's width has to be under a box, mm.
const bearing = 8

// middleMargin is how far the middle of a box has to be inside what carries it, as a part of
// its size.
const middleMargin = 0.1

// seamBars puts flats under the joints and wherever a box has nothing under one of its halves.
func (t *tray) seamBars() bool {
	var open []need
	inner := r1.Interval{Lo: t.ends[0] + t.angle.Width, Hi: t.ends[1] - t.angle.Width}
	for _, b := range t.level.boxes {
		s := t.spanU(b)
		m := middleMargin * s.Length()
		for _, half := range []r1.Interval{{Lo: s.Lo, Hi: s.Center() - m}, {Lo: s.Center() + m, Hi: s.Hi}} {
			if covered(half, r1.Interval{Lo: t.ends[0], Hi: inner.Lo}) || covered(half, r1.Interval{Lo: inner.Hi, Hi: t.ends[1]}) {
				continue
			}
			open = append(open, need{half})
		}
	}
	for n := 1; len(open) > 0; n++ {
		c, count := t.bestSeam(open, inner)
		if count == 0 {
			t.lack = t.flat.Width
			return t.fail("no bar has room under a box of the %slevel between the joints that are there: leave about %.0f mm more between its boxes and the ends of their row, or turn them, and fit again", t.level.name, t.flat.Width)
		}
		bar := r1.Interval{Lo: c - t.flat.Width/2, Hi: c + t.flat.Width/2}
		t.crossFlat(t.name("seam bar %d", n), bar)
		var rest []need
		for _, o := range open {
			if !covered(o.within, bar) {
				rest = append(rest, o)
			}
		}
		open = rest
	}
	return true
}

func covered(half, bar r1.Interval) bool { return half.Intersection(bar).Length() >= bearing }

// bestSeam is the place of a flat that serves the most halves: of equals the nearest to the
// ends of those halves.
func (t *tray) bestSeam(open []need, inner r1.Interval) (best float64, count int) {
	w := t.flat.Width / 2
	far := math.Inf(1)
	for c := inner.Lo + air + w; c <= inner.Hi-air-w; c++ {
		bar := r1.Interval{Lo: c - w, Hi: c + w}
		if t.taken(c, bar) {
			continue
		}
		n, off := 0, 0.0
		for _, p := range open {
			if covered(p.within, bar) {
				n++
				off += math.Min(math.Abs(c-p.within.Lo), math.Abs(c-p.within.Hi))
			}
		}
		if n > count || n == count && n > 0 && off < far {
			best, count, far = c, n, off
		}
	}
	return best, count
}

// taken tells whether a bar cannot be joined to the side members at a place along u.
func (t *tray) taken(u float64, bar r1.Interval) bool {
	return t.crowded(u, bar).short > geom.Tolerance
}

// crowded is what is on or under the side members already where a joint would go: a bar, or
// the nut of a rod, needs its width above, a nut its spanner below.
func (t *tray) crowded(u float64, bar r1.Interval) conflict {
	worst := conflict{with: "another joint", short: math.Inf(-1)}
	for _, o := range t.above {
		worst = worst.worse(conflict{with: "another joint", short: o.Intersection(bar.Expanded(air)).Length()})
	}
	nut := r1.IntervalFromPoint(u).Expanded(t.rod.Spanner())
	for _, o := range t.below {
		worst = worst.worse(conflict{with: "a joint below", short: o.Intersection(nut.Expanded(air)).Length()})
	}
	return worst
}

func (t *tray) crossFlat(name string, bar r1.Interval) {
	w := t.width()
	b := t.addBar(rack.Bar{
		Name: name, Section: t.flat, A: t.axes.u, B: r3.Vector{Z: 1},
		From: t.at(bar.Lo, w.Lo, t.under), To: t.at(bar.Lo, w.Hi, t.under),
	})
	// A flat's heel runs so that leg A × along is its thickness; either way round serves.
	t.joinCross(b, bar.Center())
}
