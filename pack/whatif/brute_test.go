package whatif_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
)

// Against brute force over all combinations: every set of things is searched by itself,
// with keep-outs moved in by all of their trim. What fits, and no part of which does, is
// what has to be found.
func TestConcessionsAgainstBruteForce(t *testing.T) {
	fitting, notched, several := 0, 0, 0
	shapes := map[string]int{}
	for seed := range uint64(44) {
		f, p := random(seed)
		if searched(t, p).Verdict.Fits() {
			continue
		}
		var want []string
		var found []int
		for set := 1; set < 1<<3; set++ {
			if slices.ContainsFunc(found, func(s int) bool { return s&set == s }) {
				found = append(found, set)
				continue
			}
			if searched(t, withSet(p, set)).Verdict.Fits() {
				found = append(found, set)
			}
		}
		for _, set := range found {
			if !slices.ContainsFunc(found, func(s int) bool { return s != set && s&set == s }) {
				want = append(want, fmt.Sprint(namesOf(set)))
			}
		}
		got := []string{}
		c := conceded(t, p)
		for i, fit := range c.Fits {
			names := fit.Names()
			slices.Sort(names)
			got = append(got, fmt.Sprint(names))
			require.True(t, fit.Report.Holds())
			requireRoom(t, f, fit)
			notched += len(fit.Notches)
			for _, n := range fit.Notches {
				shapes[shapeOf(f, n.KeepOut)]++
			}
			if len(names) > 1 {
				several++
			}
			if i > 0 {
				require.LessOrEqual(t, len(c.Fits[i-1].Names()), len(names), "from the least to the most")
			}
		}
		require.ElementsMatch(t, want, got, "seed %d", seed)
		fitting += len(got)
	}
	t.Logf("%d concessions, %d of several things, %d notches: %v", fitting, several, notched, shapes)
	for _, shape := range []string{"convex", "bent", "round", "slanted", "box"} {
		require.Positive(t, shapes[shape], shape)
	}
	require.Greater(t, fitting, 8)
	require.Greater(t, notched, 3)
	require.Greater(t, several, 1)
}

func shapeOf(f *frame.Frame, name string) string {
	k := f.KeepOuts[slices.IndexFunc(f.KeepOuts, func(k frame.KeepOut) bool { return k.Name == name })]
	switch {
	case k.Slanted():
		return "slanted"
	case k.Round != nil:
		return "round"
	case k.Box != nil:
		return "box"
	case k.Profile.Outline.IsConvex():
		return "convex"
	}
	return "bent"
}

var thingNames = []string{"rail", "tank", "tray"}

func namesOf(set int) []string {
	var names []string
	for i, n := range thingNames {
		if set&(1<<i) != 0 {
			names = append(names, n)
		}
	}
	slices.Sort(names)
	return names
}

// random is a chest with a rail that unbolts and two keep-outs that may be trimmed, and one
// or two boxes that fill most of it. The first keep-out is convex, bent, or round,
// across or slanted.
func random(seed uint64) (*frame.Frame, pack.Problem) {
	g := rand.New(rand.NewPCG(seed, 5))
	n := func(lo, hi int) float64 { return float64(lo + g.IntN(hi-lo+1)) }
	f := chest(260, 160, 200)
	f.Rails = []frame.Rail{tube("rail", n(30, 230), n(100, 200), true)}
	x := n(0, 160)
	low := n(150, 190)
	f.KeepOuts = []frame.KeepOut{
		{Name: "tank", Profile: &frame.Profile{
			Outline: polygon(
				r2.Point{X: x, Y: low}, r2.Point{X: x + 100, Y: low + n(-15, 15)}, r2.Point{X: x + 80, Y: low + 60}, r2.Point{X: x + 10, Y: low + 60}),
			Across: r1.Interval{Lo: n(-20, 30), Hi: 170},
		}, Trim: n(6, 20), Metal: true},
		block("tray", r3.Vector{X: n(-30, 0), Y: -10, Z: -10}, r3.Vector{X: n(15, 40), Y: 170, Z: n(30, 120)}, n(4, 9)),
	}
	switch tank := &f.KeepOuts[0]; {
	case seed >= 18 && seed%2 == 0: // an arch
		tank.Profile.Outline = polygon(
			r2.Point{X: x, Y: low - 10}, r2.Point{X: x + 50, Y: low + n(5, 20)}, r2.Point{X: x + 110, Y: low - n(5, 15)},
			r2.Point{X: x + 100, Y: low + 80}, r2.Point{X: x, Y: low + 80})
	case seed >= 18: // a drum
		across := tank.Profile.Across
		tank.Round = &frame.Round{From: r3.Vector{X: x + 50, Y: across.Lo, Z: low + 60}, To: r3.Vector{X: x + 50, Y: across.Hi, Z: low + 60}, Diameter: n(120, 140)}
		tank.Profile = nil
		if seed%8 == 5 {
			tank.Round.To = tank.Round.To.Add(r3.Vector{X: 15, Z: 15})
		}
	}
	k := kind("b", 1+g.IntN(2), n(100, 200), n(100, 145), n(120, 185))
	if k.Count == 2 {
		k.Size.X = n(90, 120)
	}
	if g.IntN(2) == 0 {
		k.Tilts = []s1.Angle{0, 8 * s1.Degree}
	}
	return f, problem(f, k)
}

// withSet is the problem without the rails of a set, and with its keep-outs moved in.
func withSet(p pack.Problem, set int) pack.Problem {
	f := *p.Frame
	f.Rails, f.KeepOuts = nil, nil
	for i, r := range p.Frame.Rails {
		if set&(1<<i) == 0 {
			f.Rails = append(f.Rails, r)
		}
	}
	for i, k := range p.Frame.KeepOuts {
		if set&(2<<i) != 0 {
			core, err := k.Core(k.Trim - 0.02) // the cut is wider than its box needs
			if err != nil {
				panic(err)
			}
			f.KeepOuts = append(f.KeepOuts, core...)
			continue
		}
		f.KeepOuts = append(f.KeepOuts, k)
	}
	p.Frame = &f
	return p
}
