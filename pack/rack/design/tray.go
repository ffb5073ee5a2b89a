package design

import (
	"fmt"
	"math"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/pack/rack"
)

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
	hoopCount      int           // hold-downs and stops that are made
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
	t.alongU, t.alongV = around(t.level.boxes, t.axes.u), around(t.level.all(), t.axes.v)
	t.under = t.level.z - t.foam - t.angle.Thick
	t.ends = [2]float64{t.alongU.Lo - t.endPad(0) - t.angle.Thick, t.alongU.Hi + t.endPad(1) + t.angle.Thick}
	for i, h := range heels {
		if !math.IsNaN(h) {
			t.ends[i] = h
		}
	}
	t.reach = r1.Interval{Lo: t.ends[0], Hi: t.ends[1]}
	return true
}

// endPad is how thick the pads at an end are at least, mm: more where posts near the end would be too
// near to the upright leg of its bar.
func (t *tray) endPad(end int) float64 {
	least, gap := t.pad, t.room.gaps.Bar+postAir
	under := t.level.z - t.foam - t.angle.Thick
	leg := r1.Interval{Lo: under, Hi: under + t.angle.Width}
	v := around(t.level.all(), t.axes.v).Expanded(t.beside() + math.Ceil(t.rod.Edge()))
	along := around(t.level.boxes, t.axes.u)
	for _, b := range t.room.boxes {
		for _, p := range b.blocks {
			aside := math.Hypot(apartOf(leg, r1.Interval{Lo: p[0].Z, Hi: p[1].Z}), apartOf(v, r1.IntervalFromPoint(p[0].Dot(t.axes.v)).AddPoint(p[1].Dot(t.axes.v))))
			beyond := along.Lo - p[0].Dot(t.axes.u)
			if end == 1 {
				beyond = p[1].Dot(t.axes.u) - along.Hi
			}
			if need := beyond + math.Sqrt(math.Max(0, gap*gap-aside*aside)); aside < gap && need <= mostPad {
				least = math.Max(least, need)
			}
		}
	}
	return math.Ceil(least)
}

// postAir is what bars keep from posts beyond the gap, mm.
const postAir = 0.2

// apartOf is how far two intervals are apart, 0 where they meet.
func apartOf(a, b r1.Interval) float64 { return max(0, a.Lo-b.Hi, b.Lo-a.Hi) }

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
	t.whole.Fasteners = append(t.whole.Fasteners, boltOf(t.rod, name, seat, along, grip, joins))
}

func boltOf(size rack.Thread, name string, seat, along r3.Vector, grip float64, joins []string) rack.Fastener {
	length := bought(grip + size.WasherThk + size.Locking + size.Pitch)
	return rack.Fastener{
		Name: name, Size: size.Size, Class: "8.8", From: seat, To: seat.Add(along.Mul(length)),
		Nuts: []rack.Nut{{At: grip, Beyond: true, Locking: true}}, Joins: joins,
	}
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
