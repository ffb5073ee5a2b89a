package block

import (
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// brick is a box-shaped solid from the origin to size with features on its faces, and
// with a hollow where it is a shell.
type brick struct {
	size     r3.Vector
	features [6][]feature
	shell    float64     // thickness of the walls, 0 for a solid
	open     pack.Face   // of a shell: the face that is left out
	loose    []pack.Post // that stand out of it, and are no features for they meet an edge or another
	columns  []column    // in the hollow, to hold sockets
}

// feature stands out of a face, or goes into it where height is negative: a ring in the
// face's own axes, counter-clockwise, with rings inside of it that stay level.
type feature struct {
	ring   []r2.Point
	level  [][]r2.Point
	height float64
	top    []feature // in its end, with heights above the face too
}

// faceFrame is a face of a brick: a rectangle from the origin to size in its own plane.
type faceFrame struct {
	face   pack.Face
	origin r3.Vector
	u, v   r3.Vector // axes in the face; u × v looks out
	size   r2.Point
	swap   bool // u is the second of the two box coordinates in the face
	depth  float64
}

// faceOf puts axes into a face. The box coordinates of a post in the face come in the
// order L, W, H; where that order does not turn counter-clockwise seen from outside
// they change places.
func faceOf(size r3.Vector, face pack.Face) faceFrame {
	e := [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}
	axis := face.Axis()
	first, second := e[(axis+1)%3], e[(axis+2)%3]
	f := faceFrame{face: face, depth: size.Dot(e[axis])}
	if axis == 1 {
		first, second = second, first
	}
	if n := face.Normal(); n.Dot(e[axis]) > 0 {
		f.origin = e[axis].Mul(f.depth)
	}
	f.u, f.v = first, second
	if first.Cross(second).Dot(face.Normal()) < 0 {
		f.u, f.v, f.swap = second, first, true
	}
	f.size = r2.Point{X: size.Dot(f.u), Y: size.Dot(f.v)}
	return f
}

// at is a point of the face, h in front of it.
func (f faceFrame) at(p r2.Point, h float64) r3.Vector {
	return f.origin.Add(f.u.Mul(p.X)).Add(f.v.Mul(p.Y)).Add(f.face.Normal().Mul(h))
}

// outline is the edge of the face, counter-clockwise.
func (f faceFrame) outline() []r2.Point {
	return []r2.Point{{}, {X: f.size.X}, f.size, {Y: f.size.Y}}
}

// own turns box coordinates in the face, in the order L, W, H, into the face's.
func (f faceFrame) own(p r2.Point) r2.Point {
	if f.swap {
		return r2.Point{X: p.Y, Y: p.X}
	}
	return p
}

// mesh is the surface of the brick, and those of its loose posts.
func (b brick) mesh() (Mesh, error) {
	var m Mesh
	for face := pack.Front; face <= pack.Bottom; face++ {
		f, features := faceOf(b.size, face), b.features[face]
		if b.shell > 0 && face == b.open {
			features = append(features, feature{ring: f.hollow(b.shell, b.columns), height: b.shell - f.depth})
		}
		if err := m.face(f, features); err != nil {
			return m, err
		}
	}
	for _, t := range b.loose {
		f := faceOf(b.size, t.Face)
		body, err := prism(f.foot(t), 0, t.Height, f.at)
		if err != nil {
			return m, err
		}
		m.join(body)
	}
	return m, nil
}

// face adds a face with its features.
func (m *Mesh) face(f faceFrame, features []feature) error {
	var holes [][]r2.Point
	for _, x := range features {
		holes = append(holes, x.ring)
	}
	if err := m.flat(f.outline(), holes, 0, f.at); err != nil {
		return err
	}
	for _, x := range features {
		m.wall(x.ring, 0, x.height, f.at)
		inner := slices.Clone(x.level)
		for _, t := range x.top {
			inner = append(inner, t.ring)
			m.wall(t.ring, x.height, t.height, f.at)
			if err := m.flat(t.ring, nil, t.height, f.at); err != nil {
				return err
			}
		}
		if err := m.flat(x.ring, inner, x.height, f.at); err != nil {
			return err
		}
		for _, l := range x.level {
			m.wall(l, x.height, 0, f.at)
			if err := m.flat(l, nil, 0, f.at); err != nil {
				return err
			}
		}
	}
	return nil
}

// flat adds an outline with holes at a height.
func (m *Mesh) flat(outline []r2.Point, holes [][]r2.Point, h float64, at func(r2.Point, float64) r3.Vector) error {
	list, err := triangulate(outline, holes)
	for _, t := range list {
		m.add(at(t[0], h), at(t[1], h), at(t[2], h))
	}
	return err
}
