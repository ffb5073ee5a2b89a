package search

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/search/internal/kit"
)

// shelves is a chest of 24, closed but for some of its sides, with shelves in it and one or
// two boxes of whole sizes.
func shelves(r *rand.Rand) pack.Problem {
	const size = 24
	f := closed(size, size, size)
	for i := range f.Opening.Open {
		f.Opening.Open[i] = r.IntN(3) == 0
	}
	f.Opening.Open[r.IntN(4)] = true
	n := func(lo, hi int) float64 { return float64(lo + r.IntN(hi-lo+1)) }
	for i := range 1 + r.IntN(2) {
		low := r3.Vector{X: n(0, 8), Z: n(6, 14)}
		high := r3.Vector{X: n(12, size), Y: size, Z: low.Z + n(1, 3)}
		if r.IntN(2) == 0 {
			low, high = r3.Vector{X: low.Z, Z: low.X}, r3.Vector{X: high.Z, Y: size, Z: high.X}
		}
		f.KeepOuts = append(f.KeepOuts, frame.KeepOut{Name: fmt.Sprint("shelf ", i), Box: &frame.Corners{Low: low, High: high}})
	}
	if r.IntN(3) == 0 {
		f.Rails = append(f.Rails, frame.Rail{Name: "tube", Path: []r3.Vector{{X: n(4, 20), Y: -5, Z: n(10, 30)}, {X: n(4, 20), Y: size + 5, Z: n(10, 30)}}, Diameter: 3})
	}
	p := kit.NoGaps(f, kit.Upright(kit.Boxes("a", 1, n(3, 9), n(3, 9), n(3, 9))))
	if r.IntN(2) == 0 {
		p.Pack.Kinds = append(p.Pack.Kinds, kit.Upright(kit.Boxes("b", 1, n(3, 9), n(3, 9), n(3, 9))))
	}
	p.Pack.Gaps.Entry = 0.5 * n(0, 3)
	return p
}

// TestBoundOfWhatGoesIn holds the bound against layouts on a lattice of half millimetres: none
// that has more to spare goes in.
func TestBoundOfWhatGoesIn(t *testing.T) {
	ctx := context.Background()
	barred, below, proven, looked := 0, 0, 0, 0
	for seed := range uint64(100) {
		r := rand.New(rand.NewPCG(seed, 23))
		p := shelves(r)
		short, stop := context.WithCancel(ctx)
		rounds := 0
		res, err := Fit(short, p, Settings{Seed: 1, Workers: 1, Progress: func(Progress) {
			if rounds++; rounds > 120 {
				stop()
			}
		}})
		stop()
		require.NoError(t, err)
		if res.Barred == nil {
			continue
		}
		barred++
		if res.Bound < res.Barred.Report.Spare-Closed {
			below++
		}
		if res.Proven {
			proven++
		}
		at := res.Barred.Layout
		for range 3000 {
			l := pack.Layout{}
			for _, b := range at.Placements {
				b.Centre = r3.Vector{X: float64(r.IntN(97)) / 4, Y: float64(r.IntN(97)) / 4, Z: float64(r.IntN(97)) / 4}
				l.Placements = append(l.Placements, b)
			}
			if !(pack.Check(p, l).Spare > res.Bound+1e-6) {
				continue
			}
			looked++
			in, err := entry.Holds(ctx, p, l, entry.Settings{})
			require.NoError(t, err)
			require.False(t, in, "seed %d: %v goes in with %v to spare, beyond %v", seed, l.Placements, pack.Check(p, l).Spare, res.Bound)
		}
	}
	t.Logf("%d barred, the bound below %d of them, %d proven; %d layouts with more to spare", barred, below, proven, looked)
	require.Greater(t, below, 3)
	require.Greater(t, proven, 2)
	require.Greater(t, looked, 200)
}
