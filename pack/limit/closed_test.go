package limit_test

import (
	"context"
	"math"
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
	"rackwright/pack/search"
)

// opening is a frame with an outline and a width and nothing else.
func opening(across r1.Interval, corners ...r2.Point) *frame.Frame {
	p, err := geom.PolygonFromCorners(corners)
	if err != nil {
		panic(err)
	}
	return &frame.Frame{Opening: frame.Opening{
		Outline: p, Stations: []frame.Station{{Across: across}}, Metal: true,
		Sides: []string{"one", "two", "three", "four", "five", "six", "seven"}[:len(corners)],
	}}
}

func chest(x, y, z float64) *frame.Frame {
	return opening(r1.Interval{Lo: 0, Hi: y}, r2.Point{}, r2.Point{X: x}, r2.Point{X: x, Y: z}, r2.Point{Y: z})
}

func upright(name string, count int, l, w, h float64) pack.Kind {
	return pack.Kind{
		Name: name, Count: count, Size: r3.Vector{X: l, Y: w, Z: h},
		Stands: []pack.Stand{pack.Upright}, Tilts: []s1.Angle{0},
	}
}

func bare(f *frame.Frame, kinds ...pack.Kind) pack.Problem {
	return pack.Problem{Frame: f, Pack: &pack.Pack{Kinds: kinds}}
}

// analysed searches to the end and says what limits the best layout.
func analysed(t *testing.T, p pack.Problem) limit.Analysis {
	t.Helper()
	r, err := search.Fit(context.Background(), p, search.Settings{Seed: 1, AnyEntry: true})
	require.NoError(t, err)
	require.True(t, r.Proven)
	a, err := limit.Of(p, r.Layouts[0].Layout)
	require.NoError(t, err)
	require.InDelta(t, r.Spare, a.Spare, 1e-6)
	require.InDelta(t, a.Spare, pack.Check(p, a.Layout).Spare, 1e-6)
	return a
}

// requireRate says what a millimetre more and less of a thing does.
func requireRate(t *testing.T, a limit.Analysis, more string, want float64) {
	t.Helper()
	for _, e := range a.Effects {
		if e.Measured.MoreWords() == more {
			require.InDelta(t, want, e.More, 1e-6, more)
			require.InDelta(t, -want, e.Less, 1e-6, more)
			return
		}
	}
	require.InDelta(t, want, 0, 1e-9, "%s has no effect", more)
}

// A row of k boxes in a length L has the greatest spare (L − Σl)/(k+1) (derived). So a
// millimetre of room gives 1/(k+1), one of every box takes k/(k+1), one of the k − 1
// gaps between them (k−1)/(k+1).
func TestRatesOfARow(t *testing.T) {
	for k := 1; k <= 4; k++ {
		a := analysed(t, bare(chest(1000, 130, 130), upright("b", k, (1000-12*float64(k+1))/float64(k), 90, 90)))
		n := float64(k + 1)
		requireRate(t, a, "two further out", 1/n)
		requireRate(t, a, "four further out", 1/n)
		requireRate(t, a, "b length", -float64(k)/n)
		requireRate(t, a, "gap beside", -float64(k-1)/n)
		requireRate(t, a, "gap wall", -2/n)
		requireRate(t, a, "b height", 0)
		require.True(t, a.Chain.Straight)
		require.Len(t, a.Chain.Boxes, k)
		require.InDelta(t, n*a.Spare, a.Chain.Room-a.Chain.Need, 1e-6)
		require.InDelta(t, 1000, a.Chain.Room, 1e-6)
	}
}

// In a triangle with base b, height H and inradius ρ a w×h box on the base has the
// greatest spare ρ(1 − w/b − h/H) (derived). Here b = 6, H = 4, ρ = 1.5, in metres.
func TestRatesOfOneBoxInATriangle(t *testing.T) {
	f := opening(r1.Interval{Lo: -8000, Hi: 8000}, r2.Point{}, r2.Point{X: 6000}, r2.Point{X: 3000, Y: 4000})
	a := analysed(t, bare(f, upright("b", 1, 2000, 10000, 1000)))
	requireRate(t, a, "b length", -1500.0/6000)
	requireRate(t, a, "b height", -1500.0/4000)
	requireRate(t, a, "b width", 0)
	// The gap wall g leaves a triangle of inradius ρ − g, and with it s + g instead of s.
	requireRate(t, a, "gap wall", -1)
	require.False(t, a.Chain.Straight)
	require.Len(t, a.Links, 3)
}

// Two w×h boxes side by side in the same triangle: (1 − Σw/b − h/H)/(1/b + 1/ρ)
// (derived).
func TestRatesOfTwoBoxesInATriangle(t *testing.T) {
	f := opening(r1.Interval{Lo: -8000, Hi: 8000}, r2.Point{}, r2.Point{X: 6000}, r2.Point{X: 3000, Y: 4000})
	a := analysed(t, bare(f, upright("b", 2, 800, 10000, 2000)))
	under := 1.0/6000 + 1.0/1500
	requireRate(t, a, "b length", -2.0/6000/under)
	requireRate(t, a, "b height", -1.0/4000/under)
	requireRate(t, a, "gap beside", -1.0/6000/under)
	requireRate(t, a, "gap wall", -1.0/1500/under)
}

// A 40×30 box between a corner and a tube whose axis is at (100, 100), radius R = 20:
// F(s) = (60−s)² + (70−s)² − (R+s)² = 0 at s = 30 (derived). With ∂F/∂s = −240:
// ∂s/∂R = −100/240, ∂s/∂l = −60/240, ∂s/∂h = −80/240.
func TestRatesOfABoxAtATube(t *testing.T) {
	f := chest(120, 500, 120)
	f.Rails = []frame.Rail{{Name: "rail", Path: []r3.Vector{{X: 100, Y: -100, Z: 100}, {X: 100, Y: 600, Z: 100}}, Diameter: 40}}
	a := analysed(t, bare(f, upright("b", 1, 40, 300, 30)))
	requireRate(t, a, "rail diameter", -100.0/240/2)
	requireRate(t, a, "b length", -60.0/240)
	requireRate(t, a, "b height", -80.0/240)
	requireRate(t, a, "rail further forward", 60.0/240)
	requireRate(t, a, "rail further up", 80.0/240)
	requireRate(t, a, "rail further to the left", 0)
	requireRate(t, a, "gap rail", -100.0/240)
}

// A box that has as much to spare in length as in height: a millimetre less of one
// alone gives nothing, one more takes half (the two one-sided values, derived: the spare
// is the lesser of (104 − l)/2 and (54 − h)/2).
func TestRatesWhereTwoChainsLimitAtOnce(t *testing.T) {
	a := analysed(t, bare(chest(104, 300, 54), upright("b", 1, 100, 90, 50)))
	require.InDelta(t, 2, a.Spare, 1e-9)
	found := 0
	for _, e := range a.Effects {
		switch e.Measured.MoreWords() {
		case "b length", "b height":
			found++
			require.InDelta(t, -0.5, e.More, 1e-9)
			require.InDelta(t, 0, e.Less, 1e-9)
		case "two further out":
			found++
			require.InDelta(t, 0, e.More, 1e-9)
			require.InDelta(t, -0.5, e.Less, 1e-9)
		case "gap wall":
			found++
			require.InDelta(t, -1, e.More, 1e-9)
			require.InDelta(t, 1, e.Less, 1e-9)
		}
	}
	require.Equal(t, 4, found)
}

// What a box's accuracy decides is told first.
func TestMeasurementsWorthTakingAgain(t *testing.T) {
	f := chest(1000, 130, 130)
	f.Accuracy = 1
	k := upright("b", 3, 200, 90, 90)
	k.Accuracy = 2
	p := bare(f, k)
	p.Pack.Gaps.Beside = 180
	r, err := search.Fit(context.Background(), p, search.Settings{})
	require.NoError(t, err)
	a, err := limit.Of(p, r.Layouts[0].Layout)
	require.NoError(t, err)
	again := a.Again(5)
	require.Equal(t, "b length", again[0].Measured.MoreWords())
	require.InDelta(t, 1.5, again[0].Decides(), 1e-6)
	require.Equal(t, limit.Side, again[1].Sort)
	require.InDelta(t, 0.25, again[1].Decides(), 1e-6)
	require.Len(t, a.Again(1), 1)
	for _, e := range again {
		require.NotEqual(t, limit.Gap, e.Sort, "a gap is chosen, not measured")
	}
}

func TestLayoutsThatCannotBeAnalysed(t *testing.T) {
	p := bare(chest(100, 100, 100), upright("b", 1, 10, 10, 10))
	at := pack.Placement{Box: "b", Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}}
	at.Centre.X = math.NaN()
	_, err := limit.Of(p, pack.Layout{Placements: []pack.Placement{at}})
	require.ErrorIs(t, err, limit.ErrLayout)
	_, err = limit.Of(p, pack.Layout{})
	require.ErrorIs(t, err, limit.ErrFree)
}
