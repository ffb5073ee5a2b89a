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

// dent is how deep in millimetres flush posts and marks are at most.
const dent = 0.6

// OfKind returns the block of a kind of box at true size, with its low corner at the
// origin and L, W, H along x, y, z. Posts stand on it, one body with it; a flush post
// is marked by a dent. A post that reaches over the edge of its face or into another
// post is a body of its own that touches the block.
func OfKind(k pack.Kind) (Mesh, error) {
	m, err := brickOf(k.Size, k.Posts, dent).mesh()
	if err != nil {
		return m, fmt.Errorf("%s: %w", k.Name, err)
	}
	return m, nil
}

// brickOf is a brick with posts; flush ones are dents of a depth, or less in a thin box.
func brickOf(size r3.Vector, posts []pack.Post, deep float64) brick {
	b := brick{size: size}
	var joined []pack.Post
	for _, t := range posts {
		f := faceOf(size, t.Face)
		switch {
		case f.apart(t, joined):
			joined = append(joined, t)
			h := t.Height
			if h <= 0 {
				h = -min(deep, f.depth/4)
			}
			b.features[t.Face] = append(b.features[t.Face], feature{ring: f.foot(t), height: h})
		case t.Height > 0:
			b.loose = append(b.loose, t)
		}
	}
	return b
}

// foot is the outline of a post in its face.
func (f faceFrame) foot(t pack.Post) []r2.Point {
	return ring(f.own(t.At), t.Diameter/2, postCorners)
}

// rim is what has to be left in millimetres between a post and the edge or another.
const rim = 0.01

// apart tells whether a post is clear of the edge of its face and of the others on it.
func (f faceFrame) apart(t pack.Post, others []pack.Post) bool {
	r, c := t.Diameter/2+rim, f.own(t.At)
	if t.Diameter <= rim || c.X < r || c.Y < r || c.X > f.size.X-r || c.Y > f.size.Y-r {
		return false
	}
	for _, o := range others {
		if o.Face == t.Face && f.own(o.At).Sub(c).Norm() < r+o.Diameter/2 {
			return false
		}
	}
	return true
}
