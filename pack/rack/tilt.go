package rack

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// Boxes that stand tilted stand on trays that are tilted like them. A rack file, the designer and the
// judge see such a rack along its trays: in axes that are turned about the vehicle's cross axis through
// its origin, in which boxes stand level. Bars and bolts of a Rack are in the vehicle's own axes.

// turn is the turn by which trays are tilted, nose down positive.
func turn() geom.Motion { return geom.Motion{Turns: true, Along: r3.Vector{Y: 1}} }

// Tilted is a level rack turned so that its trays are tilted, nose down positive. With 0 it is the rack.
func (r *Rack) Tilted(tilt s1.Angle) *Rack {
	if tilt == 0 {
		return r
	}
	out := r.turned(tilt)
	out.Tilt = r.Tilt + tilt
	return out
}

// Level is the rack as it is seen along its trays: a rack without tilt.
func (r *Rack) Level() *Rack {
	if r.Tilt == 0 {
		return r
	}
	out := r.turned(-r.Tilt)
	out.Tilt = 0
	return out
}

func (r *Rack) turned(by s1.Angle) *Rack {
	m, at := turn(), by.Radians()
	out := *r
	out.Bars, out.Fasteners, out.Pads, out.Welds = slices.Clone(r.Bars), slices.Clone(r.Fasteners), slices.Clone(r.Pads), slices.Clone(r.Welds)
	for i := range out.Bars {
		b := &out.Bars[i]
		b.From, b.To, b.A, b.B = m.Point(b.From, at), m.Point(b.To, at), m.Point(b.A, at), m.Point(b.B, at)
	}
	for i := range out.Fasteners {
		f := &out.Fasteners[i]
		f.From, f.To = m.Point(f.From, at), m.Point(f.To, at)
	}
	out.Clamps = slices.Clone(r.Clamps)
	for i := range out.Clamps {
		c := &out.Clamps[i]
		c.At, c.Along, c.Faces = m.Point(c.At, at), m.Point(c.Along, at), m.Point(c.Faces, at)
	}
	for i := range out.Pads {
		if out.Pads[i].Tilt += by; out.Pads[i].Tilt.Abs() < 1e-12 {
			out.Pads[i].Tilt = 0
		}
	}
	for i := range out.Welds {
		w := &out.Welds[i]
		w.Runs = slices.Clone(w.Runs)
		for k := range w.Runs {
			w.Runs[k].From, w.Runs[k].To = m.Point(w.Runs[k].From, at), m.Point(w.Runs[k].To, at)
		}
	}
	return &out
}

// InVehicle is a point or direction of a pad's own axes in the vehicle's.
func (p Pad) InVehicle(v r3.Vector) r3.Vector { return turn().Point(v, p.Tilt.Radians()) }

// Along is a problem and a layout as they are seen along tilted trays.
type Along struct {
	Problem   pack.Problem // only its mounts, its rails and what hangs on the rack are turned; Obstacles has the rest
	Layout    pack.Layout
	Obstacles []frame.Obstacle
	tilt      s1.Angle
}

// AlongTrays turns a problem and a layout back by the tilt of trays. With 0 they stay what they are.
func AlongTrays(p pack.Problem, l pack.Layout, tilt s1.Angle) Along {
	a := Along{Problem: p, Layout: l, Obstacles: p.Obstacles(), tilt: tilt}
	if tilt == 0 {
		return a
	}
	m, at := turn(), -tilt.Radians()
	for i := range a.Obstacles {
		a.Obstacles[i].Solid = m.Solid(a.Obstacles[i].Solid, at)
	}
	a.Layout.Placements = slices.Clone(l.Placements)
	for i := range a.Layout.Placements {
		b := &a.Layout.Placements[i]
		b.Centre, b.Tilt = m.Point(b.Centre, at), b.Tilt-tilt
	}
	f := *p.Frame
	f.Mounts, f.KeepOuts = slices.Clone(f.Mounts), slices.Clone(f.KeepOuts)
	for i := range f.Mounts {
		f.Mounts[i] = a.Mount(f.Mounts[i])
	}
	f.Rails = slices.Clone(f.Rails)
	for i := range f.Rails {
		path := slices.Clone(f.Rails[i].Path)
		for n := range path {
			path[n] = m.Point(path[n], at)
		}
		f.Rails[i].Path = path
	}
	for i := range f.KeepOuts {
		k := &f.KeepOuts[i]
		k.Hangs = slices.Clone(k.Hangs)
		for n := range k.Hangs {
			k.Hangs[n].At = m.Point(k.Hangs[n].At, at)
		}
	}
	a.Problem.Frame = &f
	return a
}

// Mount is a mount of the vehicle as it is seen along the trays.
func (a Along) Mount(m frame.Mount) frame.Mount {
	t, at := turn(), -a.tilt.Radians()
	m.At, m.Faces = t.Point(m.At, at), t.Point(m.Faces, at)
	return m
}

// InVehicle is a direction along the trays in the vehicle's axes.
func (a Along) InVehicle(v r3.Vector) r3.Vector { return turn().Point(v, a.tilt.Radians()) }

// Square tells whether the sides of a box are along the axes.
func Square(b geom.Box) bool {
	const off = 1e-6
	return !slices.ContainsFunc(b.Axes[:], func(a r3.Vector) bool {
		return max(math.Abs(a.X), math.Abs(a.Y), math.Abs(a.Z)) < 1-off
	})
}
