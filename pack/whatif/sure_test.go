package whatif_test

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/limit"
	"rackwright/pack/outcome"
	"rackwright/pack/search"
	"rackwright/pack/whatif"
)

func howSure(t *testing.T, p pack.Problem) (search.Result, outcome.Sureness) {
	t.Helper()
	s := search.Settings{Seed: 1, AnyEntry: true, Layouts: 1}
	r, err := search.Fit(context.Background(), p, s)
	require.NoError(t, err)
	require.NoError(t, whatif.AskSure(context.Background(), p, &r, whatif.Settings{Search: s}))
	if r.Sure == nil {
		return r, outcome.Sureness{Layout: -1, Error: -1}
	}
	return r, *r.Sure
}

// A row of three boxes in a length L: sure as long as L − 2·(2·accuracy) … at the worst
// every box is longer by a + w, both ends nearer by A (derived).
func TestSureOfARow(t *testing.T) {
	f := chest(1000, 130, 130)
	f.Accuracy = 2
	k := kind("b", 3, 300, 90, 90)
	k.Accuracy, k.Swell = 1, 0.5
	p := pack.Problem{Frame: f, Pack: &pack.Pack{Kinds: []pack.Kind{k}}}
	// 1000 − 4 − 3·(300 + 1.5 + gap) ≥ 0 up to two gaps of 45.75.
	p.Pack.Gaps.Beside = 45.7
	_, sure := howSure(t, p)
	require.True(t, sure.Holds())
	require.Equal(t, 0, sure.Layout)
	p.Pack.Gaps.Beside = 45.8
	r, sure := howSure(t, p)
	require.Equal(t, pack.Tight, r.Verdict)
	require.False(t, sure.Holds())
	require.True(t, sure.ProvenTight)
	// 1000 − 2e − 3·(300.5 + e) − 2·45.8 = 0, sizes rounded up to the lattice.
	require.InDelta(t, (1000-3*300.5-2*45.8)/5, sure.Error, 0.002)
}

// Two boxes upright have (106 − 100)/2 = 3 mm to spare above and below, and lose all 4 of
// the frame's accuracy. On their ends, in a row, they have (208.4 − 200)/3 = 2.8, and lose
// 2·4/3 (derived). So the best layout is not sure, and another one is.
func TestSureOnlyWithAnotherLayout(t *testing.T) {
	f := chest(208.4, 104, 106)
	f.Accuracy = 4
	k := kind("b", 2, 80, 90, 100)
	k.Stands = []pack.Stand{pack.Upright, pack.OnEnd}
	r, sure := howSure(t, pack.Problem{Frame: f, Pack: &pack.Pack{Kinds: []pack.Kind{k}}})
	require.InDelta(t, 3, r.Spare, 0.001)
	require.True(t, sure.Holds())
	require.Equal(t, pack.Sure, r.Verdict)
	require.Len(t, r.Layouts, 2)
	require.Equal(t, 1, sure.Layout, "one that was added")
	_, spare, err := limit.Best(pack.Problem{Frame: f, Pack: &pack.Pack{Kinds: []pack.Kind{k}}}, sure.Moved.Layout)
	require.NoError(t, err)
	require.InDelta(t, 2.8, spare, 0.001)
	for _, at := range sure.Moved.Layout.Placements {
		require.Equal(t, pack.OnEnd, at.Stand())
	}
	require.InDelta(t, 2, sure.Error, 0.002, "of the first layout: 6 mm are shared by two faces and the box")
}

// Nothing to say of what does not fit.
func TestNotSureWhenNothingFits(t *testing.T) {
	_, sure := howSure(t, problem(chest(100, 100, 100), kind("b", 1, 110, 90, 90)))
	require.False(t, sure.Holds())
	require.Negative(t, sure.Error)
}

// 2,000 random errors within the accuracy never break a sure layout: its boxes stay where
// they are, and every size and face is off by its own error.
func TestSureAgainstMonteCarlo(t *testing.T) {
	sures, tried := 0, 0
	for seed := uint64(0); tried < 2000; seed++ {
		g := rand.New(rand.NewPCG(seed, 9))
		p := slanted(g)
		_, sure := howSure(t, p)
		if !sure.Holds() {
			continue
		}
		sures++
		for range 100 {
			tried++
			require.GreaterOrEqual(t, pack.Check(erring(g, p), sure.Moved.Layout).Spare, -0.005, "seed %d: 5 µm for snapping", seed)
		}
	}
	require.Greater(t, sures, 10)
}

// slanted is a random four-sided opening with a keep-out and two boxes.
func slanted(g *rand.Rand) pack.Problem {
	n := func(lo, hi int) float64 { return float64(lo + g.IntN(hi-lo+1)) }
	f := opening(n(120, 160), r2.Point{}, r2.Point{X: n(260, 320), Y: n(-20, 20)}, r2.Point{X: n(280, 360), Y: n(200, 260)}, r2.Point{X: n(-40, 40), Y: n(200, 260)})
	f.Accuracy = n(1, 3)
	f.KeepOuts = []frame.KeepOut{block("b", r3.Vector{X: n(0, 200), Y: -10, Z: n(120, 180)}, r3.Vector{X: 210, Y: 200, Z: 300}, 0)}
	k := kind("b", 2, n(90, 120), n(90, 115), n(80, 110))
	k.Accuracy, k.Swell = n(0, 2), 0.5
	if g.IntN(2) == 0 {
		k.Posts = []pack.Post{{Name: "plus", Face: pack.Face(g.IntN(6)), At: r2.Point{X: n(10, 50), Y: n(10, 50)}, Diameter: 10, Height: 8}}
	}
	if g.IntN(2) == 0 {
		k.Tilts = append(k.Tilts, 10*s1.Degree)
	}
	return problem(f, k)
}

// erring is the problem with every corner's two lines, every face and size off by random
// errors: sizes and all of posts within the accuracy, and sizes swollen as much as they may.
func erring(g *rand.Rand, p pack.Problem) pack.Problem {
	off := func(most float64) float64 { return most * (2*g.Float64() - 1) }
	f, k := *p.Frame, *p.Pack
	c := f.Opening.Outline.Corners
	lines := make([]float64, len(c))
	for i := range lines {
		lines[i] = off(f.Accuracy)
	}
	corners := make([]r2.Point, len(c))
	for i := range c {
		corners[i] = meet(c[(i+len(c)-1)%len(c)], c[i], lines[(i+len(c)-1)%len(c)], c[(i+1)%len(c)], lines[i])
	}
	f.Opening.Outline = geom.Polygon{Corners: corners}
	in := f.Opening.Stations[0].Across
	f.Opening.Stations = []frame.Station{{Across: r1.Interval{Lo: in.Lo + off(f.Accuracy), Hi: in.Hi + off(f.Accuracy)}}}
	low, high := f.KeepOuts[0].Box.Low, f.KeepOuts[0].Box.High
	shake := func() r3.Vector { return r3.Vector{X: off(f.Accuracy), Y: off(f.Accuracy), Z: off(f.Accuracy)} }
	f.KeepOuts = []frame.KeepOut{block("b", low.Add(shake()), high.Add(shake()), 0)}
	kind := k.Kinds[0]
	size := func(v float64) float64 { return v + off(kind.Accuracy) + kind.Swell*g.Float64() }
	kind.Size = r3.Vector{X: size(kind.Size.X), Y: size(kind.Size.Y), Z: size(kind.Size.Z)}
	kind.Posts = slices.Clone(kind.Posts)
	for i := range kind.Posts {
		t := &kind.Posts[i]
		t.At = t.At.Add(r2.Point{X: off(kind.Accuracy), Y: off(kind.Accuracy)})
		t.Diameter, t.Height = t.Diameter+off(kind.Accuracy), t.Height+off(kind.Accuracy)
	}
	k.Kinds = []pack.Kind{kind}
	p.Frame, p.Pack = &f, &k
	return p
}

// meet is where the lines before–at and at–after of a polygon meet after each has moved
// outwards by its own distance.
func meet(before, at r2.Point, d1 float64, after r2.Point, d2 float64) r2.Point {
	e1, e2 := at.Sub(before).Normalize(), after.Sub(at).Normalize()
	p1 := at.Add(r2.Point{X: e1.Y, Y: -e1.X}.Mul(d1))
	p2 := at.Add(r2.Point{X: e2.Y, Y: -e2.X}.Mul(d2))
	t := p2.Sub(p1).Cross(e2) / e1.Cross(e2)
	return p1.Add(e1.Mul(t))
}

// The greatest common error is what the answer says: with it the layout still holds, as
// the judge of the problem with that error says.
func TestCommonErrorIsOfTheFirstLayout(t *testing.T) {
	p := slanted(rand.New(rand.NewPCG(3, 9)))
	r, sure := howSure(t, p)
	require.True(t, r.Verdict.Fits())
	_, spare, err := limit.Best(limit.Off(p, sure.Error), r.Layouts[0].Layout)
	require.NoError(t, err)
	require.GreaterOrEqual(t, spare, -1e-6)
}
