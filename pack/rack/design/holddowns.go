package design

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack/rack"
)

// hoop is a bar over boxes with a rod at each end: a flat, or an angle with a leg down before the ends
// of boxes.
type hoop struct {
	at     float64 // of its rods along u
	height float64 // its underside
	boxes  []placed
	stop   stop
}

// hoops chooses where bars go over the boxes: the fewest, each over the middle half of the
// boxes that it holds, clear of posts.
func (t *tray) hoops() bool {
	if !t.hoopsOver() {
		return false
	}
	return !t.twice || t.hoopsOver()
}

// hoopsOver puts hold-downs over all boxes of the level that nothing holds down yet.
func (t *tray) hoopsOver() bool {
	left := map[string]placed{}
	for _, b := range t.level.all() {
		if !t.underOthers(b) {
			left[b.part.String()] = b
		}
	}
	for len(left) > 0 {
		var best *hoop
		var why conflict
		for _, b := range t.level.all() {
			if _, open := left[b.part.String()]; !open {
				continue
			}
			h, c := t.bestHoop(b, left)
			why = c
			if h != nil && (best == nil || len(h.boxes) > len(best.boxes)) {
				best = h
			}
			if h == nil {
				return t.noHoop(b, why)
			}
		}
		t.makeHoop(*best)
		for _, b := range best.boxes {
			delete(left, b.part.String())
		}
	}
	return true
}

// noHoop says why nothing can hold a box down, and what to do.
func (t *tray) noHoop(b placed, why conflict) bool {
	t.lack = why.short
	if strings.HasPrefix(why.with, "width") {
		side := t.outer().Hi - t.alongV.Hi
		return t.fail("there is no room for rods and side members beside %v: %.1f mm too little to %s; they take %.0f mm: set gaps.wall to %.0f, or a range for the boxes with within, and fit again", b.part, why.short, why.with, side, side)
	}
	return t.fail("no bar can hold %v down: %s is in its way by %.1f mm; turn the box, or move its neighbours, and fit again", b.part, why.with, why.short)
}

// bestHoop tries places over a box from its middle outwards, and takes the one that holds the
// most other boxes too: over its middle part, or where none has room there a little beyond.
func (t *tray) bestHoop(b placed, left map[string]placed) (*hoop, conflict) {
	least := conflict{short: math.Inf(1)}
	tried := -1.0 // of the span, about its middle
	for _, part := range reaches {
		var best *hoop
		s := t.spanU(b)
		for _, u := range t.hoopPlaces(s, part) {
			if math.Abs(u-s.Center()) <= tried*s.Length() {
				continue
			}
			h := t.hoopAt(u, part, left)
			if len(h.boxes) == 0 || best != nil && len(h.boxes) <= len(best.boxes) {
				continue
			}
			if c := t.hoopMeets(h); c.short > geom.Tolerance {
				if c.short < least.short {
					least = c
				}
				continue
			}
			best = &h
		}
		if best != nil {
			return best, least
		}
		tried = part
	}
	return nil, least
}

// hoopPlaces are places for the rods of a hold-down over part of a span, from its middle outwards: in
// steps, and right beside the joints that are there.
func (t *tray) hoopPlaces(s r1.Interval, part float64) []float64 {
	within := r1.IntervalFromPoint(s.Center()).Expanded(part * s.Length())
	var list []float64
	for off := 0.0; off <= part*s.Length(); off += 1.5 {
		list = append(list, s.Center()+off, s.Center()-off)
	}
	beside := t.rod.Spanner() + air
	for _, o := range slices.Concat(t.above, t.below) {
		for _, u := range []float64{o.Lo - beside, o.Hi + beside} {
			if within.Contains(u) {
				list = append(list, u)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b float64) int { return cmp.Compare(math.Abs(a-s.Center()), math.Abs(b-s.Center())) })
	return list
}

// hoopAt is the bar over all boxes under a place; it holds those whose middle part is there.
func (t *tray) hoopAt(u, part float64, left map[string]placed) hoop {
	h := hoop{at: u, height: math.Inf(-1)}
	for _, b := range t.level.all() {
		s := t.spanU(b)
		if bar := t.hoopBar(u); s.Intersects(bar) {
			h.height = math.Max(h.height, b.high.Z+t.foam)
		}
		if _, open := left[b.part.String()]; open && math.Abs(u-s.Center()) <= part*s.Length() {
			h.boxes = append(h.boxes, b)
		}
	}
	h.boxes = slices.DeleteFunc(h.boxes, func(b placed) bool { return h.height-b.high.Z > highestPad })
	return h
}

// highestPad is how thick in mm a block between a box and its hold-down may be.
const highestPad = 80

// hoopMeets is the worst of what its bar, rods and nuts meet.
func (t *tray) hoopMeets(h hoop) conflict {
	worst := conflict{short: math.Inf(-1)}
	if worst = worst.worse(t.crowded(h.at, r1.IntervalFromPoint(h.at).Expanded(t.rod.Spanner()))); worst.short > hardly {
		return worst
	}
	bar, rods := t.hoopParts(0, h)
	for _, s := range bar.Solids() {
		worst = worst.worse(t.room.meets(s, true))
	}
	for _, f := range rods {
		for _, s := range f.Solids() {
			worst = worst.worse(t.room.meets(s, true))
		}
	}
	return worst
}

// hoopBar is what a hold-down takes along u whose rods are at a place: the upright leg of an angle
// is behind them.
func (t *tray) hoopBar(u float64) r1.Interval {
	from := u - gauge(t.over, t.rod)
	return r1.Interval{Lo: from, Hi: from + t.over.Width}
}

// hoopParts are the bar of a hold-down and its rods.
func (t *tray) hoopParts(n int, h hoop) (rack.Bar, []rack.Fastener) {
	bar := t.overBar(n, h)
	var rods []rack.Fastener
	for i, v := range t.rodLines() {
		below := t.rod.WasherThk + t.rod.Locking + 2*t.rod.Pitch
		start := t.under - t.angle.Thick - below
		top := h.height + bar.Section.Thick
		rods = append(rods, rack.Fastener{
			Name: t.name("rod %d %s", n, sideWord(t.axes, i)), Size: t.rod.Size, Class: t.rodClass(), Rod: true, Late: true,
			From: t.at(h.at, v, start), To: t.at(h.at, v, top+t.rod.WasherThk+t.rod.Locking+2*t.rod.Pitch),
			Nuts: []rack.Nut{
				{At: below, Locking: true},
				{At: t.under - start, Beyond: true},
				{At: top - start, Beyond: true, Locking: true},
			},
			Joins: []string{t.sideName(i), bar.Name},
		})
	}
	return bar, rods
}

// overBar is the bar of a hold-down.
func (t *tray) overBar(n int, h hoop) rack.Bar {
	w := t.width()
	if h.stop.in != 0 {
		return t.stopBar(n, h)
	}
	u := t.hoopBar(h.at).Lo
	return rack.Bar{
		Name: t.name("hold-down %d", n), Section: t.over, A: t.axes.u, B: r3.Vector{Z: 1}, Late: true,
		From: t.at(u, w.Lo, h.height), To: t.at(u, w.Hi, h.height),
	}
}

func (t *tray) makeHoop(h hoop) {
	t.hoopCount++
	bar, rods := t.hoopParts(t.hoopCount, h)
	t.addBar(bar)
	t.whole.Fasteners = append(t.whole.Fasteners, rods...)
	t.onSides(h.at, r1.IntervalFromPoint(h.at).Expanded(t.rod.Spanner()))
}

// reaches are how far from the middle of a box, as a part of its length, a bar that holds it down
// alone may be: the second where none has room so near.
var reaches = []float64{0.35, 0.45}
