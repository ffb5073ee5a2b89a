package puzzle

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

func never() bool { return false }

// turned lists the different ways in which a box can stand.
func turned(a, b, c int) [][3]int {
	var list [][3]int
	for _, s := range [][3]int{{a, b, c}, {a, c, b}, {b, a, c}, {b, c, a}, {c, a, b}, {c, b, a}} {
		found := false
		for _, o := range list {
			found = found || o == s
		}
		if !found {
			list = append(list, s)
		}
	}
	return list
}

// requirePacking checks places cell by cell.
func requirePacking(t *testing.T, p Problem, places []Place) {
	t.Helper()
	taken := map[[3]int]bool{}
	counts := make([]int, len(p.Kinds))
	for _, q := range places {
		counts[q.Kind]++
		s := p.Kinds[q.Kind].Shapes[q.Shape]
		for x := range s[0] {
			for y := range s[1] {
				for z := range s[2] {
					at := [3]int{q.Low[0] + x, q.Low[1] + y, q.Low[2] + z}
					require.False(t, taken[at], "two boxes in one cell")
					taken[at] = true
					for axis := range 3 {
						require.Less(t, at[axis], p.Size[axis])
					}
				}
			}
		}
	}
	for k, n := range counts {
		require.Equal(t, p.Kinds[k].Count, n)
	}
}

// The published puzzles are decided through the whole search, in its own tests. Here:
// every small random problem as a plain trial of all places decides it.
func TestAgainstAllPlaces(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	verdicts := map[Verdict]int{}
	for range 400 {
		p := Problem{Size: [3]int{2 + rng.IntN(3), 2 + rng.IntN(3), 1 + rng.IntN(3)}}
		for range 1 + rng.IntN(3) {
			shapes := turned(1+rng.IntN(3), 1+rng.IntN(3), 1+rng.IntN(2))
			p.Kinds = append(p.Kinds, Kind{1 + rng.IntN(3), shapes[:1+rng.IntN(len(shapes))]})
		}
		got, places := Solve(p, 1_000_000, never)
		want := CannotFit
		if tryAll(p, map[[3]int]bool{}, 0, 0) {
			want = Fits
		}
		require.Equal(t, want, got, "%+v", p)
		verdicts[got]++
		if got == Fits {
			requirePacking(t, p, places)
		}
	}
	require.Greater(t, verdicts[Fits], 50)
	require.Greater(t, verdicts[CannotFit], 50)
}

// Every small random problem of rectangles, some of which may turn, as a plain trial of all
// places decides it.
func TestFlatAgainstAllPlaces(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 1))
	verdicts := map[Verdict]int{}
	for range 400 {
		p := Problem{Size: [3]int{3 + rng.IntN(4), 3 + rng.IntN(4), 1}}
		for left := p.volume() + 2; left > 0; {
			a, b := 1+rng.IntN(4), 1+rng.IntN(4)
			k := Kind{1 + rng.IntN(3)/2, [][3]int{{a, b, 1}, {b, a, 1}}[:1+rng.IntN(2)]}
			p.Kinds = append(p.Kinds, k)
			left -= k.Count*a*b + rng.IntN(3)
		}
		for p.waste() < 0 {
			p.Kinds = p.Kinds[1:]
		}
		if len(p.Kinds) == 0 {
			continue
		}
		got, places := Solve(p, 10_000_000, never)
		want := CannotFit
		if tryAll(p, map[[3]int]bool{}, 0, 0) {
			want = Fits
		}
		require.Equal(t, want, got, "%+v", p)
		verdicts[got]++
		if got == Fits {
			requirePacking(t, p, places)
		}
	}
	require.Greater(t, verdicts[Fits], 50)
	require.Greater(t, verdicts[CannotFit], 50)
}

// tryAll puts the n-th box of kind k and all after it everywhere.
func tryAll(p Problem, taken map[[3]int]bool, k, n int) bool {
	if k == len(p.Kinds) {
		return true
	}
	if n == p.Kinds[k].Count {
		return tryAll(p, taken, k+1, 0)
	}
	for _, s := range p.Kinds[k].Shapes {
		for x := 0; x+s[0] <= p.Size[0]; x++ {
			for y := 0; y+s[1] <= p.Size[1]; y++ {
				for z := 0; z+s[2] <= p.Size[2]; z++ {
					if toggle(taken, [3]int{x, y, z}, s) {
						if tryAll(p, taken, k, n+1) {
							return true
						}
						clearCells(taken, [3]int{x, y, z}, s)
					}
				}
			}
		}
	}
	return false
}

func toggle(taken map[[3]int]bool, low, s [3]int) bool {
	var mine [][3]int
	for x := range s[0] {
		for y := range s[1] {
			for z := range s[2] {
				at := [3]int{low[0] + x, low[1] + y, low[2] + z}
				if taken[at] {
					return false
				}
				mine = append(mine, at)
			}
		}
	}
	for _, at := range mine {
		taken[at] = true
	}
	return true
}

func clearCells(taken map[[3]int]bool, low, s [3]int) {
	for x := range s[0] {
		for y := range s[1] {
			for z := range s[2] {
				delete(taken, [3]int{low[0] + x, low[1] + y, low[2] + z})
			}
		}
	}
}

func TestStepsRunOut(t *testing.T) {
	p := Problem{Size: [3]int{5, 5, 5}, Kinds: []Kind{{15, turned(1, 2, 4)}}}
	v, _ := Solve(p, 100, never)
	require.Equal(t, Unknown, v)
	v, _ = Solve(p, 100_000_000, func() bool { return true })
	require.Equal(t, Unknown, v)
}

// Flat problems in both ways: a square of 3 takes no two 2×2 beside a 1×2 and two 1×1
// whose area would do.
func TestFlat(t *testing.T) {
	p := Problem{Size: [3]int{3, 9, 3}, Kinds: []Kind{{2, [][3]int{{2, 9, 2}}}, {1, [][3]int{{1, 9, 1}}}}}
	v, _ := Solve(p, 1000, never)
	require.Equal(t, CannotFit, v)
	p.Kinds[0] = Kind{2, [][3]int{{1, 9, 3}}}
	p.Kinds[1].Count = 3
	v, places := Solve(p, 1000, never)
	require.Equal(t, Fits, v)
	requirePacking(t, p, places)
}
