package ways

import "math/bits"

// Set is a set of owners, numbered from 0: the boxes and the things of the frame
// that are there. The zero value is empty.
type Set []uint64

// SetOf returns the set of the owners from 0 up to, not including, n.
func SetOf(n int) Set {
	var s Set
	for i := range n {
		s = s.With(i)
	}
	return s
}

// Has tells whether i is in the set.
func (s Set) Has(i int) bool { return i/64 < len(s) && s[i/64]&(1<<(i%64)) != 0 }

// With returns the set with i added; s stays as it is.
func (s Set) With(i int) Set {
	t := make(Set, max(len(s), i/64+1))
	copy(t, s)
	t[i/64] |= 1 << (i % 64)
	return t
}

// Without returns the set with i taken out; s stays as it is.
func (s Set) Without(i int) Set {
	t := append(Set(nil), s...)
	if i/64 < len(t) {
		t[i/64] &^= 1 << (i % 64)
	}
	return t
}

// Union returns the owners that are in s or in t.
func (s Set) Union(t Set) Set {
	if len(s) < len(t) {
		s, t = t, s
	}
	u := append(Set(nil), s...)
	for i, word := range t {
		u[i] |= word
	}
	return u
}

// Within tells whether every owner of s is in t.
func (s Set) Within(t Set) bool {
	for i, word := range s {
		if i < len(t) {
			word &^= t[i]
		}
		if word != 0 {
			return false
		}
	}
	return true
}

// Intersects tells whether s and t share an owner.
func (s Set) Intersects(t Set) bool {
	for i := range min(len(s), len(t)) {
		if s[i]&t[i] != 0 {
			return true
		}
	}
	return false
}

// firstIn returns the first owner that is in both s and t.
func (s Set) firstIn(t Set) (int, bool) {
	for i := range min(len(s), len(t)) {
		if word := s[i] & t[i]; word != 0 {
			return i*64 + bits.TrailingZeros64(word), true
		}
	}
	return 0, false
}

// Empty tells whether nothing is in the set.
func (s Set) Empty() bool { return s.Within(nil) }

// Members returns the owners of the set in rising order.
func (s Set) Members() []int {
	var list []int
	for i, word := range s {
		for ; word != 0; word &= word - 1 {
			list = append(list, i*64+bits.TrailingZeros64(word))
		}
	}
	return list
}

// Len returns how many owners are in the set.
func (s Set) Len() int {
	n := 0
	for _, word := range s {
		n += bits.OnesCount64(word)
	}
	return n
}
