package certificate

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"slices"
)

// All named bounds grow the boxes and the bounds of the opening along each axis by the
// gap between two boxes along it, half on either side: then boxes lie side by side
// without a gap, inside the bounds less the gaps to the walls.

// gap is what is required between two boxes along an axis.
func (s *Space) gap(axis int) *big.Rat {
	if axis == 2 {
		return s.gaps.above
	}
	return s.gaps.beside
}

// Span is the length of the grown bounds along an axis.
func (s *Space) span(axis int) *big.Rat {
	return add(sub(sub(s.high[axis], s.low[axis]), mul(whole(2), s.gaps.wall)), s.gap(axis))
}

// extent is the length of the grown case of a pose along an axis.
func (s *Space) extent(p pose, axis int) *big.Rat { return add(p.long(axis), s.gap(axis)) }

// long is the length of a case along an axis of the level.
func (p pose) long(axis int) *big.Rat { return sub(p.parts[0][axis][1], p.parts[0][axis][0]) }

// tilted tells whether a box may be tilted.
func (s *Space) tilted() bool {
	return slices.ContainsFunc(s.tilts, func(t *tilt) bool { return t.angle != 0 })
}

// fits tells whether a pose is no longer than the bounds.
func (s *Space) fits(p pose) bool {
	for axis := range 3 {
		if less(s.span(axis), s.extent(p, axis)) {
			return false
		}
	}
	return true
}

var errTilted = errors.New("this bound speaks only of boxes that may not be tilted")

// total adds up a measure of all boxes, each in that of its poses that fit which has the
// least of it. It is nil where a kind fits in no pose, which is proof enough.
func (s *Space) total(measure func(p pose) (*big.Rat, error)) (*big.Rat, error) {
	if s.tilted() {
		return nil, errTilted
	}
	sum := whole(0)
	for _, k := range s.kinds {
		var low *big.Rat
		for _, p := range k.poses {
			if !s.fits(p) {
				continue
			}
			v, err := measure(p)
			if err != nil {
				return nil, err
			}
			if low == nil || less(v, low) {
				low = v
			}
		}
		if low == nil {
			return nil, nil
		}
		sum = add(sum, mul(whole(k.count), low))
	}
	return sum, nil
}

// volume checks that the boxes have more volume than the opening. Cases grown on all
// sides by half of the least gap do not overlap. Those inside a wall by its gap w are
// still inside it grown by 0.7·w, for 0.7·(|n.x| + |n.y| + |n.z|) ≤ |n| for the normals of
// walls, which have two parts. So all are inside the opening grown by the rest, along
// each axis; the side view, a polygon of area A, X long and Z high, then has an area of
// A + 2g(X + Z) + 4g². Where boxes may be tilted nothing is grown.
func (s *Space) volume() error {
	grow := quo(least(s.gaps.beside, s.gaps.above), whole(2))
	if s.tilted() {
		grow = whole(0)
	}
	need := whole(0)
	for _, k := range s.kinds {
		one := whole(k.count)
		for axis := range 3 {
			one = mul(one, add(k.poses[0].long(axis), mul(whole(2), grow)))
		}
		need = add(need, one)
	}
	g := most(whole(0), sub(grow, mul(s.gaps.wall, big.NewRat(7, 10))))
	twice := whole(0)
	for i, a := range s.hull {
		b := s.hull[(i+1)%len(s.hull)]
		twice = add(twice, sub(mul(a[0], b[2]), mul(a[2], b[0])))
	}
	x, y, z := sub(s.high[0], s.low[0]), sub(s.high[1], s.low[1]), sub(s.high[2], s.low[2])
	area := add(quo(twice, whole(2)), add(mul(mul(whole(2), g), add(x, z)), mul(whole(4), mul(g, g))))
	if room := mul(area, add(y, mul(whole(2), g))); !less(room, need) {
		return errors.New("the boxes have no more volume than the opening")
	}
	return nil
}

// Points is a bound by points that every box holds one of: N evenly spaced along each
// axis. A grown box longer than the space from one point to the next along every axis has
// one inside, and no two boxes share one. So more boxes than points do not fit. As many
// boxes as points have one each; then the boxes on each line of points along an axis lie
// side by side, so along each axis all lengths are no more than the lines have together.
// (Hoffman, in The Mathematical Gardner (1981), for 27 blocks.)
type Points struct {
	N []int `json:"n"`
}

const mostOnLine = 1000

func (s *Space) points(p Points) error {
	if len(p.N) != 3 {
		return errors.New("points are given along three axes")
	}
	all := 1
	for _, n := range p.N {
		if n < 1 || n > mostOnLine {
			return fmt.Errorf("there have to be 1 to %d points along each axis", mostOnLine)
		}
		all *= n
	}
	lengths, err := s.total(func(q pose) (*big.Rat, error) {
		sum := whole(0)
		for axis, n := range p.N {
			long := s.extent(q, axis)
			if !less(s.span(axis), mul(long, whole(n+1))) {
				return nil, errors.New("a box may lie between the points")
			}
			sum = add(sum, quo(long, mul(s.span(axis), whole(all/n))))
		}
		return sum, nil
	})
	if err != nil || lengths == nil {
		return err
	}
	// Each axis gives a sum of lengths of at most 1 in these units: three together.
	if boxes := len(s.boxes); boxes < all || boxes == all && !less(whole(3), lengths) {
		return errors.New("there are points enough for the boxes")
	}
	return nil
}

// Mix is an inequality of scaled volumes, Times times. Along each axis a dual feasible
// function takes the place of lengths: those that fit side by side still do (Fekete &
// Schepers, Mathematical Methods of Operations Research 60 (2004)). So the boxes of a
// layout have no more scaled volume than the opening, which has 1, in any mix.
type Mix struct {
	Along []Scale `json:"along"` // x, y, z
	Times float64 `json:"times"`
}

// Scale is a dual feasible function of lengths: "plain"; "points" with N of them;
// "steps" and "cut" with the grown length of a pose of a kind along the axis.
type Scale struct {
	By   string `json:"by"`
	N    int    `json:"n,omitempty"`
	Kind int    `json:"kind,omitempty"`
	Pose int    `json:"pose,omitempty"`
}

// scales checks that in a mix of inequalities the boxes have more than the opening.
func (s *Space) scales(mixes []Mix) error {
	room := whole(0)
	for _, m := range mixes {
		if len(m.Along) != 3 {
			return errors.New("scales are given along three axes")
		}
		if !(m.Times > 0) || math.IsInf(m.Times, 0) {
			return fmt.Errorf("an inequality may not be taken %v times", m.Times)
		}
		room = add(room, rat(m.Times))
	}
	need, err := s.total(func(p pose) (*big.Rat, error) {
		sum := whole(0)
		for _, m := range mixes {
			one := rat(m.Times)
			for axis, f := range m.Along {
				share, err := s.share(f, axis, s.extent(p, axis))
				if err != nil {
					return nil, err
				}
				one = mul(one, share)
			}
			sum = add(sum, one)
		}
		return sum, nil
	})
	if err != nil || need == nil {
		return err
	}
	if !less(room, need) {
		return errors.New("the scaled boxes have no more volume than the opening")
	}
	return nil
}

// share is what a function gives for a length along an axis, from 0 to 1.
func (s *Space) share(f Scale, axis int, long *big.Rat) (*big.Rat, error) {
	span := s.span(axis)
	switch f.By {
	case "plain":
		return quo(long, span), nil
	case "points":
		if f.N < 1 || f.N > mostOnLine {
			return nil, fmt.Errorf("there have to be 1 to %d points along each axis", mostOnLine)
		}
		inside := sub(ceil(quo(mul(long, whole(f.N+1)), span)), whole(1))
		return quo(most(whole(0), inside), whole(f.N)), nil
	}
	if f.Kind < 0 || f.Kind >= len(s.kinds) || f.Pose < 0 || f.Pose >= len(s.kinds[f.Kind].poses) {
		return nil, errors.New("a scale has to name a pose of a kind")
	}
	by := s.extent(s.kinds[f.Kind].poses[f.Pose], axis)
	half := quo(span, whole(2))
	switch {
	case f.By == "steps" && !less(span, by):
		return steps(long, span, by), nil
	case f.By == "cut" && !less(half, by):
		switch {
		case less(sub(span, by), long):
			return whole(1), nil
		case less(long, by):
			return whole(0), nil
		}
		return quo(long, span), nil
	}
	return nil, fmt.Errorf("there is no scale %q of that length", f.By)
}

// steps counts whole steps; what exceeds half takes what the rest cannot use (Carlier,
// Clautiaux & Moukrim, Computers & Operations Research 34 (2007)).
func steps(long, span, step *big.Rat) *big.Rat {
	count := func(l *big.Rat) *big.Rat { return quo(floor(quo(l, step)), floor(quo(span, step))) }
	switch half := quo(span, whole(2)); half.Cmp(long) {
	case -1:
		return sub(whole(1), count(sub(span, long)))
	case 1:
		return count(long)
	}
	return big.NewRat(1, 2)
}
