package design

import (
	"math"
	"slices"

	"rackwright/frame"
	"rackwright/pack/rack"
)

// make builds the tray with its ties.
func (t *tray) make(ties []plane) bool {
	heels := [2]float64{math.NaN(), math.NaN()}
	serving := make([]int, len(ties))
	for k, p := range ties {
		serving[k] = -1
		for end := range 2 {
			if t.serves(p, end) && math.IsNaN(heels[end]) {
				serving[k], heels[end] = end, p.heel
				break
			}
		}
	}
	t.meetNext(&heels)
	t.begin(heels)
	t.besideFloor(ties, heels)
	for k, p := range ties {
		if serving[k] < 0 {
			t.extend(p)
		}
	}
	t.endBars()
	for k, p := range ties {
		if !t.tie(k+1, p, serving[k]) {
			return false
		}
	}
	if !t.seamBars() {
		return false
	}
	if !t.stops() {
		return false
	}
	t.sideMembers()
	return t.hoops()
}

// nearEnds is how far in mm the ends of one tray and of the next may be apart where the lower one is
// made longer, so that one upright goes straight past both.
const nearEnds = 50

// meetNext puts ends that are not given where those of the next level are, when these are a little
// farther out.
func (t *tray) meetNext(heels *[2]float64) {
	if len(t.next) == 0 {
		return
	}
	mine, theirs := around(t.level.boxes, t.axes.u), around(t.next, t.axes.u)
	if d := mine.Lo - theirs.Lo; math.IsNaN(heels[0]) && d > 0 && d < nearEnds {
		heels[0] = theirs.Lo - t.endPad(0) - t.angle.Thick
	}
	if d := theirs.Hi - mine.Hi; math.IsNaN(heels[1]) && d > 0 && d < nearEnds {
		heels[1] = theirs.Hi + t.endPad(1) + t.angle.Thick
	}
}

// clashes are the parts of the tray that meet what is around them.
func (t *tray) clashes(bars, fasteners int) []conflict {
	var list []conflict
	add := func(name string, c conflict) {
		if c.short > 0.01 {
			c.part = name
			list = append(list, c)
		}
	}
	for _, b := range t.whole.Bars[bars:] {
		for _, s := range b.Solids() {
			add(b.Name, t.room.meetsIn(s, true, t.hangsOn(b, s)))
		}
	}
	for _, f := range t.whole.Fasteners[fasteners:] {
		own := t.own(f)
		may := func(o frame.Obstacle) bool { return !own && beside(o) || slices.Contains(f.Joins, o.Name) }
		for _, s := range f.Solids() {
			add(f.Name, t.room.meetsIn(s, true, may))
		}
		if !f.Rod && own {
			add("the way in of "+f.Name, t.room.blocked(f.WayIn()))
		}
	}
	for _, c := range t.room.clampsOf(t.whole.Fasteners[fasteners:]) {
		add(c.Name, t.room.meetsClamp(c))
	}
	return list
}

// own tells whether a bolt joins nothing but bars of the rack: its head needs the way in.
func (t *tray) own(f rack.Fastener) bool {
	return !slices.ContainsFunc(f.Joins, func(name string) bool {
		return slices.ContainsFunc(t.room.mounts, func(m frame.Mount) bool { return m.Name == name })
	})
}
