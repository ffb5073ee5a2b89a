package card

import (
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// placed maps a face as the net has it: coordinates (a, b) in the face, in the order of
// the net's own L, W, H from the low corner, to the net, at + (a·u, b·v).
type placed struct{ at, u, v r2.Point }

// turned turns a direction in the box's axes into the net's.
func (n *Net) turned(v r3.Vector) r3.Vector {
	axes := n.Way.Axes()
	return axes[0].Mul(v.X).Add(axes[1].Mul(v.Y)).Add(axes[2].Mul(v.Z))
}

// own turns a size in the box's axes into the net's.
func (n *Net) own(size r3.Vector) r3.Vector { return n.turned(size).Abs() }

// face is the box's own face where the net has the given one.
func (n *Net) face(f pack.Face) pack.Face {
	for g := pack.Front; g <= pack.Bottom; g++ {
		if n.turned(g.Normal()) == f.Normal() {
			return g
		}
	}
	return f
}

// place notes where the low corner of each face's outside lies, and its axes.
func (n *Net) place(s spread) {
	x, y := r2.Point{X: 1}, r2.Point{Y: 1}
	h := s.t / 2
	n.origin = [6]placed{
		pack.Left:   {r2.Point{X: s.x1 + h + s.lost[LeftBack]}, x.Mul(-1), y},
		pack.Back:   {r2.Point{X: s.x2 + h + s.lost[BackRight]}, x.Mul(-1), y},
		pack.Right:  {r2.Point{}, x, y},
		pack.Front:  {r2.Point{X: s.x3 - h - s.lost[RightFront]}, x, y},
		pack.Top:    {r2.Point{Y: s.high - h - s.lost[RightTop]}, x, y},
		pack.Bottom: {r2.Point{Y: s.low + h + s.lost[RightBottom]}, x, y.Mul(-1)},
	}
}

// At returns where a point of a face lies on the net: a and b are the two box
// coordinates in the face, in the order L, W, H, from the box's low corner.
func (n *Net) At(face pack.Face, p r2.Point) r2.Point {
	inFace := pack.Post{Face: face, At: p}.FromMiddle(n.Kind.Size)
	return n.flat(face, n.middle(face).Add(inFace))
}

// middle is that of a face, from the middle of the box.
func (n *Net) middle(face pack.Face) r3.Vector {
	normal := face.Normal()
	return normal.Mul(n.Kind.Size.Dot(normal.Abs()) / 2)
}

// flat is At for a point of the face given from the middle of the box.
func (n *Net) flat(face pack.Face, q r3.Vector) r2.Point {
	v := n.turned(q).Add(n.own(n.Kind.Size).Mul(0.5))
	var a, b float64
	normal := n.turned(face.Normal())
	var as pack.Face
	for as = pack.Front; as < pack.Bottom && as.Normal() != normal; as++ {
	}
	switch as.Axis() {
	case 0:
		a, b = v.Y, v.Z
	case 1:
		a, b = v.X, v.Z
	default:
		a, b = v.X, v.Y
	}
	o := n.origin[as]
	return o.at.Add(o.u.Mul(a)).Add(o.v.Mul(b))
}

// along is where a direction in the plane of a face, in the box's axes, points on the net.
func (n *Net) along(face pack.Face, dir r3.Vector) r2.Point {
	return n.flat(face, dir).Sub(n.flat(face, r3.Vector{}))
}
