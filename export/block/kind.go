package block

import (
	"fmt"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// postCorners is how many corners a post has around: its sides are then at most
// 0.12 % of its radius too near the axis.
const postCorners = 64

// dent is how deep in millimetres a flush post is marked at most.
const dent = 0.6

// OfKind returns the block of a kind of box at true size, with its low corner at the
// origin and L, W, H along x, y, z. Posts stand on it, one body with it; a flush post
// is marked by a dent. A post that reaches over the edge of its face or into another
// post is a body of its own that touches the block.
func OfKind(k pack.Kind) (Mesh, error) {
	var m Mesh
	for face := pack.Front; face <= pack.Bottom; face++ {
		if err := m.face(k, faceOf(k, face)); err != nil {
			return Mesh{}, fmt.Errorf("%s, face %v: %w", k.Name, face, err)
		}
	}
	return m, nil
}

// side of a block: a rectangle from the origin to size in its own plane.
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
func faceOf(k pack.Kind, face pack.Face) faceFrame {
	e := [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}
	axis := face.Axis()
	first, second := e[(axis+1)%3], e[(axis+2)%3]
	f := faceFrame{face: face, depth: k.Size.Dot(e[axis])}
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
	f.size = r2.Point{X: k.Size.Dot(f.u), Y: k.Size.Dot(f.v)}
	return f
}

// at is a point of the face, h in front of it.
func (f faceFrame) at(p r2.Point, h float64) r3.Vector {
	return f.origin.Add(f.u.Mul(p.X)).Add(f.v.Mul(p.Y)).Add(f.face.Normal().Mul(h))
}

func (f faceFrame) centre(t pack.Post) r2.Point {
	if f.swap {
		return r2.Point{X: t.At.Y, Y: t.At.X}
	}
	return t.At
}

// face adds a face with its posts.
func (m *Mesh) face(k pack.Kind, f faceFrame) error {
	outline := []r2.Point{{}, {X: f.size.X}, f.size, {Y: f.size.Y}}
	var holes [][]r2.Point
	var joined []pack.Post
	for _, t := range k.Posts {
		if t.Face != f.face {
			continue
		}
		circle := ring(f.centre(t), t.Diameter/2, postCorners)
		switch {
		case f.apart(t, joined):
			holes, joined = append(holes, circle), append(joined, t)
			m.post(circle, f.height(t), f.at)
		case t.Height > 0:
			body, err := prism(circle, 0, t.Height, f.at)
			if err != nil {
				return err
			}
			m.join(body)
		}
	}
	flat, err := triangulate(outline, holes)
	if err != nil {
		return err
	}
	for _, t := range flat {
		m.add(f.at(t[0], 0), f.at(t[1], 0), f.at(t[2], 0))
	}
	return nil
}

// height is how far the end of a post stands out of its face: less than 0 for a dent.
func (f faceFrame) height(t pack.Post) float64 {
	if t.Height > 0 {
		return t.Height
	}
	return -min(dent, f.depth/4)
}

// rim is what has to be left in millimetres between a post and the edge or another.
const rim = 0.01

// apart tells whether a post is clear of the edge of its face and of the others.
func (f faceFrame) apart(t pack.Post, others []pack.Post) bool {
	r, c := t.Diameter/2+rim, f.centre(t)
	if t.Diameter <= rim || c.X < r || c.Y < r || c.X > f.size.X-r || c.Y > f.size.Y-r {
		return false
	}
	for _, o := range others {
		if f.centre(o).Sub(c).Norm() < r+o.Diameter/2 {
			return false
		}
	}
	return true
}

// post adds the wall and the end of a post whose circle is cut out of the face.
func (m *Mesh) post(circle []r2.Point, h float64, at func(r2.Point, float64) r3.Vector) {
	m.wall(circle, 0, h, at)
	for i := 1; i+1 < len(circle); i++ {
		m.add(at(circle[0], h), at(circle[i], h), at(circle[i+1], h))
	}
}
