package certificate

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

func (k *kind) all() PoseSet {
	var set PoseSet
	for i := range k.poses {
		set.Add(i)
	}
	return set
}
