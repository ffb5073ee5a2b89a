package design

import (
	"fmt"
	"math"

	"github.com/golang/geo/r1"

	"rackwright/frame"
	"rackwright/pack/rack"
)

// What looks at a tray from its side is bolted to the upright leg of its side member: straight through
// the leg where it is at that height, else through a flat on the outside of the leg; with a tube around
// the bolt from there to the mount's face.

// sidePlane is such a way of tying a tray to a mount that looks across it.
func (t *tray) sidePlane(m frame.Mount, bolt rack.Thread) (plane, bool) {
	for i, out := range []float64{-1, 1} {
		f := foot{mount: m, bolt: bolt, v: m.At.Dot(t.axes.v), w: m.At.Z, side: i}
		if out*m.Faces.Dot(t.axes.v) > -1+1e-6 {
			continue
		}
		near, far := t.sideLegs(bolt)
		high := f.w - (t.under - t.angle.Thick)
		f.direct = high >= near && high <= far
		if gap := t.beyondSide(f); gap >= -shims && gap <= mostSleeve {
			return plane{heel: m.At.Dot(t.axes.u), beside: true, feet: []foot{f}}, true
		}
	}
	return plane{}, false
}

// sideLegs are how high over the root of a side member a bolt can go through its upright leg: past the
// cross bars that lie on its other leg.
func (t *tray) sideLegs(bolt rack.Thread) (near, far float64) {
	return 2*t.angle.Thick + bolt.Spanner() + air, t.angle.Width - bolt.Edge()
}

// beyondSide is how far a mount's face is from what is bolted to it beside the tray.
func (t *tray) beyondSide(f foot) float64 {
	gap := []float64{-1, 1}[f.side] * (f.v - t.sideHeel(f.side))
	if f.direct {
		return gap
	}
	return gap - t.floor.Thick
}

// sidePair is the bolt of which two go through a side member and the flat outside it.
func (t *tray) sidePair() rack.Thread {
	best, _ := rack.ThreadOf("M5")
	for _, size := range []string{"M6", "M8"} {
		next, _ := rack.ThreadOf(size)
		near, far := t.sideLegs(next)
		if a, c := legs(t.floor, next); far > near && math.Hypot(far-near, c-a) >= math.Max(2.2*next.Hole, next.Washer+0.5) {
			best = next
		}
	}
	return best
}

// sideTie bolts the side members to the mounts of a plane.
func (t *tray) sideTie(n int, p plane) {
	for i, f := range p.feet {
		f.gap = math.Max(0, t.beyondSide(f))
		member := rack.Bar{Name: t.sideName(f.side), Section: t.angle}
		if !f.direct {
			member = t.sideUpright(fmt.Sprintf("%d%s", n, letters(len(p.feet), i)), p, f, member)
		}
		t.whole.Fasteners = append(t.whole.Fasteners, mountBolt(member, f))
	}
}

// sideUpright is the flat on the outside of a side member, held by two bolts.
func (t *tray) sideUpright(n string, p plane, f foot, member rack.Bar) rack.Bar {
	out := t.axes.v.Mul([]float64{-1, 1}[f.side])
	size := t.sidePair()
	near, far := t.sideLegs(size)
	root, edge, foot := t.under-t.angle.Thick, math.Ceil(size.Edge()), math.Ceil(f.bolt.Edge())+2
	high := r1.IntervalFromPoint(root + near - edge).AddPoint(root + far + edge).AddPoint(f.w - foot).AddPoint(f.w + foot)
	u, v := p.heel-t.floor.Width/2, t.sideHeel(f.side)
	b := rack.Bar{
		Name: t.name("upright %s", n), Section: t.floor, A: t.axes.u, B: out,
		From: t.at(u, v, high.Lo), To: t.at(u, v, high.Hi),
	}
	t.whole.Bars = append(t.whole.Bars, b)
	a, c := legs(t.floor, size)
	for i, at := range [][2]float64{{a, near}, {c, far}} {
		seat := t.at(u+at[0], v, root+at[1]).Sub(out.Mul(t.angle.Thick))
		t.whole.Fasteners = append(t.whole.Fasteners, boltOf(size, fmt.Sprintf("bolt %d %s to %s", i+1, b.Name, member.Name), seat, out, t.angle.Thick+t.floor.Thick, []string{member.Name, b.Name}))
	}
	return b
}
