package depths

import "math/bits"

// Set is a set of decisions on the way from the root of a proof to a node, by depth.
// The tags of a row say which decisions it rests on; the tags of a refutation say
// which decisions it used.
type Set [4]uint64

// Max is the deepest decision that tags can name.
const Max = 256

func Of(depth int) Set {
	var t Set
	t[depth/64] = 1 << (depth % 64)
	return t
}

func (t Set) Has(depth int) bool { return t[depth/64]&(1<<(depth%64)) != 0 }

func (t Set) Or(u Set) Set {
	for i := range t {
		t[i] |= u[i]
	}
	return t
}

// Inverted is every decision that is not in t.
func (t Set) Inverted() Set {
	for i := range t {
		t[i] = ^t[i]
	}
	return t
}

func (t Set) Without(depth int) Set {
	t[depth/64] &^= 1 << (depth % 64)
	return t
}

// Deepest is the depth of the deepest decision in t, 0 where there is none.
func (t Set) Deepest() int {
	for i := len(t) - 1; i >= 0; i-- {
		if t[i] != 0 {
			return 64*i + bits.Len64(t[i]) - 1
		}
	}
	return 0
}
