package certificate

import "math/big"

// mostPoses is how many poses a kind may have: ten tilts of 24 rotations are fewer.
const mostPoses = 256

// PoseSet is a set of poses of a kind, by number.
type PoseSet [mostPoses / 64]uint64

// Has tells whether a pose is in the set.
func (set PoseSet) Has(pose int) bool { return set[pose/64]>>(pose%64)&1 != 0 }

// Add adds a pose.
func (set *PoseSet) Add(pose int) { set[pose/64] |= 1 << (pose % 64) }

func (set PoseSet) and(o PoseSet) PoseSet {
	for i := range set {
		set[i] &= o[i]
	}
	return set
}

func (set PoseSet) without(o PoseSet) PoseSet {
	for i := range set {
		set[i] &^= o[i]
	}
	return set
}

func (set PoseSet) empty() bool { return set == PoseSet{} }

// least is the least value over the poses of a set that is not empty.
func (set PoseSet) least(k *kind, value func(pose) *big.Rat) *big.Rat {
	var low *big.Rat
	for i, p := range k.poses {
		if set.Has(i) {
			if v := value(p); low == nil || less(v, low) {
				low = v
			}
		}
	}
	return low
}

// tilted is the poses of a set that have a tilt; all of them for no tilt.
func (k *kind) tilted(set PoseSet, only *tilt) PoseSet {
	if only == nil {
		return set
	}
	var some PoseSet
	for i, p := range k.poses {
		if set.Has(i) && p.tilt == only {
			some.Add(i)
		}
	}
	return some
}

func (k *kind) all() PoseSet {
	var set PoseSet
	for i := range k.poses {
		set.Add(i)
	}
	return set
}
