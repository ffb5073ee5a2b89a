package wire

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// random joints between posts at random places, two for each battery.
func randomJoints(rng *rand.Rand, series, parallel, strings int) *joints {
	n := series * parallel * strings
	type point [3]float64
	posts := make([][2]point, n)
	for i := range posts {
		for k := range posts[i] {
			posts[i][k] = point{500 * rng.Float64(), 200 * rng.Float64(), 300 * rng.Float64()}
		}
	}
	between := func(a, b int) [][]float64 {
		all := make([][]float64, n)
		for i := range all {
			all[i] = make([]float64, n)
			for j := range all[i] {
				for k := range 3 {
					all[i][j] += (posts[i][a][k] - posts[j][b][k]) * (posts[i][a][k] - posts[j][b][k])
				}
				all[i][j] = math.Sqrt(all[i][j])
			}
		}
		return all
	}
	return &joints{n, series, parallel, strings, between(1, 0), between(0, 0), between(1, 1), false}
}

// permutations calls do with every order of n things (Heap's algorithm, Computer Journal 6 (1963)).
func permutations(n int, do func([]int)) {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	var swap func(int)
	swap = func(k int) {
		if k <= 1 {
			do(order)
			return
		}
		for i := range k {
			swap(k - 1)
			if k%2 == 0 {
				order[i], order[k-1] = order[k-1], order[i]
			} else {
				order[0], order[k-1] = order[k-1], order[0]
			}
		}
	}
	swap(n)
}

// allTried is the least cost of every order there is, added up here, apart from what orders them.
func allTried(j *joints) float64 {
	least := math.Inf(1)
	permutations(j.n, func(order []int) {
		sum := 0.0
		if j.strings > 1 {
			for s := range j.strings {
				for i := 1; i < j.series; i++ {
					sum += j.link[order[s*j.series+i-1]][order[s*j.series+i]]
				}
				if s > 0 {
					sum += j.minus[order[(s-1)*j.series]][order[s*j.series]] + j.plus[order[s*j.series-1]][order[(s+1)*j.series-1]]
				}
			}
		} else {
			for g := range j.series {
				group := order[g*j.parallel : (g+1)*j.parallel]
				sum += cheapestOf(group, j.plus) + cheapestOf(group, j.minus)
				if g > 0 {
					link := math.Inf(1)
					for _, a := range order[(g-1)*j.parallel : g*j.parallel] {
						for _, b := range group {
							link = min(link, j.link[a][b])
						}
					}
					sum += link
				}
			}
		}
		least = min(least, sum)
	})
	return least
}

func cheapestOf(group []int, cost [][]float64) float64 {
	least := math.Inf(1)
	permutations(len(group), func(order []int) {
		sum := 0.0
		for i := 1; i < len(order); i++ {
			sum += cost[group[order[i-1]]][group[order[i]]]
		}
		least = min(least, sum)
	})
	return least
}

// layouts is how many random layouts are compared: RACKWRIGHT_ORDERS=500 for all.
func layouts() int {
	if n, err := strconv.Atoi(os.Getenv("RACKWRIGHT_ORDERS")); err == nil {
		return n
	}
	return 60
}

// Up to 9 batteries, every order there is gives no less than the one that is found.
func TestLeastOfAllOrders(t *testing.T) {
	rng := rand.New(rand.NewPCG(28, 1))
	shapes := [][3]int{{2, 1, 1}, {3, 1, 1}, {4, 1, 1}, {5, 1, 1}, {6, 1, 1}, {7, 1, 1}, {2, 2, 1}, {3, 2, 1}, {2, 3, 1}, {1, 4, 1}, {2, 1, 2}, {3, 1, 2}, {2, 1, 3}, {1, 1, 3}}
	large := [][3]int{{8, 1, 1}, {9, 1, 1}, {4, 2, 1}, {3, 3, 1}, {4, 1, 2}, {2, 1, 4}, {3, 1, 3}}
	for i := range layouts() {
		shape := shapes[i%len(shapes)]
		if i%20 == 19 {
			shape = large[i/20%len(large)]
		}
		j := randomJoints(rng, shape[0], shape[1], shape[2])
		order, proven := j.best()
		require.True(t, proven)
		seen := slices.Clone(order)
		slices.Sort(seen)
		for k := range seen {
			require.Equal(t, k, seen[k], "%v: every battery once", shape)
		}
		require.InDelta(t, allTried(j), j.cost(order), 1e-9, "layout %d, %v", i, shape)
	}
}

// Sixteen in each shape are done, and more than that are ordered without a claim.
func TestMany(t *testing.T) {
	rng := rand.New(rand.NewPCG(28, 2))
	for _, shape := range [][3]int{{16, 1, 1}, {8, 2, 1}, {4, 4, 1}, {8, 1, 2}, {4, 1, 4}, {5, 3, 1}} {
		j := randomJoints(rng, shape[0], shape[1], shape[2])
		order, proven := j.best()
		require.True(t, proven)
		require.LessOrEqual(t, j.cost(order), j.cost(j.searched())+1e-9, "%v", shape)
	}
	j := randomJoints(rng, 20, 1, 1)
	order, proven := j.best()
	require.False(t, proven)
	require.Len(t, order, 20)
	require.Less(t, j.cost(order), j.cost(rng.Perm(20)))
}

// The longest jumper is as short as in any order there is, and of those orders the sum is least.
func TestShortestLongest(t *testing.T) {
	rng := rand.New(rand.NewPCG(28, 3))
	for range 20 {
		j := randomJoints(rng, 6, 1, 1)
		longest := func(order []int) float64 {
			most := 0.0
			for _, t := range j.joined(order) {
				most = max(most, j.of(t))
			}
			return most
		}
		least, sum := math.Inf(1), math.Inf(1)
		permutations(6, func(order []int) {
			if m := longest(order); m < least || m == least && j.cost(order) < sum {
				least, sum = m, j.cost(order)
			}
		})
		order, proven := j.bestByLongest()
		require.True(t, proven)
		require.InDelta(t, least, longest(order), 1e-9)
		require.InDelta(t, sum, j.cost(order), 1e-9)
	}
}

// Where nothing can be joined an order comes back all the same, and its cost says so.
func TestNothingCanBe(t *testing.T) {
	for _, shape := range [][3]int{{4, 1, 1}, {2, 2, 1}, {2, 1, 2}} {
		j := randomJoints(rand.New(rand.NewPCG(28, 4)), shape[0], shape[1], shape[2]).limited(0)
		order, _ := j.best()
		require.Len(t, order, 4)
		require.GreaterOrEqual(t, j.cost(order), float64(never))
	}
}
