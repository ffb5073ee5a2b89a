package certificate

import (
	"errors"
	"fmt"
	"math/big"

	"rackwright/frame"
	"rackwright/pack"
)

// Space is a problem in exact numbers: what a proof speaks of.
type Space struct {
	kinds     []kind
	boxes     []int // the kind of each box
	walls     []wall
	solids    []solid
	hull      []vec // of the outline, with y = 0
	low, high vec   // the centre of every box of a layout that fits is between them
	gaps      gaps
	tilts     []*tilt      // that boxes may have
	along     [][]*way     // along the axes of a case, by tilt
	known     map[key]fact // worked out before
}

// gaps are the required gaps between boxes, and those to the sides.
type gaps struct{ beside, above, wall, post, boot *big.Rat }

// wall says that n·p ≥ at for all points p of a box: n points into the free space.
type wall struct {
	n    vec
	at   *big.Rat
	need needs
}

// needs are the gaps that a case and a post need.
type needs struct{ toCase, toPost *big.Rat }

func (g needs) of(part int) *big.Rat {
	if part == 0 {
		return g.toCase
	}
	return g.toPost
}

// ErrUnsupported is wrapped by the error of NewSpace for problems that no proof can
// speak of yet.
var ErrUnsupported = errors.New("there are no written proofs yet for this")

// NewSpace returns the problem in exact numbers.
func NewSpace(p pack.Problem) (*Space, error) {
	if p.Worst {
		return nil, fmt.Errorf("%w: a problem with everything at its worst", ErrUnsupported)
	}
	if len(p.Frame.Moving) > 0 || p.Frame.Ground != nil {
		return nil, fmt.Errorf("%w: parts that move, and the road", ErrUnsupported)
	}
	g := p.Pack.Gaps
	s := &Space{
		gaps:  gaps{millimetres(g.Beside), millimetres(g.Above), millimetres(g.Wall), millimetres(g.Post), millimetres(g.Boot)},
		known: map[key]fact{},
	}
	for k, kind := range p.Pack.Kinds {
		if err := s.addKind(kind); err != nil {
			return nil, err
		}
		for range kind.Count {
			s.boxes = append(s.boxes, k)
		}
	}
	for _, t := range s.tilts {
		s.along = append(s.along, waysOf(t))
	}
	s.addWalls(p.Frame.Opening)
	for _, o := range p.Frame.Obstacles(0) {
		if err := s.addSolid(o, g); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// addWalls makes the walls and the bounds of the opening.
func (s *Space) addWalls(o frame.Opening) {
	forCase := needs{s.gaps.wall, s.gaps.wall}
	metal := forCase
	if o.Metal {
		metal.toPost = s.gaps.post
	}
	var side []flat
	for _, c := range o.Outline.Corners {
		side = append(side, flat{millimetres(c.X), millimetres(c.Y)})
	}
	hull := hullOf(side)
	for i, a := range hull {
		s.hull = append(s.hull, vec{a[0], whole(0), a[1]})
		n := inward(a, hull[(i+1)%len(hull)])
		s.walls = append(s.walls, wall{vec{n[0], whole(0), n[1]}, n.dot(a), metal})
	}
	lowX, highX := reach(side, 0)
	lowZ, highZ := reach(side, 1)
	front := frontView(o.Stations, lowZ, highZ)
	hull = hullOf(front)
	for i, a := range hull {
		b := hull[(i+1)%len(hull)]
		if n := inward(a, b); n[0].Sign() != 0 { // floor and top are no limits of the width
			s.walls = append(s.walls, wall{vec{whole(0), n[0], n[1]}, n.dot(a), forCase})
		}
	}
	lowY, highY := reach(front, 0)
	s.low, s.high = vec{lowX, lowY, lowZ}, vec{highX, highY, highZ}
}

// frontView is the corners of the width between the lowest and the highest point.
func frontView(stations []frame.Station, low, high *big.Rat) []flat {
	var all []flat
	at := func(z *big.Rat) {
		right, left := across(stations, z)
		all = append(all, flat{right, z}, flat{left, z})
	}
	at(low)
	for _, s := range stations {
		if z := millimetres(s.Z); less(low, z) && less(z, high) {
			at(z)
		}
	}
	at(high)
	return all
}

// across is the width at a height: straight between stations, constant beyond them.
func across(stations []frame.Station, z *big.Rat) (right, left *big.Rat) {
	last := len(stations) - 1
	for i, b := range stations {
		if i > 0 && !less(millimetres(b.Z), z) {
			a := stations[i-1]
			if t := millimetres(a.Z); less(t, z) {
				t = quo(sub(z, t), sub(millimetres(b.Z), t))
				mix := func(a, b float64) *big.Rat { return add(millimetres(a), mul(t, sub(millimetres(b), millimetres(a)))) }
				return mix(a.Across.Lo, b.Across.Lo), mix(a.Across.Hi, b.Across.Hi)
			}
		}
		if !less(millimetres(b.Z), z) {
			return millimetres(b.Across.Lo), millimetres(b.Across.Hi)
		}
	}
	return millimetres(stations[last].Across.Lo), millimetres(stations[last].Across.Hi)
}
