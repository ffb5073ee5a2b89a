package design

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/pack"
	"rackwright/pack/rack"
)

// Boxes that other boxes carry stand on these with a pad, and are held from above like them. No end bar
// reaches so high: a stop, an angle over their ends with a leg down before these, holds them lengthwise
// where no neighbour does.

// ErrStacked is returned for boxes on boxes in a way that no rack is designed for.
var ErrStacked = errors.New("a rack holds boxes on a tray, and boxes that these carry: without carries in the pack file every box stands on a tray; fit again")

// carried sorts boxes into levels, with those that others carry on the level of these.
func carried(boxes []placed) ([]level, error) {
	list := levels(slices.DeleteFunc(slices.Clone(boxes), func(b placed) bool { return len(b.on) > 0 }))
	for _, b := range boxes {
		if len(b.on) == 0 {
			continue
		}
		i := slices.IndexFunc(list, func(l level) bool { return l.carries(b) })
		if i < 0 {
			return nil, fmt.Errorf("%w; %v stands on boxes that are themselves carried, or are not on one level", ErrStacked, b.part)
		}
		list[i].riders = append(list[i].riders, b)
	}
	return list, nil
}

// carries tells whether all that carries a box stands on the level's tray.
func (l level) carries(b placed) bool {
	return !slices.ContainsFunc(b.on, func(p pack.Part) bool {
		return !slices.ContainsFunc(l.boxes, func(o placed) bool { return o.part == p })
	})
}

// stop is the leg of a hold-down that looks down before the ends of boxes: its heel along u, and +1 or
// −1 towards the boxes; in is 0 where there is none.
type stop struct {
	heel, in float64
}

// leastStop is how far in mm the leg of a stop has to reach below the tops of boxes.
const leastStop = 8

// mostStop is how far in mm a stop may be from the ends of boxes more than it has to be.
const mostStop = 40

// stops puts a stop at either end of the boxes that others carry, where some have no neighbour there.
func (t *tray) stops() bool {
	for _, in := range []float64{1, -1} {
		open := slices.DeleteFunc(slices.Clone(t.level.riders), func(b placed) bool { return t.hasNeighbour(b, -in) })
		if len(open) > 0 && !t.stopAt(open, in) {
			return false
		}
	}
	return true
}

// hasNeighbour tells whether a box of the level is across from an end of a box, near enough for a block.
func (t *tray) hasNeighbour(b placed, out float64) bool {
	f := face{axis: 0, sign: out}
	if t.axes.u.Y != 0 {
		f.axis = 1
	}
	mine, depth := f.flattened(b.low, b.high)
	return slices.ContainsFunc(t.level.all(), func(o placed) bool {
		theirs, far := f.flattened(o.low, o.high)
		gap := far.Lo - depth.Hi
		if out < 0 {
			gap = depth.Lo - far.Hi
		}
		both := mine.Intersection(theirs).Size()
		return gap >= 1 && gap <= thickestBlock && both.X >= 2*leastPad && both.Y >= 2*leastPad
	})
}

// stopAt makes the stop of some boxes at the end from which in looks: as near as there is room.
func (t *tray) stopAt(boxes []placed, in float64) bool {
	end, top := math.Inf(1), math.Inf(-1)
	for _, b := range boxes {
		s := t.spanU(b)
		end, top = min(end, in*s.Lo, in*s.Hi), max(top, b.high.Z)
	}
	least := conflict{short: math.Inf(1)}
	for more := 0.0; more <= mostStop; more += 1.5 {
		h := t.stopHoop(in*(end-t.pad-t.angle.Thick-more), in)
		if low := slices.MinFunc(boxes, func(a, b placed) int { return int(math.Copysign(1, a.high.Z-b.high.Z)) }); low.high.Z-(h.height+t.angle.Thick-t.angle.Width) < leastStop {
			return t.fail("no stop can hold %v and %v lengthwise: they differ in height; carry boxes that are equally high", boxes[0].part, low.part)
		}
		c := t.hoopMeets(h)
		if c.short <= 0 {
			t.reach = t.reach.Union(r1.IntervalFromPoint(h.at).Expanded(math.Ceil(t.rod.Edge())))
			t.makeHoop(h)
			return true
		}
		if c.short < least.short {
			least = c
		}
	}
	t.lack = least.short
	return t.fail("nothing can hold %v lengthwise, which stands on other boxes: %s is in the way of an angle at its end by %.1f mm; leave more room there, or take carries out of the pack file so that it stands on a tray, and fit again", boxes[0].part, least.with, least.short)
}

// stopHoop is a hold-down with its leg down at a heel.
func (t *tray) stopHoop(heel, in float64) hoop {
	h := hoop{at: heel + in*gauge(t.angle, t.rod), height: math.Inf(-1), stop: stop{heel, in}}
	leg := r1.IntervalFromPoint(heel).AddPoint(heel + in*t.angle.Width)
	for _, b := range t.level.all() {
		if t.spanU(b).Intersects(leg) {
			h.height = math.Max(h.height, b.high.Z+t.foam)
		}
	}
	return h
}

func (t *tray) stopBar(n int, h hoop) rack.Bar {
	w := t.width()
	z := h.height + t.angle.Thick
	return rack.Bar{
		Name: t.name("end stop %d", n), Section: t.angle, A: t.axes.u.Mul(h.stop.in), B: r3.Vector{Z: -1}, Late: true,
		From: t.at(h.stop.heel, w.Lo, z), To: t.at(h.stop.heel, w.Hi, z),
	}
}

// underOthers tells whether a box is held down by one that it carries, or by stops at both of its ends.
func (t *tray) underOthers(b placed) bool {
	if slices.ContainsFunc(t.level.riders, func(o placed) bool { return slices.Contains(o.on, b.part) }) {
		return true
	}
	n := 0
	for _, bar := range t.whole.Bars {
		if bar.B.Z < 0 && bar.Late && bar.Section.Form == rack.Angle {
			leg := r1.IntervalFromPoint(bar.From.Dot(t.axes.u)).AddPoint(bar.From.Add(bar.A.Mul(bar.Section.Width)).Dot(t.axes.u))
			if leg.Intersection(t.spanU(b)).Length() >= bearing && math.Abs(bar.From.Z-bar.Section.Thick-t.foam-b.high.Z) < 1 {
				n++
			}
		}
	}
	return n == 2
}
