package card

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// cuts are the edges of a part's panels where nothing is folded, each with the panel on
// its left, so that together they run once around the part.
func (n *Net) cuts(part int) [][2]r2.Point {
	var list [][2]r2.Point
	for i, p := range n.Panels {
		if p.Part != part {
			continue
		}
		v := p.Rect.Vertices()
		for j := range v {
			list = append(list, n.without(i, v[j], v[(j+1)%4])...)
		}
	}
	return list
}

// without is what its folds leave of an edge of a panel: nothing, one or two stretches.
func (n *Net) without(panel int, a, b r2.Point) [][2]r2.Point {
	d, length := b.Sub(a).Normalize(), b.Sub(a).Norm()
	for _, f := range n.Folds {
		if f.Parent != panel && f.Child != panel || math.Abs(d.Cross(f.From.Sub(a))) > 1e-9 || math.Abs(d.Cross(f.To.Sub(a))) > 1e-9 {
			continue
		}
		lo, hi := d.Dot(f.From.Sub(a)), d.Dot(f.To.Sub(a))
		lo, hi = min(lo, hi), max(lo, hi)
		var left [][2]r2.Point
		if lo > 1e-9 {
			left = append(left, [2]r2.Point{a, a.Add(d.Mul(lo))})
		}
		if hi < length-1e-9 {
			left = append(left, [2]r2.Point{a.Add(d.Mul(hi)), b})
		}
		return left
	}
	return [][2]r2.Point{{a, b}}
}

// Hand holes: slots with round ends for a gloved hand, in boxes whose mock-up is too long
// to lift by pinching it (common practice).
const (
	holeFrom   = 300.0
	holeLength = 90.0
	holeWidth  = 30.0
	holeEdge   = 25.0 // what has to be left around it
)

// handHoles chooses two faces for hand holes: without posts and large enough. It takes
// opposite walls, the smallest; else top and bottom; else the first two faces that will do,
// or one. None on small boxes.
func (n *Net) handHoles() {
	size := n.Kind.Size
	if max(size.X, size.Y, size.Z) <= holeFrom {
		return
	}
	best := math.Inf(1)
	for _, f := range []pack.Face{pack.Front, pack.Left, pack.Top} {
		if f == pack.Top && len(n.holes) > 0 {
			break
		}
		s := n.extent(f)
		if area := s.X * s.Y; area < best && n.takesHole(f) && n.takesHole(f.Opposite()) {
			best, n.holes = area, []pack.Face{f, f.Opposite()}
		}
	}
	for f := pack.Front; f <= pack.Bottom && math.IsInf(best, 1); f++ {
		if n.takesHole(f) && len(n.holes) < 2 {
			n.holes = append(n.holes, f)
		}
	}
}

// takesHole tells whether a face has no posts and is large enough for a hand hole.
func (n *Net) takesHole(f pack.Face) bool {
	s := n.extent(f)
	return min(s.X, s.Y) >= holeWidth+2*holeEdge && max(s.X, s.Y) >= holeLength+2*holeEdge && !n.hasPost(f)
}

func (n *Net) hasPost(f pack.Face) bool {
	for _, t := range n.Kind.Posts {
		if t.Face == f {
			return true
		}
	}
	return false
}

// extent is how wide and how high the outside of a face is on the net.
func (n *Net) extent(f pack.Face) r2.Point {
	half := n.Kind.Size.Mul(0.5)
	var s r2.Point
	for _, e := range []r3.Vector{{X: half.X}, {Y: half.Y}, {Z: half.Z}} {
		if e.Dot(f.Normal()) == 0 {
			a := n.along(f, e)
			s = s.Add(r2.Point{X: 2 * math.Abs(a.X), Y: 2 * math.Abs(a.Y)})
		}
	}
	return s
}

// hole is the rectangle around the hand hole of a face, and whether there is one.
func (n *Net) hole(f pack.Face) (r2.Rect, bool) {
	for _, g := range n.holes {
		if g != f {
			continue
		}
		size := r2.Point{X: holeLength, Y: holeWidth}
		if room := n.extent(f); room.X < room.Y {
			size.X, size.Y = size.Y, size.X
		}
		c := n.flat(f, n.middle(f))
		return r2.RectFromCenterSize(c, size), true
	}
	return r2.Rect{}, false
}
