package design

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/pack/rack"
)

// Mounts that face up lie under trays. A bolt goes down into each, through a side member where that
// is over the mount, else through a floor bar: a flat across under both side members. A tube
// around the bolt keeps the bar at its height above the mount.

// mostSleeve is how long in mm such a tube may be: a bolt is no post.
const mostSleeve = 60

// shims is what is filled with washers: less is no gap.
const shims = 0.3

// floorPlanes are the mounts that face up under a tray, those at one place along it together.
func (t *tray) floorPlanes(mounts []frame.Mount) []plane {
	var list []plane
	for _, m := range mounts {
		bolt, err := rack.ThreadOf(m.Bolt)
		if t.used(m) || err != nil || m.Faces.Z < 1-1e-6 {
			continue
		}
		if high := t.under - t.angle.Thick - m.At.Z; high < -shims || high > mostSleeve+t.floor.Thick {
			continue
		}
		list = join(list, plane{heel: m.At.Dot(t.axes.u), floor: true, feet: []foot{{mount: m, bolt: bolt, v: m.At.Dot(t.axes.v), w: m.At.Z}}})
	}
	return list
}

// sideOver is the side member whose horizontal leg is over a foot with room for its bolt; −1 for none.
func (t *tray) sideOver(f foot) int {
	near, far := legs(t.angle, f.bolt)
	for i, out := range []float64{-1, 1} {
		if in := (t.sideHeel(i) - f.v) * out; in >= near-1e-9 && in <= far+1e-9 {
			return i
		}
	}
	return -1
}

// mostWide is how much farther from boxes in mm side members may be put for a mount's sake.
const mostWide = 30

// widen is by how much the side members have to be farther apart for the bolts of mounts below to go
// through them, or to have room for a spanner beside them.
func (t *tray) widen(planes []plane) float64 {
	wide := 0.0
	for _, p := range planes {
		if !p.floor {
			continue
		}
		for _, f := range p.feet {
			near, far := legs(t.angle, f.bolt)
			for i, out := range []float64{-1, 1} {
				in := (t.sideHeel(i) - f.v) * out
				switch {
				case in > -f.bolt.Spanner()-air && in < near:
					wide = max(wide, near-in)
				case in > far && in < t.angle.Width+f.bolt.Spanner():
					wide = max(wide, t.angle.Width+f.bolt.Spanner()+air-in)
				}
			}
		}
	}
	if wide > mostWide {
		return 0
	}
	return wide
}

// besideFloor moves end bars outwards whose joints would be where bolts go into mounts below: as far as
// a pad may be thick.
func (t *tray) besideFloor(ties []plane, heels [2]float64) {
	for i, out := range []float64{-1, 1} {
		if !math.IsNaN(heels[i]) {
			continue
		}
		for off := 0.0; off <= mostPad-t.endPad(i); off++ {
			if end := t.ends[i] + out*off; !slices.ContainsFunc(ties, func(p plane) bool { return p.floor && t.inFloor(p, end, -out) }) {
				t.ends[i] = end
				break
			}
		}
	}
	t.reach = r1.Interval{Lo: t.ends[0], Hi: t.ends[1]}
}

// inFloor tells whether an end bar, with its heel at a place along u and its leg the way that in looks,
// meets the bolts of a floor plane, or its joints the floor bar.
func (t *tray) inFloor(p plane, heel, in float64) bool {
	room := t.rod.Spanner()
	for _, f := range p.feet {
		room = max(room, f.bolt.Spanner())
	}
	leg := r1.IntervalFromPoint(heel).AddPoint(heel + in*t.angle.Width)
	joint := heel + in*gauge(t.angle, t.rod)
	return leg.Expanded(room+air).Contains(p.heel) || math.Abs(joint-p.heel) < t.floor.Width/2+t.rod.Spanner()+air
}

// floorTie bolts the tray to the mounts of a floor plane.
func (t *tray) floorTie(n int, p plane) {
	bar, needs := t.floorBar(n, p)
	if needs {
		t.addBar(bar)
		from := bar.From.Dot(t.axes.u)
		t.below = append(t.below, r1.Interval{Lo: from, Hi: from + t.floor.Width})
	}
	var joined [2]bool
	for _, f := range p.feet {
		side := t.sideOver(f)
		if side >= 0 {
			joined[side] = true
			t.onSides(p.heel, r1.IntervalFromPoint(p.heel).Expanded(f.bolt.Spanner()))
		}
		t.floorBolt(f, side, bar, needs)
	}
	if !needs {
		return
	}
	t.onSides(p.heel, r1.IntervalFromPoint(p.heel).Expanded(t.rod.Spanner()))
	for i, v := range t.rodLines() {
		if !joined[i] {
			t.bolt(fmt.Sprintf("bolt %s %s", bar.Name, sideWord(t.axes, i)), t.at(p.heel, v, t.under), r3.Vector{Z: -1}, t.angle.Thick+t.floor.Thick, []string{t.sideName(i), bar.Name})
		}
	}
}

// floorBar is the flat of a floor plane, and whether one is needed: not where side members lie over
// all of its mounts.
func (t *tray) floorBar(n int, p plane) (rack.Bar, bool) {
	needs := false
	across := r1.EmptyInterval()
	for i := range 2 {
		across = across.Union(r1.IntervalFromPoint(t.rodLines()[i]).Expanded(math.Ceil(t.rod.Edge())))
	}
	for _, f := range p.feet {
		needs = needs || t.sideOver(f) < 0
		across = across.Union(r1.IntervalFromPoint(f.v).Expanded(math.Ceil(f.bolt.Edge()) + 2))
	}
	z := t.under - t.angle.Thick - t.floor.Thick
	var best rack.Bar
	least := math.Inf(1)
	for _, aside := range t.floorAsides(p) {
		u := p.heel - t.floor.Width/2 + aside
		b := rack.Bar{
			Name: t.name("floor bar %d", n), Section: t.floor, A: t.axes.u, B: r3.Vector{Z: 1},
			From: t.at(u, across.Lo, z), To: t.at(u, across.Hi, z),
		}
		if c := t.room.meets(b.Solids()[0], true); c.short < least {
			best, least = b, c.short
		}
		if least <= 0 {
			break
		}
	}
	return best, needs
}

// floorAsides are how far the middle of a floor bar may be aside from its bolts, the least first.
func (t *tray) floorAsides(p plane) []float64 {
	most := t.floor.Width/2 - t.rod.Edge()
	for _, f := range p.feet {
		most = min(most, t.floor.Width/2-f.bolt.Edge())
	}
	list := []float64{0}
	for off := 1.0; off <= most; off++ {
		list = append(list, off, -off)
	}
	return list
}

// floorBolt goes from the top of the floor bar, or of a side member, into a mount.
func (t *tray) floorBolt(f foot, side int, bar rack.Bar, needs bool) {
	bottom, grip := t.under-t.angle.Thick, t.angle.Thick
	var joins []string
	if side >= 0 {
		joins = append(joins, t.sideName(side))
	}
	if needs {
		joins = append(joins, bar.Name)
		bottom -= t.floor.Thick
		if grip = t.floor.Thick; side >= 0 {
			grip += t.angle.Thick
		}
	}
	t.boltDown(f, joins, bottom, grip)
}

// boltDown is the bolt of a mount that faces up, through metal with its underside at a height.
func (t *tray) boltDown(f foot, joins []string, bottom, grip float64) {
	long := bottom - f.w
	tube := func(from float64) *rack.Sleeve {
		if long <= shims {
			return nil
		}
		return &rack.Sleeve{From: from, To: from + long, Outer: 2 * f.bolt.D}
	}
	name := fmt.Sprintf("bolt %s to %s", joins[len(joins)-1], f.mount.Name)
	if f.mount.Holds == frame.Stud {
		end := math.Ceil(long + grip + f.bolt.WasherThk + f.bolt.Locking + 2*f.bolt.Pitch)
		t.whole.Fasteners = append(t.whole.Fasteners, rack.Fastener{
			Name: name, Size: f.bolt.Size, Class: "4.6", Rod: true, From: f.mount.At, To: f.mount.At.Add(r3.Vector{Z: end}),
			Nuts: []rack.Nut{{At: long + grip, Beyond: true, Locking: true}}, Joins: append([]string{f.mount.Name}, reversed(joins)...), Sleeve: tube(0),
		})
		return
	}
	head := f.bolt.WasherThk
	seat := f.mount.At.Add(r3.Vector{Z: long + grip + head})
	b := rack.Fastener{Name: name, Size: f.bolt.Size, Class: "8.8", From: seat, Joins: append(joins, f.mount.Name), Sleeve: tube(head + grip)}
	through := head + grip + long
	length := intoThread(through, f)
	if f.mount.Holds == frame.Hole {
		length = bought(through + rack.ThickOf(f.mount) + f.bolt.WasherThk + f.bolt.Locking + f.bolt.Pitch)
		b.Nuts = []rack.Nut{{At: through + rack.ThickOf(f.mount), Beyond: true, Locking: true}}
	}
	b.To = seat.Sub(r3.Vector{Z: length})
	t.whole.Fasteners = append(t.whole.Fasteners, b)
}

// intoThread is how long a bolt is that goes through so much before a mount's face, and into its thread:
// by 1.2 of its diameter, or by 0.8 where the thread is too short for that.
func intoThread(through float64, f foot) float64 {
	long := bought(through + 1.2*f.bolt.D)
	if deep := f.mount.Thick; deep > 0 && long > through+deep {
		return bought(through + 0.8*f.bolt.D)
	}
	return long
}

func reversed(list []string) []string {
	list = slices.Clone(list)
	slices.Reverse(list)
	return list
}
