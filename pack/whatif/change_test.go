package whatif_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
	"rackwright/pack/search"
	"rackwright/pack/whatif"
)

func whats(list []whatif.Change) []string {
	var names []string
	for _, c := range list {
		names = append(names, c.What)
	}
	return names
}

// What is tried, and what the safety of posts forbids.
func TestChangesThatAreTried(t *testing.T) {
	battery := kind("battery", 2, 100, 80, 90)
	battery.Volts = 12
	battery.Posts = []pack.Post{{Name: "plus", Face: pack.Top, At: r2.Point{X: 20, Y: 20}, Diameter: 10}}
	p := problem(chest(200, 200, 150), battery, kind("charger", 1, 50, 50, 50))
	p.Pack.Floor = &pack.Gaps{Beside: 1, Above: 6, Rail: 2, KeepOut: 5, Post: 10, Boot: 0}
	list := whatif.Changes(p)
	names := whats(list)
	require.Contains(t, names, "one battery fewer")
	require.Contains(t, names, "the charger somewhere else")
	require.Contains(t, names, "the gap beside at its floor of 1 mm instead of 3")
	require.Contains(t, names, "the gap rail at its floor of 2 mm instead of 5")
	require.Contains(t, names, "all these gaps at their floors")
	require.Contains(t, names, "battery allowed on-end as well")
	require.Contains(t, names, "charger allowed inverted as well")
	require.Contains(t, names, "battery allowed tilted by 10° nose down as well")
	require.NotContains(t, names, "battery allowed inverted as well", "what has posts is not turned upside down")
	require.NotContains(t, names, "battery allowed upright as well", "it is allowed already")
	for _, c := range list {
		require.Equal(t, p.Pack.Gaps.Post, c.Problem.Pack.Gaps.Post, "gaps of posts are not lowered")
		require.Equal(t, p.Pack.Gaps.Boot, c.Problem.Pack.Gaps.Boot)
		if c.What == "one battery fewer" {
			require.Contains(t, c.Caution, "voltage")
		}
		if slices.Contains([]string{"battery allowed on-end as well", "battery allowed on-side as well"}, c.What) {
			require.Contains(t, c.Caution, "maker")
		}
	}
	require.Equal(t, 2, p.Pack.Kinds[0].Count, "the problem itself stays as it is")
	require.Len(t, p.Pack.Kinds[0].Stands, 1)
}

func TestOneBoxAloneIsNotTakenAway(t *testing.T) {
	p := problem(chest(200, 200, 150), kind("b", 1, 100, 80, 90))
	require.NotContains(t, whats(whatif.Changes(p)), "one b fewer")
}

// A box 160 long stands on its end in an opening 120 long and 180 high (derived).
func TestOneStandMoreHelps(t *testing.T) {
	p := problem(chest(120, 120, 180), kind("b", 1, 160, 100, 100))
	done, err := whatif.Try(context.Background(), whatif.Changes(p), settings())
	require.NoError(t, err)
	var help []string
	for _, c := range done {
		if c.Result.Verdict.Fits() {
			help = append(help, c.What)
		}
	}
	require.Equal(t, []string{"b allowed on-end as well"}, help)
}

func TestTryEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	p := problem(chest(120, 120, 180), kind("b", 1, 160, 100, 100))
	done, err := whatif.Try(ctx, whatif.Changes(p), settings())
	require.NoError(t, err)
	require.Empty(t, done)
	c, err := whatif.Concessions(ctx, p, settings())
	require.NoError(t, err)
	require.True(t, c.None)
}

// A flooded battery is offered no other stand and no tilt.
func TestFloodedIsNotTurned(t *testing.T) {
	battery := kind("battery", 1, 100, 80, 90)
	require.Contains(t, whats(whatif.Changes(problem(chest(200, 200, 150), battery))), "battery allowed tilted by 10° nose down as well")
	battery.Flooded = true
	for _, what := range whats(whatif.Changes(problem(chest(200, 200, 150), battery))) {
		require.NotContains(t, what, "as well")
	}
}

// What a lower gap gives, all of them lower give as well, even where each search ends at the first
// layout that fits.
func TestAllGapsAtTheirFloorsGiveNoLessThanOne(t *testing.T) {
	p := problem(opening(270, r2.Point{}, r2.Point{X: 420}, r2.Point{X: 520, Y: 300}, r2.Point{X: 40, Y: 330}), kind("a", 6, 160, 105, 158), kind("b", 1, 80, 60, 50))
	p.Frame.Opening.Stations[0].Across = r1.Interval{Lo: -120, Hi: 150}
	p.Pack.Gaps.Beside, p.Pack.Gaps.Above = 8, 12
	p.Pack.Floor = &pack.Gaps{Beside: 2, Above: 4, Wall: p.Pack.Gaps.Wall, Rail: p.Pack.Gaps.Rail, KeepOut: p.Pack.Gaps.KeepOut}
	var gaps []whatif.Change
	for _, c := range whatif.Changes(p) {
		if strings.Contains(c.What, "floor") {
			gaps = append(gaps, c)
		}
	}
	done, err := whatif.Try(context.Background(), gaps, whatif.Settings{Hasty: true, Search: search.Settings{AnyEntry: true}})
	require.NoError(t, err)
	require.Len(t, done, 3)
	for _, c := range done[:2] {
		require.GreaterOrEqual(t, done[2].Result.Spare, c.Result.Spare-search.Closed, c.What)
	}
}
