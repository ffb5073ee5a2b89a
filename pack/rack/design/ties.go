package design

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack/rack"
)

// foot is what an upright can be bolted to below or above a tray: a mount, or the upright leg
// of a bar of another tray.
type foot struct {
	mount  frame.Mount
	bolt   rack.Thread
	bar    *rack.Bar // instead of a mount: its upright leg, whose outer face looks along out
	v      float64   // along v
	w      float64   // height of the bolt
	flush  bool      // it looks along u: a flat goes from the outside of the cross bar to it
	gap    float64   // mm between the flat and its face, for a tube around the bolt
	direct bool      // its bolt goes through the cross bar or side member itself
	way    float64   // of the bar's upright leg: +1 up, −1 down; 0: up
	side   int       // which side member it is beside
}

// pastNuts is how long in mm such a tube is where the nuts of the flat would meet what is around a face.
const pastNuts = 20

// plane is a way of tying: a cross bar whose outer face is at heel along u, looking along
// out, with the uprights that lie against it.
type plane struct {
	heel   float64
	out    float64 // +1 or −1 along u
	floor  bool    // mounts under the tray: heel is where they are, and out is nought
	beside bool    // mounts beside the tray: likewise
	legs   float64 // of an angle on mounts: +1 up from mounts that face up, −1 down from those that face down
	feet   []foot
}

// planes lists the ways of tying a tray: for each pair of mounts on either side of their
// bolts, and for each end bar of lower trays.
func (t *tray) planes(mounts []frame.Mount, lower []*tray) []plane {
	var list []plane
	for _, m := range mounts {
		bolt, err := rack.ThreadOf(m.Bolt)
		if t.used(m) || err != nil {
			continue
		}
		if along := m.Faces.Dot(t.axes.u); math.Abs(along) > 1-1e-6 {
			if near, far := legs(t.angle, bolt); m.At.Z >= t.under+near && m.At.Z <= t.under+far {
				f := foot{mount: m, bolt: bolt, v: m.At.Dot(t.axes.v), w: m.At.Z, flush: true, direct: true}
				list = join(list, plane{heel: m.At.Dot(t.axes.u), out: -along, feet: []foot{f}})
			}
			for _, gap := range []float64{0, pastNuts} {
				f := foot{mount: m, bolt: bolt, v: m.At.Dot(t.axes.v), w: m.At.Z, flush: true, gap: gap}
				list = join(list, plane{heel: m.At.Dot(t.axes.u) + along*(t.floor.Thick+gap), out: -along, feet: []foot{f}})
			}
		}
		if math.Abs(m.Faces.Dot(t.axes.v)) < 1-1e-6 {
			continue
		}
		if p, ok := t.sidePlane(m, bolt); ok {
			list = join(list, p)
		}
		for _, out := range []float64{1, -1} {
			g := gauge(t.upright, bolt)
			list = join(list, plane{heel: m.At.Dot(t.axes.u) - out*g, out: out, feet: []foot{{mount: m, bolt: bolt, v: m.At.Dot(t.axes.v), w: m.At.Z}}})
		}
	}
	for _, l := range lower {
		for i, out := range []float64{-1, 1} {
			bar := l.endBar(i)
			p := plane{heel: l.ends[i], out: out}
			in := l.width().Intersection(t.width())
			for _, side := range []float64{-1, 1} {
				if v, ok := t.besideOthers(l, i, in, side); ok {
					p.feet = append(p.feet, foot{bar: &bar, v: v, w: l.under})
				}
			}
			if len(p.feet) == 2 {
				list = append(list, p)
			}
		}
	}
	return list
}

// besideOthers is where along v, from the outside inwards, an upright has room on an end bar of a
// lower tray beside those that are there: where its bolts are clear of the joints of the bar, or
// farthest from them. (The nuts of a tie bar's joints would be in the way, those of an end bar are not.)
func (t *tray) besideOthers(l *tray, end int, in r1.Interval, side float64) (float64, bool) {
	from := in.Hi
	if side < 0 {
		from = in.Lo
	}
	best, clear, found := 0.0, math.Inf(-1), false
	for off := 1.0; off < in.Length()/2-t.riser.Width && clear < 0; off++ {
		face := from - side*off
		leg := r1.IntervalFromPoint(face).AddPoint(face - side*t.riser.Width)
		if t.uprightsMeet(l.ends[end], leg.Expanded(air)) {
			continue
		}
		if a := t.pairAir(face, side); a > clear {
			best, clear, found = face, a, true
		}
	}
	return best, found
}

// pairAir is how much in mm the bolts of an upright whose heel is at a place along v clear the nuts
// of the joints of cross bars and side members; less than nought where they would be beside them.
func (t *tray) pairAir(face, side float64) float64 {
	size := pairBolt(t.riser, t.angle)
	near, far := legs(t.riser, size)
	least := math.Inf(1)
	for _, line := range t.rodLines() {
		for _, at := range []float64{near, far} {
			least = math.Min(least, math.Abs(face-side*at-line)-(size.Corners()+t.rod.Washer)/2)
		}
	}
	return least
}

// uprightsMeet tells whether an upright that is there already stands at an end in a stretch
// along v.
func (t *tray) uprightsMeet(end float64, leg r1.Interval) bool {
	return slices.ContainsFunc(t.whole.Bars, func(b rack.Bar) bool {
		if b.Tray != "" || b.Late {
			return false
		}
		low, high := geom.Bounds(b.Solids()...)
		u := r1.IntervalFromPoint(low.Dot(t.axes.u)).AddPoint(high.Dot(t.axes.u))
		v := r1.IntervalFromPoint(low.Dot(t.axes.v)).AddPoint(high.Dot(t.axes.v))
		return u.Expanded(1).Contains(end) && v.Intersects(leg)
	})
}

// used tells whether another tray is tied to a mount.
func (t *tray) used(m frame.Mount) bool {
	return slices.ContainsFunc(t.whole.Fasteners, func(f rack.Fastener) bool {
		off := m.At.Sub(f.From)
		return slices.Contains(f.Joins, m.Name) && off.Sub(f.Along().Mul(off.Dot(f.Along()))).Norm() < 1
	})
}

func (t *tray) endBar(i int) rack.Bar {
	for _, b := range t.whole.Bars {
		if b.Tray == t.level.name+"tray" && b.Section.Form == rack.Angle && b.A == t.axes.u.Mul([]float64{1, -1}[i]) && b.B.Z > 0 {
			return b
		}
	}
	return rack.Bar{}
}

// join puts mounts whose cross bar is the same into one plane.
func join(list []plane, p plane) []plane {
	for i := range list {
		if list[i].floor == p.floor && list[i].beside == p.beside && list[i].legs == p.legs && list[i].out == p.out && math.Abs(list[i].heel-p.heel) < 0.5 {
			list[i].feet = append(list[i].feet, p.feet...)
			return list
		}
	}
	return append(list, p)
}

// serves tells whether an end bar can be the cross bar of a plane: then its heel is there.
func (t *tray) serves(p plane, end int) bool {
	out := []float64{-1, 1}[end]
	edge := []float64{around(t.level.boxes, t.axes.u).Lo, around(t.level.boxes, t.axes.u).Hi}[end]
	padding := out*(p.heel-edge) - t.angle.Thick
	return !p.floor && !p.beside && p.out == out && padding >= math.Max(t.endPad(end), pairBolt(t.upright, t.angle).Head+1) && padding <= mostPad
}

// mostPad is how thick in mm a pad of foam on a block between a box and an end bar may be.
const mostPad = 60

// above tells whether all feet are not below the tray's bars: then its cross bar stands up.
func (p plane) above(t *tray) bool {
	for _, f := range p.feet {
		if f.bar != nil || f.w < t.level.z-t.foam-t.angle.Thick+10 {
			return false
		}
	}
	return true
}

// tie makes the uprights of a plane, and its cross bar unless an end bar serves.
func (t *tray) tie(n int, p plane, end int) bool {
	if p.floor {
		t.floorTie(n, p)
		return true
	}
	if p.beside {
		t.sideTie(n, p)
		return true
	}
	up := end >= 0 || (p.legs < 0 || p.legs == 0 && p.above(t)) && !t.underBoxes(p)
	bar, ok := rack.Bar{}, true
	if p.legs != 0 {
		if p, ok = t.legTie(fmt.Sprint(n), p); !ok {
			return false
		}
	}
	ok = false
	if end >= 0 {
		bar, ok = t.endBar(end), true
	}
	if !ok {
		bar = t.mountBar(n, p, up)
	}
	for i, f := range p.feet {
		if f.direct {
			t.whole.Fasteners = append(t.whole.Fasteners, mountBolt(bar, f))
			continue
		}
		t.uprightAt(fmt.Sprintf("%d%s", n, letters(len(p.feet), i)), p, f, bar, up)
	}
	return true
}

// underBoxes tells whether the upright leg of a plane's cross bar would be under a box.
func (t *tray) underBoxes(p plane) bool {
	leg := r1.IntervalFromPoint(p.heel).AddPoint(p.heel - p.out*t.angle.Thick)
	return slices.ContainsFunc(t.level.boxes, func(b placed) bool { return t.spanU(b).InteriorIntersects(leg) })
}

func letters(of, i int) string {
	if of == 1 {
		return ""
	}
	return string(rune('a' + i))
}

// mountBar puts a cross bar at a plane: on the side members with its leg up, or under them
// with its leg down.
func (t *tray) mountBar(n int, p plane, up bool) rack.Bar {
	w := t.width().Union(p.reach(t.upright.Width))
	b := rack.Bar{Name: t.name("tie bar %d", n), Section: t.angle, A: t.axes.u.Mul(-p.out), B: r3.Vector{Z: 1}}
	height := t.under
	if !up {
		w = t.outer().Union(p.reach(t.upright.Width))
		b.B, height = r3.Vector{Z: -1}, t.under-t.angle.Thick
	}
	b.From, b.To = t.at(p.heel, w.Lo, height), t.at(p.heel, w.Hi, height)
	t.addBar(b)
	u := p.heel - p.out*gauge(t.angle, t.rod)
	if up {
		t.joinCross(b, u)
		return b
	}
	t.onSides(u, r1.IntervalFromPoint(u).Expanded(t.rod.Spanner()))
	t.below = append(t.below, r1.IntervalFromPoint(p.heel).AddPoint(p.heel-p.out*t.angle.Width))
	for i, v := range t.rodLines() {
		t.bolt(fmt.Sprintf("bolt %s %s", b.Name, sideWord(t.axes, i)), t.at(u, v, t.under), r3.Vector{Z: -1}, 2*t.angle.Thick, []string{t.sideName(i), b.Name})
	}
	return b
}

// reach is the extent along v of uprights on the plane's mounts.
func (p plane) reach(leg float64) r1.Interval {
	all := r1.EmptyInterval()
	for _, f := range p.feet {
		switch {
		case f.flush:
			all = all.Union(r1.IntervalFromPoint(f.v).Expanded(leg / 2))
		case f.bar == nil:
			in := math.Copysign(1, -f.v)
			all = all.AddPoint(f.v + air*in).AddPoint(f.v + leg*in)
		}
	}
	return all
}

// extend makes the side members reach the cross bars of planes.
func (t *tray) extend(p plane) {
	if p.floor || p.beside {
		t.reach = t.reach.Union(r1.IntervalFromPoint(p.heel).Expanded(t.floor.Width / 2))
		return
	}
	t.reach = t.reach.Union(r1.IntervalFromPoint(p.heel).AddPoint(p.heel - p.out*t.angle.Width))
}

// legs are where bolts can go in a leg: from the nearest to its root to the nearest to its edge.
func legs(s rack.Section, t rack.Thread) (near, far float64) {
	if s.Form != rack.Angle {
		return t.Edge(), s.Width - t.Edge()
	}
	return s.Thick + t.Corners()/2 + 1.5, s.Width - t.Edge()
}

// pairBolt is the bolt of which two go through two legs that cross, corner to corner: two do
// not turn where one would. The largest that has room.
func pairBolt(upright, bar rack.Section) rack.Thread {
	best, _ := rack.ThreadOf("M5")
	for _, size := range []string{"M6", "M8"} {
		if t, _ := rack.ThreadOf(size); roomForTwo(upright, bar, t) {
			best = t
		}
	}
	return best
}

// roomForTwo tells whether two bolts have room through two legs that cross: 2.2 d0 between them
// (EN 1993-1-8 Table 3.3), and their washers.
func roomForTwo(upright, bar rack.Section, t rack.Thread) bool {
	a, b := legs(upright, t)
	c, d := legs(bar, t)
	return b > a && d > c && math.Hypot(b-a, d-c) >= math.Max(2.2*t.Hole, t.Washer+0.5)
}

// uprightAt puts an angle or flat between a foot and a cross bar's upright leg.
func (t *tray) uprightAt(n string, p plane, f foot, bar rack.Bar, up bool) {
	section, across, face := t.upright, f.mount.Faces, f.v
	if f.bar != nil {
		section, across = t.riser, t.axes.v
		if f.v > t.alongV.Center() {
			across = across.Mul(-1)
		}
	}
	if f.flush {
		section, across, face = t.floor, t.axes.v, f.v-t.floor.Width/2
	}
	root, way := t.under, 1.0 // of the cross bar's upright leg
	if !up {
		root, way = t.under-t.angle.Thick, -1
	}
	pair := pairBolt(section, t.angle)
	near, far := legs(t.angle, pair)
	edge := math.Ceil(pair.Edge())
	lo, hi := root+way*near-edge, root+way*far+edge
	if !up {
		lo, hi = root+way*far-edge, root
	}
	switch {
	case f.way < 0:
		hi = math.Max(hi, f.w-near+edge)
	case f.bar != nil:
		lo = math.Min(lo, f.w+near-edge)
	default:
		footEdge := math.Ceil(f.bolt.Edge()) + 2
		lo, hi = math.Min(f.w-footEdge, lo), math.Max(f.w+footEdge, hi)
	}
	b := rack.Bar{
		Name: t.name("upright %s", n), Section: section, A: t.axes.u.Mul(p.out), B: across,
		From: t.at(p.heel, face, lo), To: t.at(p.heel, face, hi),
	}
	if section.Form != rack.Angle {
		b.A, b.B = across, t.axes.u.Mul(p.out)
	}
	t.whole.Bars = append(t.whole.Bars, b)
	if f.bar != nil {
		t.pair(b, bar, p, root, way, nil)
		t.pair(b, *f.bar, p, f.w, cmp.Or(f.way, 1), nil)
		return
	}
	mount := mountBolt(b, f)
	t.pair(b, bar, p, root, way, mount.Solids())
	t.whole.Fasteners = append(t.whole.Fasteners, mount)
}

// mountBolt is the bolt of a mount, from the inside of the upright's leg into the mount, through a tube
// where the leg is off its face.
func mountBolt(b rack.Bar, f foot) rack.Fastener {
	n := f.mount.Faces
	seat := f.mount.At.Add(n.Mul(f.gap + b.Section.Thick + f.bolt.WasherThk))
	bolt := rack.Fastener{
		Name: fmt.Sprintf("bolt %s to %s", b.Name, f.mount.Name), Size: f.bolt.Size, Class: "8.8",
		From: seat, Joins: []string{b.Name, f.mount.Name},
	}
	grip := b.Section.Thick + f.bolt.WasherThk
	through := grip + f.gap
	tube := rack.Sleeve{From: grip, To: through, Outer: 2 * f.bolt.D}
	switch f.mount.Holds {
	case frame.Thread:
		bolt.To = seat.Sub(n.Mul(intoThread(through, f)))
	case frame.Stud:
		tube.From, tube.To = 0, f.gap
		bolt.Rod, bolt.Class = true, "4.6"
		bolt.From, bolt.To = f.mount.At, f.mount.At.Add(n.Mul(math.Ceil(through+f.bolt.Locking+2*f.bolt.Pitch)))
		bolt.Joins = []string{f.mount.Name, b.Name}
		bolt.Nuts = []rack.Nut{{At: f.gap + b.Section.Thick, Beyond: true, Locking: true}}
	default:
		bolt.To = seat.Sub(n.Mul(bought(through + rack.ThickOf(f.mount) + f.bolt.WasherThk + f.bolt.Locking + f.bolt.Pitch)))
		bolt.Nuts = []rack.Nut{{At: through + rack.ThickOf(f.mount), Beyond: true, Locking: true}}
	}
	if f.gap > 0 {
		bolt.Sleeve = &tube
	}
	return bolt
}
