package certificate

import (
	"github.com/golang/geo/r3"

	"rackwright/pack"
)

// What follows is for those who make proofs: the names and, rounded, the numbers that a
// proof has to go by. Nothing of it is used in checking.

// Pruned checks a proof as Verify does, and leaves out the branches that it does not look
// at, since they cannot be: from the trees of p too.
func Pruned(problem pack.Problem, p Proof) (Proof, error) {
	err := verify(problem, p, func(n *Node) { *n = Node{} })
	return p, err
}

// PoseOf is the number of the pose that a kind of box has in an orientation; false where
// it is not allowed.
func (s *Space) PoseOf(kind int, o pack.Orientation) (pose int, ok bool) {
	pose, ok = s.kinds[kind].named[o]
	return pose, ok
}

// Poses is how many poses each kind has.
func (s *Space) Poses() []int {
	var all []int
	for _, k := range s.kinds {
		all = append(all, len(k.poses))
	}
	return all
}

// Walls are the normals of the walls, not of length 1.
func (s *Space) Walls() []r3.Vector {
	var all []r3.Vector
	for _, w := range s.walls {
		all = append(all, w.n.rounded())
	}
	return all
}

// Apart are the directions from a box with some pose of one set to another box with one of
// another: one for each branch.
func (s *Space) Apart(boxA int, setA PoseSet, boxB int, setB PoseSet) []r3.Vector {
	return rounded(s.waysApart(relation{a: Part{Box: boxA}, b: Part{Box: boxB}}, setA, setB))
}

// Clear are the directions from a solid to a box with some pose of a set, not of length 1:
// one for each branch; none where the solid is round and has no body.
func (s *Space) Clear(solid, box int, set PoseSet) []r3.Vector {
	if s.solids[solid].corners == nil {
		return nil
	}
	return rounded(s.waysApart(relation{a: Part{Box: box}, b: Part{Box: none}, solid: solid}, set, PoseSet{}))
}

// AddBody gives a round solid a body. It is an error where the body is not inside.
func (s *Space) AddBody(b Body) error { return s.addBody(b) }

// Fits tells whether a pose is no longer than the bounds of the opening.
func (s *Space) Fits(kind, pose int) bool { return s.fits(s.kinds[kind].poses[pose]) }

// Share is what a scale gives along an axis for a pose that fits; false where the scale
// is none along that axis.
func (s *Space) Share(f Scale, axis, kind, pose int) (float64, bool) {
	share, err := s.share(f, axis, s.extent(s.kinds[kind].poses[pose], axis))
	if err != nil {
		return 0, false
	}
	v, _ := share.Float64()
	return v, true
}

func (v vec) rounded() r3.Vector {
	x, _ := v[0].Float64()
	y, _ := v[1].Float64()
	z, _ := v[2].Float64()
	return r3.Vector{X: x, Y: y, Z: z}
}

func rounded(all []*way) []r3.Vector {
	var list []r3.Vector
	for _, w := range all {
		list = append(list, w.near().rounded())
	}
	return list
}
