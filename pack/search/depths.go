package search

import "math/bits"

// tags is a set of decisions on the way from the root of a proof to a node, by depth.
// The tags of a row say which decisions it rests on; the tags of a refutation say
// which decisions it used.
type tags [4]uint64

// maxDepth is the deepest decision that tags can name.
const maxDepth = 256

func tag(depth int) tags {
	var t tags
	t[depth/64] = 1 << (depth % 64)
	return t
}

func (t tags) has(depth int) bool { return t[depth/64]&(1<<(depth%64)) != 0 }

func (t tags) or(u tags) tags {
	for i := range t {
		t[i] |= u[i]
	}
	return t
}

// inverted is every decision that is not in t.
func (t tags) inverted() tags {
	for i := range t {
		t[i] = ^t[i]
	}
	return t
}

func (t tags) without(depth int) tags {
	t[depth/64] &^= 1 << (depth % 64)
	return t
}

// deepest is the depth of the deepest decision in t, 0 where there is none.
func (t tags) deepest() int {
	for i := len(t) - 1; i >= 0; i-- {
		if t[i] != 0 {
			return 64*i + bits.Len64(t[i]) - 1
		}
	}
	return 0
}
