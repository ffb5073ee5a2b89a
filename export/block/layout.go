package block

import (
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// OfLayout returns the boxes of a layout in their places, with the rails and keep-outs
// of the frame as measured: one closed surface for each, in the vehicle's axes. The
// error is that of Problem.Bodies.
func OfLayout(problem pack.Problem, l pack.Layout) (Mesh, error) {
	var m Mesh
	for _, p := range l.Placements {
		kind, _ := problem.Kind(p.Box)
		if _, err := problem.Bodies(p); err != nil {
			return Mesh{}, err
		}
		b, err := OfKind(kind)
		if err != nil {
			return Mesh{}, err
		}
		axes := p.Axes()
		m.join(b.moved(func(v r3.Vector) r3.Vector {
			v = v.Sub(kind.Size.Mul(0.5))
			return p.Centre.Add(axes[0].Mul(v.X)).Add(axes[1].Mul(v.Y)).Add(axes[2].Mul(v.Z))
		}))
	}
	return m, m.frame(problem.Frame)
}

func (m *Mesh) frame(f *frame.Frame) error {
	for _, o := range f.Obstacles(0) {
		if o.Kind != frame.RailTube && o.Kind != frame.KeptOut {
			continue
		}
		body, err := ofSolid(o.Solid)
		if err != nil {
			return err
		}
		m.join(body)
	}
	return nil
}

// sweep is a convex outline, counter-clockwise seen from against along, swept from low
// to high; at puts a point of the outline at a height.
type sweep struct {
	outline   []r2.Point
	low, high float64
	at        func(p r2.Point, h float64) r3.Vector
}

// ofSolid is the surface of a solid of the frame; a tube has flat ends.
func ofSolid(s geom.Solid) (Mesh, error) {
	if p, ok := s.(geom.Polyhedron); ok {
		var m Mesh
		for _, face := range p.Faces() {
			m.fan(face)
		}
		return m, nil
	}
	w, ok := sweepOf(s)
	if !ok {
		return Mesh{}, nil // half-spaces have no surface to print
	}
	return prism(w.outline, w.low, w.high, w.at)
}

// sweepOf is a solid of the frame as a sweep; false for half-spaces.
func sweepOf(s geom.Solid) (sweep, bool) {
	switch s := s.(type) {
	case geom.Tube:
		return bar(s.From, s.To, s.Radius), true
	case geom.Cylinder:
		return bar(s.From, s.To, s.Radius), true
	case geom.Box:
		return boxSweep(s), true
	case geom.Prism:
		return prismSweep(s), true
	}
	return sweep{}, false
}

func boxSweep(b geom.Box) sweep {
	outline := []r2.Point{{X: -b.Half.X, Y: -b.Half.Y}, {X: b.Half.X, Y: -b.Half.Y}, {X: b.Half.X, Y: b.Half.Y}, {X: -b.Half.X, Y: b.Half.Y}}
	return sweep{outline, -b.Half.Z, b.Half.Z, func(p r2.Point, h float64) r3.Vector {
		return b.Centre.Add(b.Axes[0].Mul(p.X)).Add(b.Axes[1].Mul(p.Y)).Add(b.Axes[2].Mul(h))
	}}
}

// prismSweep sweeps a profile: seen from the right the outline (x, z) of a side view runs
// counter-clockwise, and across is towards the viewer with y falling.
func prismSweep(p geom.Prism) sweep {
	if p.View == geom.SideView {
		return sweep{p.Profile.Corners, -p.Depth.Hi, -p.Depth.Lo, func(q r2.Point, h float64) r3.Vector {
			return r3.Vector{X: q.X, Y: -h, Z: q.Y}
		}}
	}
	return sweep{p.Profile.Corners, p.Depth.Lo, p.Depth.Hi, func(q r2.Point, h float64) r3.Vector {
		return r3.Vector{X: h, Y: q.X, Z: q.Y}
	}}
}

// bar is a round bar with flat ends.
func bar(from, to r3.Vector, radius float64) sweep {
	axis := to.Sub(from)
	u := axis.Ortho()
	v := axis.Normalize().Cross(u)
	return sweep{ring(r2.Point{}, radius, barCorners), 0, 1, func(p r2.Point, h float64) r3.Vector {
		return from.Add(axis.Mul(h)).Add(u.Mul(p.X)).Add(v.Mul(p.Y))
	}}
}

const barCorners = 48
