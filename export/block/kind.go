package block

import (
	"cmp"
	"fmt"
	"slices"

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
// is marked by a dent. A post that reaches over the edge of its face, or partly into another
// post, is a body of its own that touches the block.
func OfKind(k pack.Kind) (Mesh, error) {
	m, err := brickOf(k.Size, k.Posts, dent).mesh()
	if err != nil {
		return m, fmt.Errorf("%s: %w", k.Name, err)
	}
	return m, nil
}

// brickOf is a brick with posts; flush ones are dents of a depth, or less in a thin box. A
// post on the edge of its face is thinner by a hair, so that it is one body with the box, and
// one within the foot of a wider one stands on that.
func brickOf(size r3.Vector, posts []pack.Post, deep float64) brick {
	b := brick{size: size}
	var joined [6][]pack.Post // as many as features, in their order
	widest := slices.SortedStableFunc(slices.Values(posts), func(a, b pack.Post) int { return cmp.Compare(b.Diameter, a.Diameter) })
	for _, t := range widest {
		f := faceOf(size, t.Face)
		thin := t
		thin.Diameter -= 4 * rim
		switch {
		case f.apart(t, joined[t.Face]):
			b.stand(f, t, deep)
		case f.apart(thin, joined[t.Face]):
			b.stand(f, thin, deep)
		case b.stack(f, t, joined[t.Face]):
			continue
		default:
			if t.Height > 0 {
				b.loose = append(b.loose, t)
			}
			continue
		}
		joined[t.Face] = append(joined[t.Face], t)
	}
	return b
}

// stand puts a post on its face.
func (b *brick) stand(f faceFrame, t pack.Post, deep float64) {
	h := t.Height
	if h <= 0 {
		h = -min(deep, f.depth/4)
	}
	b.features[t.Face] = append(b.features[t.Face], feature{ring: f.foot(t), height: h})
}

// stack puts a post onto a wider one that stands, where it is within its foot and clear of
// others there; false where it is not. One that is no higher is inside of the wider one.
func (b *brick) stack(f faceFrame, t pack.Post, joined []pack.Post) bool {
	for i, o := range joined {
		x := &b.features[t.Face][i]
		if t.At.Sub(o.At).Norm() > (o.Diameter-t.Diameter)/2-3*rim || len(x.top) > 0 {
			continue
		}
		if t.Height > max(0, x.height) {
			x.top = append(x.top, feature{ring: f.foot(t), height: t.Height})
		}
		return true
	}
	return false
}

// foot is the outline of a post in its face.
func (f faceFrame) foot(t pack.Post) []r2.Point {
	return ring(f.own(t.At), t.Diameter/2, postCorners)
}

// rim is what has to be left in millimetres between a post and the edge or another.
const rim = 0.01

// apart tells whether a post is clear of the edge of its face and of others on it.
func (f faceFrame) apart(t pack.Post, others []pack.Post) bool {
	r, c := t.Diameter/2+rim, f.own(t.At)
	if t.Diameter <= rim || c.X < r || c.Y < r || c.X > f.size.X-r || c.Y > f.size.Y-r {
		return false
	}
	for _, o := range others {
		if f.own(o.At).Sub(c).Norm() < r+o.Diameter/2 {
			return false
		}
	}
	return true
}
