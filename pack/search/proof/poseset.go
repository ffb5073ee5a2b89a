package proof

import "math/bits"

// poseSet is a set of poses of one kind. An array, so that it can be compared and be part of a key.
type poseSet [4]uint64

// maxPoses is how many poses of a kind a set can hold: ten tilts of 24 rotations.
const maxPoses = 256

// add puts a pose into the set.
func (s *poseSet) add(p int) { s[p/64] |= 1 << (p % 64) }

// each calls do with every pose, in order.
func (s poseSet) each(do func(pose int)) {
	for i, w := range s {
		for ; w != 0; w &= w - 1 {
			do(64*i + bits.TrailingZeros64(w))
		}
	}
}
