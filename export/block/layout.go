package block

import (
	"github.com/golang/geo/r3"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// OfLayout returns the boxes of a layout in their places, with the rails and keep-outs
// of the frame as measured, those that meet as one, and parts that move at both ends of their
// movement: closed surfaces, in the vehicle's axes. The error is that of Problem.Bodies.
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

// mostUnited is how many bodies that meet are made one at most; beyond, that takes long, and each
// keeps its own surface.
const mostUnited = 24

func (m *Mesh) frame(f *frame.Frame) error {
	var all []held
	for _, o := range f.Obstacles(0) {
		if o.Kind == frame.RailTube || o.Kind == frame.KeptOut {
			all = append(all, held{name: o.Name, solid: o.Solid})
		}
	}
	for _, group := range connected(all) {
		if len(group) > mostUnited {
			for _, h := range group {
				m.join(ofSolid(h.solid))
			}
			continue
		}
		one, _, err := merged(solids(group))
		if err != nil {
			return err
		}
		m.join(one)
	}
	for _, part := range f.Moving {
		for _, at := range part.Ends() {
			for _, s := range part.At(at) {
				m.join(ofSolid(s))
			}
		}
	}
	return nil
}

// barCorners is how many corners stand for a circle.
const barCorners = 48

// ofSolid is the surface of a solid of the frame; a tube has flat ends, and half-spaces have
// none to print.
func ofSolid(s geom.Solid) Mesh {
	var m Mesh
	for _, face := range geom.Surface(s, barCorners) {
		for i := 2; i < len(face.Corners); i++ {
			m.add(face.Corners[0], face.Corners[i-1], face.Corners[i])
		}
	}
	return m
}
