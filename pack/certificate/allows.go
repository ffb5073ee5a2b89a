package certificate

import (
	"fmt"
	"math/big"
	"slices"

	"rackwright/pack"
)

// Allows is an error where a layout breaks an inequality that proofs may use: of a layout
// with a spare of 0 or more that would be a defect of this package. Tests ask it; nothing
// of it is used in checking. Rounding is allowed for with 10⁻⁹ mm. Boxes are taken in the
// order of the layout, in which every one of a kind follows the other; the order along an
// axis is not looked at.
func (s *Space) Allows(l pack.Layout) error {
	var at []vec
	var sets []PoseSet
	for i, p := range l.Placements {
		pose, ok := s.PoseOf(s.boxes[i], p.Orientation)
		if !ok {
			return fmt.Errorf("box %d does not stand as it may", i)
		}
		var set PoseSet
		set.Add(pose)
		at, sets = append(at, vector(p.Centre.X, p.Centre.Y, p.Centre.Z)), append(sets, set)
	}
	for i := range at {
		if err := s.allowsAlone(i, at[i], sets[i]); err != nil {
			return err
		}
		for j := range i {
			for a := range s.partsOf(i) {
				for b := range s.partsOf(j) {
					r := relation{a: Part{i, a}, b: Part{j, b}}
					for _, of := range []PoseSet{sets[i], s.kindOf(i).all()} {
						for _, with := range []PoseSet{sets[j], s.kindOf(j).all()} {
							if !s.apart(r, minus(at[i], at[j]), of, with) {
								return fmt.Errorf("%v do not lie apart", r)
							}
						}
					}
				}
			}
		}
	}
	return nil
}

func (s *Space) partsOf(box int) int { return len(s.kindOf(box).poses[0].parts) }

func (s *Space) allowsAlone(i int, at vec, set PoseSet) error {
	for axis := range 3 {
		if less(at[axis], s.low[axis]) || less(s.high[axis], at[axis]) {
			return fmt.Errorf("box %d is not inside the bounds", i)
		}
	}
	for w, wall := range s.walls {
		f := s.inside(i, w)
		if !holds(wall.n, at, f.least(set, PoseSet{})) || !holds(wall.n, at, f.least(s.kindOf(i).all(), PoseSet{})) {
			return fmt.Errorf("box %d is not inside wall %d", i, w)
		}
	}
	for k, q := range s.solids {
		for a := range s.partsOf(i) {
			if q.round != nil && (q.corners == nil || a > 0) {
				continue
			}
			r := relation{a: Part{i, a}, b: Part{Box: none}, solid: k}
			if !s.apart(r, at, set, PoseSet{}) || !s.apart(r, at, s.kindOf(i).all(), PoseSet{}) {
				return fmt.Errorf("%v do not lie apart", r)
			}
		}
	}
	return nil
}

// apart tells whether a relation holds along one of its ways.
func (s *Space) apart(r relation, between vec, a, b PoseSet) bool {
	return slices.ContainsFunc(s.waysApart(r, a, b), func(w *way) bool {
		return holds(w.near(), between, s.clear(r, w).least(a, b))
	})
}

// least is the least d in mm over the poses of two sets, of which some can be.
func (f fact) least(setA, setB PoseSet) *big.Rat {
	d := f.apart
	for _, of := range []struct {
		ask
		PoseSet
	}{{f.asks, setA}, {f.with, setB}} {
		if low := of.ask.least(of.PoseSet); low != nil {
			d = new(big.Int).Add(d, low)
		}
	}
	return quo(new(big.Rat).SetInt(d), grainsInMM)
}

// holds tells whether n·p ≥ d, rounding aside.
func holds(n, p vec, d *big.Rat) bool {
	slack := mul(length(n), big.NewRat(1, 1_000_000_000))
	return !less(add(dot(n, p), slack), d)
}
