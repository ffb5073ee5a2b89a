// Package depths has sets of decisions in a tree, each named by its depth on the way from the root:
// what a row, or a refutation, rests on.
package depths

import "math/bits"

// Set is a set of decisions on the way from the root of a tree to a node, by depth.
type Set [4]uint64

// Max is beyond the deepest decision that a set can hold.
const Max = 256

// Of is the set of the decision at one depth.
func Of(depth int) Set {
	var t Set
	t[depth/64] = 1 << (depth % 64)
	return t
}

// Has tells whether the decision at a depth is in t.
func (t Set) Has(depth int) bool { return t[depth/64]&(1<<(depth%64)) != 0 }

// Or is what is in t or in u.
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

// Without is t without the decision at a depth.
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
