package certificate

import (
	"fmt"
	"math/big"
	"slices"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"

	"rackwright/pack"
)

// kind is a kind of box and the poses it may take.
type kind struct {
	count int
	poses []pose
	named map[pack.Orientation]int
}

// pose is one way in which a box can be turned.
type pose struct {
	parts []part
	tilt  *tilt
}

// part is a case or the square bar around a post: how far it reaches from the centre of
// the case before the tilt along each axis, low and high end.
type part [3][2]*big.Rat

// least is no less than the least of n·p over the points of a part, and that where the
// pose is not tilted.
func (p pose) least(n direction, i int) *big.Rat {
	sum := new(big.Rat)
	for k, x := range p.tilt.back(n) {
		if !x.isZero() {
			q := p.parts[i][k]
			sum.Add(sum, least(x.times(q[0]).high, x.times(q[1]).high))
		}
	}
	return sum
}

var (
	upFaces    = [6]pack.Face{pack.Top, pack.Left, pack.Right, pack.Front, pack.Back, pack.Bottom}
	frontFaces = [6]pack.Face{pack.Front, pack.Back, pack.Left, pack.Right, pack.Top, pack.Bottom}
)

// addKind lists the poses: for each tilt, in the order of the file, for each face that may
// be up, in the order of upFaces, and for each that may then look forward, in the order of
// frontFaces, those that no pose with the tilt before fills the same space as.
func (s *Space) addKind(k pack.Kind) error {
	own := ownParts(k)
	q := kind{count: k.Count, named: map[pack.Orientation]int{}}
	for _, angle := range k.Tilts {
		t, err := s.tiltOf(angle)
		if err != nil {
			return err
		}
		for _, up := range upFaces {
			if slices.Contains(k.Stands, stand(up)) {
				q.add(own, up, t)
			}
		}
	}
	if len(q.poses) > mostPoses {
		return fmt.Errorf("%w: more than %d ways to turn %s", ErrUnsupported, mostPoses, k.Name)
	}
	s.kinds = append(s.kinds, q)
	return nil
}

// tiltOf is the tilt of an angle: the same for all kinds.
func (s *Space) tiltOf(angle s1.Angle) (*tilt, error) {
	for _, t := range s.tilts {
		if t.angle == angle {
			return t, nil
		}
	}
	t, err := tiltOf(angle)
	if err != nil {
		return nil, err
	}
	s.tilts = append(s.tilts, &t)
	return &t, nil
}

// add adds the poses with a face up.
func (q *kind) add(own []part, up pack.Face, t *tilt) {
	for _, front := range frontFaces {
		if up.Axis() == front.Axis() {
			continue
		}
		p := pose{turned(own, up, front), t}
		at := slices.IndexFunc(q.poses, p.fillsSame)
		if at < 0 {
			at = len(q.poses)
			q.poses = append(q.poses, p)
		}
		q.named[pack.Orientation{Up: up, Front: front, Tilt: t.angle}] = at
	}
}

func stand(up pack.Face) pack.Stand {
	return map[pack.Face]pack.Stand{
		pack.Top: pack.Upright, pack.Bottom: pack.Inverted, pack.Left: pack.OnSide,
		pack.Right: pack.OnSide, pack.Front: pack.OnEnd, pack.Back: pack.OnEnd,
	}[up]
}

// fillsSame tells whether two poses have the same tilt, the same case and the same posts
// in any order.
func (p pose) fillsSame(o pose) bool {
	return p.tilt == o.tilt && p.parts[0].equals(o.parts[0]) &&
		!slices.ContainsFunc(p.parts, func(q part) bool { return !slices.ContainsFunc(o.parts, q.equals) })
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
	half := func(axis int) *big.Rat { return quo(millimetres(size[axis]), whole(2)) }
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
			middle, r := sub(millimetres(at[0]), half(axis)), quo(millimetres(t.Diameter), whole(2))
			bar[axis] = [2]*big.Rat{sub(middle, r), add(middle, r)}
			at = at[1:]
		}
		all = append(all, bar)
	}
	return all
}

// standing is how far a post reaches along the axis that it stands on: from the face to its tip.
func standing(size float64, t pack.Post) [2]*big.Rat {
	near := quo(millimetres(size), whole(2))
	far := add(near, millimetres(t.Height))
	if n := t.Face.Normal(); n.X+n.Y+n.Z < 0 {
		return [2]*big.Rat{neg(far), neg(near)}
	}
	return [2]*big.Rat{near, far}
}

// turned are the parts along the vehicle's axes, without a tilt.
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
