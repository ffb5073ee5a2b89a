package entry

import "slices"

// maxSubsets is how many subsets leastSubset tries: all those of twelve things.
const maxSubsets = 4096

// leastSubset returns the smallest subset of list that is enough; among those of one
// size the first in the order of the list. All of list is enough, and adding to a
// subset never makes it less than enough. Of long lists it tries maxSubsets, and then
// settles for one from which nothing can be left out.
func leastSubset(list []int, enough func([]int) bool) []int {
	least := thinned(list, enough)
	tries := 0
	for size := range len(least) {
		found := subsets(list, size, func(subset []int) bool {
			tries++
			return tries > maxSubsets || enough(subset)
		})
		if tries > maxSubsets {
			break
		}
		if found != nil {
			return found
		}
	}
	return least
}

// subsets returns the first subset of list with size members that stop stops at, in
// the order of the list; nil when there is none.
func subsets(list []int, size int, stop func([]int) bool) []int {
	subset := make([]int, 0, size)
	var grow func(from int) bool
	grow = func(from int) bool {
		if len(subset) == size {
			return stop(subset)
		}
		for n := from; n <= len(list)-(size-len(subset)); n++ {
			subset = append(subset, list[n])
			if grow(n + 1) {
				return true
			}
			subset = subset[:len(subset)-1]
		}
		return false
	}
	if grow(0) {
		return subset
	}
	return nil
}

// thinned leaves out one after the other, the last first, as long as the rest is
// enough.
func thinned(list []int, enough func([]int) bool) []int {
	rest := slices.Clone(list)
	for n := len(rest) - 1; n >= 0; n-- {
		if less := slices.Delete(slices.Clone(rest), n, n+1); enough(less) {
			rest = less
		}
	}
	return rest
}
