package design

import (
	"math"
	"slices"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack/rack"
)

// Mounts that face up far below a tray get legs: an angle lies across on the mounts, bolted down, and
// uprights go from its upright leg to the tray, as they do from one tray to the next. From mounts that
// face down the tray hangs by the same, upside down.

// longestLeg is how far in mm such mounts may be from a tray.
const longestLeg = 400

// legPlanes are the ways of tying a tray by legs, two for all mounts at one place along it: the upright
// leg of the angle on the mounts before them or behind.
func (t *tray) legPlanes(mounts []frame.Mount) []plane {
	var list []plane
	for _, m := range mounts {
		bolt, err := rack.ThreadOf(m.Bolt)
		if t.used(m) || err != nil || math.Abs(m.Faces.Z) < 1-1e-6 || !t.onLegs(m) {
			continue
		}
		for _, out := range []float64{1, -1} {
			list = join(list, plane{
				heel: m.At.Dot(t.axes.u) + out*gauge(t.upright, bolt), out: out, legs: m.Faces.Z,
				feet: []foot{{mount: m, bolt: bolt, v: m.At.Dot(t.axes.v), w: m.At.Z, gap: t.recess(m)}},
			})
		}
	}
	return slices.DeleteFunc(list, func(p plane) bool { return p.legs < 0 && t.underBoxes(p) })
}

// recess is how long in mm the tube around the bolt of a mount has to be for an angle to lie over what is
// around the mount, such as a floor with a hole over it.
func (t *tray) recess(m frame.Mount) float64 {
	half := r3.Vector{X: t.upright.Width / 2, Y: t.upright.Width / 2}
	for gap := 0.0; gap <= mostSleeve; gap++ {
		low, high := m.At.Add(m.Faces.Mul(gap)), m.At.Add(m.Faces.Mul(gap+t.upright.Thick))
		s := geom.BoxFromCorners(r3.Vector{X: low.X, Y: low.Y, Z: math.Min(low.Z, high.Z)}.Sub(half), r3.Vector{X: low.X, Y: low.Y, Z: math.Max(low.Z, high.Z)}.Add(half))
		if t.room.meets(s, false).short <= 0 {
			return gap
		}
	}
	return 0
}

// onLegs tells whether a mount is so far below a tray, or above its boxes, that legs are of use.
func (t *tray) onLegs(m frame.Mount) bool {
	if m.Faces.Z > 0 {
		high := t.under - t.angle.Thick - m.At.Z
		return high > mostSleeve+t.floor.Thick && high <= longestLeg
	}
	high := m.At.Z - t.under
	return high >= 2*t.upright.Width && high <= longestLeg
}

// legTie puts the angle on the mounts of a plane, and returns the plane with its uprights on that.
func (t *tray) legTie(n string, p plane) (plane, bool) {
	across, gap := r1.EmptyInterval(), 0.0
	for _, f := range p.feet {
		gap = math.Max(gap, f.gap)
	}
	p.feet = slices.Clone(p.feet)
	for i := range p.feet {
		p.feet[i].gap = gap
	}
	low := p.feet[0].w + p.legs*gap
	for _, f := range p.feet {
		across = across.Union(r1.IntervalFromPoint(f.v).Expanded(math.Ceil(f.bolt.Edge()) + 2))
	}
	within := across.Expanded(t.riser.Width + legsApart).Intersection(t.width())
	q := p
	q.feet = nil
	for _, side := range []float64{-1, 1} {
		if v, ok := t.legBeside(p, within, side); ok {
			across = across.AddPoint(v).AddPoint(v - side*t.riser.Width)
			q.feet = append(q.feet, foot{v: v, w: low, way: p.legs})
		}
	}
	if len(q.feet) < 2 {
		return p, t.fail("there is no room for two uprights on %s: their bolts are in the way", p.feet[0].mount.Name)
	}
	word := map[bool]string{true: "foot bar ", false: "hanger bar "}[p.legs > 0]
	bar := t.addLoose(rack.Bar{
		Name: t.name("%s", word+n), Section: t.upright, A: t.axes.u.Mul(-p.out), B: r3.Vector{Z: p.legs},
		From: t.at(p.heel, across.Lo, low), To: t.at(p.heel, across.Hi, low),
	})
	for i := range q.feet {
		q.feet[i].bar = &bar
	}
	for _, f := range p.feet {
		t.whole.Fasteners = append(t.whole.Fasteners, mountBolt(bar, f))
	}
	return q, true
}

// legsApart is how far in mm uprights may stand beyond the mounts.
const legsApart = 16

// addLoose adds a bar that is of no tray.
func (t *tray) addLoose(b rack.Bar) rack.Bar {
	t.whole.Bars = append(t.whole.Bars, b)
	return b
}

// legBeside is where along v an upright has room beside the bolts of the mounts, from the outside inwards.
func (t *tray) legBeside(p plane, in r1.Interval, side float64) (float64, bool) {
	from := in.Hi
	if side < 0 {
		from = in.Lo
	}
	for off := 0.0; off < in.Length()/2-t.riser.Width; off++ {
		face := from - side*off
		leg := r1.IntervalFromPoint(face).AddPoint(face - side*t.riser.Width)
		if !slices.ContainsFunc(p.feet, func(f foot) bool { return leg.Expanded(f.bolt.Spanner()).Contains(f.v) }) {
			return face, true
		}
	}
	return 0, false
}
