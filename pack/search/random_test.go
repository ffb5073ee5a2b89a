package search_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/search"
)

// No layout that the judge rejects, and no bound below a layout that another search of
// the same problem has found: with another seed, and with the vehicle turned about so
// that front is rear and right is left, which changes neither layouts nor spares but
// leads another way through the search. Searches are cut at a step of their own, so
// that bounds are looked at half-way too.
//
// RACKWRIGHT_RANDOM=N takes N problems instead of a few, RACKWRIGHT_RANDOM=20-39 those
// with these seeds.
func TestRandomProblems(t *testing.T) {
	seeds := seedsOf(t, "RACKWRIGHT_RANDOM")
	if seeds == nil {
		for seed := uint64(3); seed <= 12; seed++ {
			seeds = append(seeds, seed)
		}
	}
	for _, seed := range seeds {
		t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) { searchTwice(t, seed) })
	}
}

func searchTwice(t *testing.T, seed uint64) {
	t.Helper()
	g := generatorFor(seed ^ 0xabcdef)
	f := randomFiles(seed, g.between(1, 8))
	g.addRound(&f.Frame)
	one := f.problem(t)
	other := f.turnedAbout().problem(t)
	a := searchUntil(t, one, seed, g.steps())
	b := searchUntil(t, other, seed+1, g.steps())
	t.Logf("seed %d: %.4f ≤ %.4f and %.4f ≤ %.4f", seed, a.Spare, a.Bound, b.Spare, b.Bound)
	requireJudged(t, f, one, a)
	requireJudged(t, f, other, b)
	for _, l := range b.Layouts {
		report := pack.Check(one, turnedBack(l.Layout))
		require.Empty(t, report.Faults, f)
		require.InDelta(t, l.Report.Spare, report.Spare, 1e-6, "the judge, of a vehicle turned about\n%v", f)
	}
	requireAgree(t, f, a, b)
}

// steps is after how many steps a search is cut: mostly soon.
func (g generator) steps() int {
	if g.oneIn(4) {
		return g.between(9, 40)
	}
	return g.between(1, 8)
}

// requireJudged has the judge look at all layouts of a result.
func requireJudged(t *testing.T, f files, problem pack.Problem, r search.Result) {
	t.Helper()
	require.GreaterOrEqual(t, r.Bound, r.Spare-exactly, "the bound is below the layout\n%v", f)
	for _, l := range r.Layouts {
		report := pack.Check(problem, l.Layout)
		require.Empty(t, report.Faults, f)
		require.Equal(t, l.Report.Spare, report.Spare, f)
		require.LessOrEqual(t, report.Spare, r.Spare+exactly, "the best comes first, but for what is preferred\n%v", f)
	}
	if r.Verdict.Fits() {
		require.GreaterOrEqual(t, r.Spare, 0.0, f)
	}
	if r.Verdict == pack.ProvenNoFit {
		require.Less(t, r.Bound, 0.0, f)
	}
}

// exactly is the rounding that two ways to the same layout may make.
const exactly = 1e-6

// requireAgree compares two searches of the same problem.
func requireAgree(t *testing.T, f files, a, b search.Result) {
	t.Helper()
	require.GreaterOrEqual(t, a.Bound, b.Spare-exactly, "the other search has a layout above the bound\n%v", f)
	require.GreaterOrEqual(t, b.Bound, a.Spare-exactly, "there is a layout above the other search's bound\n%v", f)
	if a.Verdict == pack.ProvenNoFit || b.Verdict == pack.ProvenNoFit {
		require.False(t, a.Verdict.Fits() || b.Verdict.Fits(), "it fits, and it is proven that it does not\n%v", f)
	}
	if a.Proven && b.Proven && a.Bound >= 0 {
		require.InDelta(t, a.Spare, b.Spare, search.Closed+exactly, f)
	}
}

// searchUntil ends a search when it has told so many times where it stands.
func searchUntil(t *testing.T, problem pack.Problem, seed uint64, steps int) search.Result {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	bound := math.Inf(1)
	r, err := search.Fit(ctx, problem, search.Settings{AnyEntry: true, Seed: seed, Workers: 1, Progress: func(p search.Progress) {
		if p.Bound > bound {
			t.Errorf("the bound goes up from %v to %v", bound, p.Bound)
		}
		bound = p.Bound
		if steps--; steps == 0 {
			cancel()
		}
	}})
	require.NoError(t, err)
	return r
}

// turnedAbout is the same vehicle turned by half a turn about its upright axis: x and y
// change their signs, and with them what is nose down.
func (f files) turnedAbout() files {
	about := files{f.Frame, f.Pack}
	about.Frame.Opening.Outline = mirrored(f.Frame.Opening.Outline)
	about.Frame.Opening.Stations = nil
	for _, s := range f.Frame.Opening.Stations {
		about.Frame.Opening.Stations = append(about.Frame.Opening.Stations, stationJSON{s.Z, [2]int{-s.Across[1], -s.Across[0]}})
	}
	about.Frame.KeepOuts = nil
	for _, k := range f.Frame.KeepOuts {
		about.Frame.KeepOuts = append(about.Frame.KeepOuts, k.turnedAbout())
	}
	about.Frame.Rails = nil
	for _, r := range f.Frame.Rails {
		r.Path = [][3]int{turned(r.Path[0]), turned(r.Path[1])}
		about.Frame.Rails = append(about.Frame.Rails, r)
	}
	about.Pack.Boxes = slices.Clone(f.Pack.Boxes)
	for i, k := range f.Pack.Boxes {
		about.Pack.Boxes[i].Tilt = nil
		for _, tilt := range k.Tilt {
			about.Pack.Boxes[i].Tilt = append(about.Pack.Boxes[i].Tilt, -tilt)
		}
	}
	return about
}

func (k keepOutJSON) turnedAbout() keepOutJSON {
	switch {
	case k.Box != nil:
		lo, hi := k.Box.Low, k.Box.High
		k.Box = &cornJSON{Low: [3]int{-hi[0], -hi[1], lo[2]}, High: [3]int{-lo[0], -lo[1], hi[2]}}
	case k.Round != nil:
		k.Round = &roundJSON{turned(k.Round.From), turned(k.Round.To), k.Round.Diameter}
	default:
		k.Outline = mirrored(k.Outline)
		k.Across = &[2]int{-k.Across[1], -k.Across[0]}
	}
	return k
}

func turned(p [3]int) [3]int { return [3]int{-p[0], -p[1], p[2]} }

func mirrored(outline [][2]int) [][2]int {
	var all [][2]int
	for _, c := range outline {
		all = append(all, [2]int{-c[0], c[1]})
	}
	return all
}

// turnedBack is a layout of the vehicle turned about as one of the vehicle itself: the
// face that looked forward looks back.
func turnedBack(l pack.Layout) pack.Layout {
	back := pack.Layout{Placements: slices.Clone(l.Placements)}
	for i, p := range l.Placements {
		p.Front = p.Front.Opposite()
		p.Tilt = 0 - p.Tilt
		p.Centre.X, p.Centre.Y = -p.Centre.X, -p.Centre.Y
		back.Placements[i] = p
	}
	return back
}
