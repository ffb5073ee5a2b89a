package certificate

import (
	"math/big"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/geom"
	"rackwright/pack"
)

// kind is a kind of box and the poses it may take, each a list of parts.
type kind struct {
	count int
	poses [][]part
	named map[[2]pack.Face]int // the pose by the faces that look up and forward
}

// part is a case or the square bar around a post: how far it reaches along each axis
// from the centre of the case, low and high end.
type part [3][2]*big.Rat

// least is the least of n·p over the points of the part.
func (q part) least(n vec) *big.Rat {
	sum := new(big.Rat)
	for k := range 3 {
		switch n[k].Sign() {
		case 1:
			sum.Add(sum, mul(n[k], q[k][0]))
		case -1:
			sum.Add(sum, mul(n[k], q[k][1]))
		}
	}
	return sum
}

var (
	upFaces    = [6]pack.Face{pack.Top, pack.Left, pack.Right, pack.Front, pack.Back, pack.Bottom}
	frontFaces = [6]pack.Face{pack.Front, pack.Back, pack.Left, pack.Right, pack.Top, pack.Bottom}
)

// kindOf lists the poses: for each face that may be up, in the order of upFaces, and for
// each that may then look forward, in the order of frontFaces, those that no pose before
// fills the same space as.
func kindOf(k pack.Kind) kind {
	own := ownParts(k)
	q := kind{count: k.Count, named: map[[2]pack.Face]int{}}
	for _, up := range upFaces {
		if !slices.Contains(k.Stands, stand(up)) {
			continue
		}
		for _, front := range frontFaces {
			if up.Axis() == front.Axis() {
				continue
			}
			pose := turned(own, up, front)
			at := slices.IndexFunc(q.poses, func(o []part) bool { return sameSpace(o, pose) })
			if at < 0 {
				at = len(q.poses)
				q.poses = append(q.poses, pose)
			}
			q.named[[2]pack.Face{up, front}] = at
		}
	}
	return q
}

func stand(up pack.Face) pack.Stand {
	return map[pack.Face]pack.Stand{
		pack.Top: pack.Upright, pack.Bottom: pack.Inverted, pack.Left: pack.OnSide,
		pack.Right: pack.OnSide, pack.Front: pack.OnEnd, pack.Back: pack.OnEnd,
	}[up]
}

// sameSpace tells whether two poses have the same case and the same posts in any order.
func sameSpace(a, b []part) bool {
	return a[0].equals(b[0]) && !slices.ContainsFunc(a, func(p part) bool { return !slices.ContainsFunc(b, p.equals) })
}

func (q part) equals(o part) bool {
	for k := range 3 {
		if q[k][0].Cmp(o[k][0]) != 0 || q[k][1].Cmp(o[k][1]) != 0 {
			return false
		}
	}
	return true
}

// ownParts are the parts along the box's own axes.
func ownParts(k pack.Kind) []part {
	size := [3]float64{k.Size.X, k.Size.Y, k.Size.Z}
	half := func(axis int) *big.Rat { return quo(rat(size[axis]), whole(2)) }
	var all []part
	var body part
	for axis := range 3 {
		body[axis] = [2]*big.Rat{neg(half(axis)), half(axis)}
	}
	all = append(all, body)
	for _, t := range k.Posts {
		at := []float64{t.At.X, t.At.Y}
		var bar part
		for axis := range 3 {
			if axis == t.Face.Axis() {
				bar[axis] = standing(size[axis], t)
				continue
			}
			middle, r := sub(rat(at[0]), half(axis)), quo(rat(t.Diameter), whole(2))
			bar[axis] = [2]*big.Rat{sub(middle, r), add(middle, r)}
			at = at[1:]
		}
		all = append(all, bar)
	}
	return all
}

// standing is how far a post reaches along the axis that it stands on. The judge has
// the face where the size is rounded up to the lattice; the post counts only where it is
// in the file and for the judge, so the near end is the judge's and the far end the file's.
func standing(size float64, t pack.Post) [2]*big.Rat {
	near := quo(rat(geom.SnapUp(size)), whole(2))
	far := add(quo(rat(size), whole(2)), rat(t.Height))
	if n := t.Face.Normal(); n.X+n.Y+n.Z < 0 {
		return [2]*big.Rat{neg(far), neg(near)}
	}
	return [2]*big.Rat{near, far}
}

// turned are the parts along the vehicle's axes.
func turned(own []part, up, front pack.Face) []part {
	x, z := front.Normal(), up.Normal()
	axes := [3]r3.Vector{x, z.Cross(x), z}
	var all []part
	for _, p := range own {
		var q part
		for k, a := range axes {
			switch {
			case a.X+a.Y+a.Z > 0:
				q[k] = p[axisOf(a)]
			default:
				o := p[axisOf(a)]
				q[k] = [2]*big.Rat{neg(o[1]), neg(o[0])}
			}
		}
		all = append(all, q)
	}
	return all
}

func axisOf(a r3.Vector) int {
	switch {
	case a.X != 0:
		return 0
	case a.Y != 0:
		return 1
	}
	return 2
}
