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

// ofSolid is the surface of a solid of the frame; a tube has flat ends.
func ofSolid(s geom.Solid) (Mesh, error) {
	switch s := s.(type) {
	case geom.Tube:
		return bar(s.From, s.To, s.Radius)
	case geom.Cylinder:
		return bar(s.From, s.To, s.Radius)
	case geom.Box:
		return box(s)
	case geom.Prism:
		return ofPrism(s)
	}
	return Mesh{}, nil // half-spaces have no surface to print
}

func box(b geom.Box) (Mesh, error) {
	outline := []r2.Point{{X: -b.Half.X, Y: -b.Half.Y}, {X: b.Half.X, Y: -b.Half.Y}, {X: b.Half.X, Y: b.Half.Y}, {X: -b.Half.X, Y: b.Half.Y}}
	return prism(outline, -b.Half.Z, b.Half.Z, func(p r2.Point, h float64) r3.Vector {
		return b.Centre.Add(b.Axes[0].Mul(p.X)).Add(b.Axes[1].Mul(p.Y)).Add(b.Axes[2].Mul(h))
	})
}

// ofPrism sweeps a profile: seen from the right the outline (x, z) of a side view runs
// counter-clockwise, and across is towards the viewer with y falling.
func ofPrism(p geom.Prism) (Mesh, error) {
	if p.View == geom.SideView {
		return prism(p.Profile.Corners, -p.Depth.Hi, -p.Depth.Lo, func(q r2.Point, h float64) r3.Vector {
			return r3.Vector{X: q.X, Y: -h, Z: q.Y}
		})
	}
	return prism(p.Profile.Corners, p.Depth.Lo, p.Depth.Hi, func(q r2.Point, h float64) r3.Vector {
		return r3.Vector{X: h, Y: q.X, Z: q.Y}
	})
}
