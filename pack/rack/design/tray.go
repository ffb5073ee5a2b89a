package design

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/pack/rack"
)

// measures are the sizes that one try of a tray is made with.
type measures struct {
	axes
	angle   rack.Section // side members, end bars, mount bars
	upright rack.Section // between mounts and trays
	riser   rack.Section // between trays
	flat    rack.Section // bars under boxes
	over    rack.Section // hold-downs
	floor   rack.Section // bars under side members, on mounts that face up
	rod     rack.Thread
	foam    float64 // under and over boxes
	pad     float64 // least thickness at ends
	twice   bool    // two hold-downs where one would do
	wide    float64 // by how much rods are farther from boxes than they have to be
}

// gauge is how far from the heel a hole in a leg is: so that nut and spanner clear the other
// leg, and the edge is far enough.
func gauge(s rack.Section, t rack.Thread) float64 {
	if s.Form == rack.Flat {
		return s.Width / 2
	}
	return math.Max(s.Thick+t.Corners()/2+1.5, math.Min(s.Width/2+1.5, s.Width-t.Edge()))
}

// beside is how far a rod's axis is from the sides of boxes, so that a nut passes them.
func (m measures) beside() float64 { return math.Ceil(m.rod.Corners()/2+1) + m.wide }

// sides is how far the tray reaches beyond the sides of boxes: past rods and side members.
func (m measures) sides() float64 {
	return m.beside() + math.Max(gauge(m.angle, m.rod), m.angle.Thick+math.Ceil(m.rod.Edge()))
}

// tray is the rack of one level while it is made.
type tray struct {
	measures
	room           *room
	level          level
	next           []placed // boxes of the level above
	whole          *rack.Rack
	alongU, alongV r1.Interval   // of the boxes
	under          float64       // underside of the cross bars: where side members begin
	ends           [2]float64    // heels of the end bars, along u
	reach          r1.Interval   // of the side members, along u
	above          []r1.Interval // along u: bars and heads on the side members
	below          []r1.Interval // along u: legs under the side members, in the way of nuts
	why            string        // what could not be had
	lack           float64       // by how many mm
	cross          map[string]bool
}

func (t *tray) fail(format string, args ...any) bool {
	if t.why == "" {
		t.why = fmt.Sprintf(format, args...)
	}
	return false
}

func (t *tray) name(format string, args ...any) string {
	return t.level.name + fmt.Sprintf(format, args...)
}

func (t *tray) addBar(b rack.Bar) rack.Bar {
	if !b.Late {
		b.Tray = t.level.name + "tray"
	}
	t.whole.Bars = append(t.whole.Bars, b)
	return b
}

// begin works out the heights and the ends. heels are where the end bars' outer faces have to
// be where they are given as mount bars too; NaN: as near as pads allow.
func (t *tray) begin(heels [2]float64) bool {
	t.alongU, t.alongV = around(t.level.boxes, t.axes.u), around(t.level.boxes, t.axes.v)
	t.under = t.level.z - t.foam - t.angle.Thick
	least := t.pad + t.angle.Thick
	t.ends = [2]float64{t.alongU.Lo - least, t.alongU.Hi + least}
	for i, h := range heels {
		if !math.IsNaN(h) {
			t.ends[i] = h
		}
	}
	t.reach = r1.Interval{Lo: t.ends[0], Hi: t.ends[1]}
	return true
}

// width is the extent of cross bars along v: past the rods by a hole's edge distance.
func (t *tray) width() r1.Interval {
	return t.alongV.Expanded(t.beside() + math.Ceil(t.rod.Edge()))
}

// rodLines are the two places along v of rods and joints.
func (t *tray) rodLines() [2]float64 {
	return [2]float64{t.alongV.Lo - t.beside(), t.alongV.Hi + t.beside()}
}

// endBars puts an angle under each end of the level, its upright leg outside.
func (t *tray) endBars() {
	w := t.width()
	for i, name := range []string{"end bar back", "end bar front"} {
		if t.axes.u.X == 0 {
			name = []string{"end bar right", "end bar left"}[i]
		}
		in := t.axes.u
		if i == 1 {
			in = in.Mul(-1)
		}
		b := t.addBar(rack.Bar{
			Name: t.name("%s", name), Section: t.angle, A: in, B: r3.Vector{Z: 1},
			From: t.at(t.ends[i], w.Lo, t.under), To: t.at(t.ends[i], w.Hi, t.under),
		})
		t.joinCross(b, t.ends[i]+in.Dot(t.axes.u)*gauge(t.angle, t.rod))
	}
}

// joinCross bolts a cross bar to both side members at a place along u.
func (t *tray) joinCross(b rack.Bar, u float64) {
	t.onSides(u, r1.IntervalFromPoint(b.From.Dot(t.axes.u)).AddPoint(b.From.Add(b.A.Mul(b.Section.Width)).Dot(t.axes.u)))
	t.cross[b.Name] = true
	for i, v := range t.rodLines() {
		t.bolt(fmt.Sprintf("bolt %s %s", b.Name, sideWord(t.axes, i)), t.at(u, v, t.under+b.Section.Thick), r3.Vector{Z: -1}, b.Section.Thick+t.angle.Thick, []string{b.Name, t.sideName(i)})
	}
}

// onSides notes what a joint at a place along u takes of the side members: a bar on them, or
// the head alone, and the nut below.
func (t *tray) onSides(u float64, bar r1.Interval) {
	t.above = append(t.above, bar)
	t.below = append(t.below, r1.IntervalFromPoint(u).Expanded(t.rod.Washer/2))
}

func (t *tray) sideName(i int) string { return t.name("side member %s", sideWord(t.axes, i)) }

// sideWord names the low and the high side along v.
func sideWord(a axes, i int) string {
	if a.v.X != 0 {
		return []string{"back", "front"}[i]
	}
	return []string{"right", "left"}[i]
}

// boltLengths are those that M5 to M10 bolts are sold in, mm.
var boltLengths = []float64{10, 12, 16, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 80, 90, 100, 110, 120}

// bought is the least length sold that is long enough.
func bought(least float64) float64 {
	for _, l := range boltLengths {
		if l >= least {
			return l
		}
	}
	return math.Ceil(least/10) * 10
}

// bolt puts a bolt of the rod's size with its head on a face, and a locking nut.
func (t *tray) bolt(name string, seat, along r3.Vector, grip float64, joins []string) {
	t.boltOf(t.rod, name, seat, along, grip, joins)
}

func (t *tray) boltOf(size rack.Thread, name string, seat, along r3.Vector, grip float64, joins []string) {
	length := bought(grip + size.WasherThk + size.Locking + size.Pitch)
	t.whole.Fasteners = append(t.whole.Fasteners, rack.Fastener{
		Name: name, Size: size.Size, Class: "8.8", From: seat, To: seat.Add(along.Mul(length)),
		Nuts: []rack.Nut{{At: grip, Beyond: true, Locking: true}}, Joins: joins,
	})
}

// sideMembers puts an angle along each side, its upright leg outside, under the cross bars.
func (t *tray) sideMembers() {
	for i, out := range []float64{-1, 1} {
		heel := t.sideHeel(i)
		t.addBar(rack.Bar{
			Name: t.sideName(i), Section: t.angle, A: t.axes.v.Mul(-out), B: r3.Vector{Z: 1},
			From: t.at(t.reach.Lo, heel, t.under-t.angle.Thick), To: t.at(t.reach.Hi, heel, t.under-t.angle.Thick),
		})
	}
}

// sideHeel is where along v the outer face of a side member is.
func (t *tray) sideHeel(i int) float64 {
	return t.rodLines()[i] + []float64{-1, 1}[i]*math.Max(gauge(t.angle, t.rod), t.angle.Thick+math.Ceil(t.rod.Edge()))
}

// outer is the extent of the tray along v.
func (t *tray) outer() r1.Interval {
	return t.alongV.Expanded(t.sides())
}

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
	return t.crowded(u, bar).short > 0
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

// hoop is a bar over boxes with a rod at each end.
type hoop struct {
	at     float64 // along u
	height float64 // its underside
	boxes  []placed
}

// hoops chooses where bars go over the boxes: the fewest, each over the middle half of the
// boxes that it holds, clear of posts.
func (t *tray) hoops() bool {
	n := 0
	if !t.hoopsOver(&n) {
		return false
	}
	return !t.twice || t.hoopsOver(&n)
}

// hoopsOver puts hold-downs over all boxes of the level, and counts them.
func (t *tray) hoopsOver(count *int) bool {
	left := map[string]placed{}
	for _, b := range t.level.boxes {
		left[b.part.String()] = b
	}
	for len(left) > 0 {
		var best *hoop
		var why conflict
		for _, b := range t.level.boxes {
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
		*count++
		t.makeHoop(*count, *best)
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
// most other boxes too.
func (t *tray) bestHoop(b placed, left map[string]placed) (*hoop, conflict) {
	s := t.spanU(b)
	var best *hoop
	least := conflict{short: math.Inf(1)}
	for off := 0.0; off <= reach*s.Length(); off += 1.5 {
		for _, way := range []float64{1, -1} {
			h := t.hoopAt(s.Center()+way*off, left)
			if len(h.boxes) == 0 || best != nil && len(h.boxes) <= len(best.boxes) {
				continue
			}
			if c := t.hoopMeets(h); c.short > 0 {
				if c.short < least.short {
					least = c
				}
				continue
			}
			best = &h
		}
	}
	return best, least
}

// hoopAt is the bar over all boxes under a place; it holds those whose middle half is there.
func (t *tray) hoopAt(u float64, left map[string]placed) hoop {
	h := hoop{at: u, height: math.Inf(-1)}
	for _, b := range t.level.boxes {
		s := t.spanU(b)
		if bar := t.hoopBar(u); s.Intersects(bar) {
			h.height = math.Max(h.height, b.high.Z+t.foam)
		}
		if _, open := left[b.part.String()]; open && math.Abs(u-s.Center()) <= reach*s.Length() {
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
	worst = worst.worse(t.crowded(h.at, r1.IntervalFromPoint(h.at).Expanded(t.rod.Spanner())))
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

func (t *tray) hoopParts(n int, h hoop) (rack.Bar, []rack.Fastener) {
	w := t.width()
	u := t.hoopBar(h.at).Lo
	bar := rack.Bar{
		Name: t.name("hold-down %d", n), Section: t.over, A: t.axes.u, B: r3.Vector{Z: 1}, Late: true,
		From: t.at(u, w.Lo, h.height), To: t.at(u, w.Hi, h.height),
	}
	var rods []rack.Fastener
	for i, v := range t.rodLines() {
		below := t.rod.WasherThk + t.rod.Locking + 2*t.rod.Pitch
		start := t.under - t.angle.Thick - below
		end := h.height + t.over.Thick + t.rod.WasherThk + t.rod.Locking + 2*t.rod.Pitch
		rods = append(rods, rack.Fastener{
			Name: t.name("rod %d %s", n, sideWord(t.axes, i)), Size: t.rod.Size, Class: "4.6", Rod: true, Late: true,
			From: t.at(h.at, v, start), To: t.at(h.at, v, end),
			Nuts: []rack.Nut{
				{At: below, Locking: true},
				{At: t.under - start, Beyond: true},
				{At: h.height + t.over.Thick - start, Beyond: true, Locking: true},
			},
			Joins: []string{t.sideName(i), bar.Name},
		})
	}
	return bar, rods
}

func (t *tray) makeHoop(n int, h hoop) {
	bar, rods := t.hoopParts(n, h)
	t.addBar(bar)
	t.whole.Fasteners = append(t.whole.Fasteners, rods...)
	t.onSides(h.at, r1.IntervalFromPoint(h.at).Expanded(t.rod.Spanner()))
}

// reach is how far from the middle of a box, as a part of its length, a bar that holds it down
// alone may be.
const reach = 0.35
