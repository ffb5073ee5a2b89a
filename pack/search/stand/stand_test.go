package stand

import (
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
	"rackwright/pack/search/model"
)

// chest is an opening with an outline, so wide across.
func chest(across float64, corners ...r2.Point) *frame.Frame {
	outline, err := geom.PolygonFromCorners(corners)
	if err != nil {
		panic(err)
	}
	n := len(outline.Corners)
	return &frame.Frame{Name: "chest", Opening: frame.Opening{
		Outline: outline, Sides: make([]string, n), Open: make([]bool, n),
		Stations: []frame.Station{{Across: r1.Interval{Lo: -across / 2, Hi: across / 2}}},
	}}
}

func block(name string, count int, l, w, h float64) pack.Kind {
	return pack.Kind{
		Name: name, Count: count, Size: r3.Vector{X: l, Y: w, Z: h}, Mass: 5,
		Stands: []pack.Stand{pack.Upright}, Tilts: []s1.Angle{0},
	}
}

func problemOf(f *frame.Frame, kinds ...pack.Kind) pack.Problem {
	return pack.Problem{Frame: f, Pack: &pack.Pack{Gaps: pack.DefaultGaps(), Kinds: kinds}}
}

// searched goes on with a search until it is over, or for so many starts.
func searched(t *testing.T, p pack.Problem, most, starts int) *Search {
	t.Helper()
	m, err := model.New(p, model.Options{})
	require.NoError(t, err)
	s := New(m, nil, Settings{Seed: 1, Workers: 2, AnyEntry: true, Keep: 0})
	require.NotNil(t, s)
	s.most = min(most, s.most)
	s.shelves = s.shelves[:s.most]
	for s.starts-s.fresh < starts/2 && s.starts < starts {
		s.Batch()
	}
	return s
}

// checked is the greatest spare on so many levels, 0 with none, of layouts that the judge has
// found to stand on no more.
func checked(t *testing.T, s *Search, levels int) float64 {
	t.Helper()
	for _, f := range s.shelves[levels-1].best {
		layout := s.g.m.Layout(f.spots)
		report, standing := pack.Check(s.g.m.Problem, layout), pack.StandingOf(s.g.m.Problem, layout)
		require.Empty(t, report.Faults)
		require.InDelta(t, f.spare, report.Spare, 1e-6)
		require.Empty(t, standing.Faults)
		require.LessOrEqual(t, len(standing.Levels), levels)
	}
	return s.spare(levels)
}

// A row of k boxes of length l in a length L with gap g keeps (L − Σl − (k−1)g)/(k+1) at most on
// one level: k+1 spares share what is left. Derived; across and upward there is more.
func TestRow(t *testing.T) {
	for k, length := range map[int]float64{2: 600, 3: 600, 4: 700} {
		s := searched(t, problemOf(chest(350, r2.Point{}, r2.Point{X: length}, r2.Point{X: length, Y: 500}, r2.Point{Y: 500}), block("b", k, 150, 150, 90)), 1, 400)
		require.InDelta(t, (length-150*float64(k)-3*float64(k-1))/float64(k+1), checked(t, s, 1), 1e-6, "%d boxes", k)
	}
}

// A channel that rises forward by tan α = 0.2 and is D = 200 mm high, and two cubes of a = 100 mm
// that cannot stand side by side. Under a box and over it the spare s takes 2s/cos α beside
// a(1 + tan α). Two on one level are a row a + g + s longer than one box, which takes tan α of
// that more: D − a = tan α (2a + g + s) + 2s/cos α. As a stair they are two boxes by themselves.
// Derived by hand.
func TestStairAlongASlantedTube(t *testing.T) {
	const d, a, g, tan = 200.0, 100.0, 3.0, 0.2
	cos := 1 / math.Sqrt(1+tan*tan)
	f := chest(190, r2.Point{}, r2.Point{X: 400, Y: 400 * tan}, r2.Point{X: 400, Y: 400*tan + d}, r2.Point{Y: d})
	s := searched(t, problemOf(f, block("cube", 2, a, a, a)), 2, 400)
	require.InDelta(t, (d-a-tan*(2*a+g))/(tan+2/cos), checked(t, s, 1), 1e-6)
	require.InDelta(t, (d-a-tan*a)*cos/2, checked(t, s, 2), 1e-6)
}

// A box on another has no level: in a shaft where only one goes beside the other, s is under the
// lower, between them beside the gap, and over the upper one. With nothing to carry they take two
// levels, and the upper one's tray the same gap.
func TestCarried(t *testing.T) {
	shaft := chest(130, r2.Point{}, r2.Point{X: 130}, r2.Point{X: 130, Y: 200}, r2.Point{Y: 200})
	big, small := block("big", 1, 100, 100, 100), block("small", 1, 100, 100, 60)
	big.Carries = 5
	s := searched(t, problemOf(shaft, big, small), 2, 600)
	want := (200.0 - 100 - 60 - 6) / 3
	require.InDelta(t, want, checked(t, s, 1), 1e-6)
	big.Carries = 4
	s = searched(t, problemOf(shaft, big, small), 2, 600)
	require.Empty(t, s.shelves[0].best)
	require.InDelta(t, want, checked(t, s, 2), 1e-6)
}

// A pinned box stays, and others stand beside it or on its level: in a row of 600 mm one that is
// pinned 5 mm from the rear leaves the other two (600 − 155 − 300 − 6)/3 mm each, and no layout
// more than its own 5 mm.
func TestPinned(t *testing.T) {
	p := problemOf(chest(350, r2.Point{}, r2.Point{X: 600}, r2.Point{X: 600, Y: 500}, r2.Point{Y: 500}), block("b", 3, 150, 150, 90))
	pin := pack.Placement{Box: "b", Number: 2, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}, Centre: r3.Vector{X: 80, Y: 1, Z: 100.125}}
	s := searched(t, p.WithPins([]pack.Placement{pin}), 1, 400)
	require.InDelta(t, 5, checked(t, s, 1), 1e-6)
	for _, f := range s.shelves[0].best {
		for _, at := range s.g.m.Layout(f.spots).Placements {
			require.InDelta(t, 55.125, at.Centre.Z-45, 1e-5, "all share the level of the pinned box")
		}
	}
}

// All of each box lies in its range: the second of two boxes is left the room beyond 310 mm alone.
func TestRanges(t *testing.T) {
	one, other := block("one", 1, 150, 150, 90), block("other", 1, 150, 150, 90)
	one.Within = pack.Range{{Lo: 310, Hi: 470}}
	s := searched(t, problemOf(chest(350, r2.Point{}, r2.Point{X: 600}, r2.Point{X: 600, Y: 500}, r2.Point{Y: 500}), one, other), 1, 400)
	// The other is left of it by 3 and s, and s from the rear: 2s + 150 + 3 ≤ 320 at most; one is
	// in its range with its front at 470, 130 from the front.
	require.InDelta(t, min((320-150-3)/2.0, 130, 100), checked(t, s, 1), 1e-5)
}

// What is the same in a mirror, but for a turn between equal faces or by a few millimetres is not
// offered twice; what stands in another order is.
func TestTwins(t *testing.T) {
	p := problemOf(chest(350, r2.Point{}, r2.Point{X: 600}, r2.Point{X: 600, Y: 500}, r2.Point{Y: 500}), block("a", 1, 150, 100, 90), block("b", 1, 150, 150, 90))
	m, err := model.New(p, model.Options{})
	require.NoError(t, err)
	at := func(box string, front pack.Face, x, y, z float64) pack.Placement {
		return pack.Placement{Box: box, Number: 1, Orientation: pack.Orientation{Up: pack.Top, Front: front}, Centre: r3.Vector{X: x, Y: y, Z: z}}
	}
	layout := func(list ...pack.Placement) pack.Layout { return pack.Layout{Placements: list} }
	first := layout(at("a", pack.Front, 100, 20, 100), at("b", pack.Front, 300, 10, 100))
	for name, c := range map[string]struct {
		l     pack.Layout
		twins bool
	}{
		"itself":                 {first, true},
		"its mirror image":       {layout(at("a", pack.Front, 100, -20, 100), at("b", pack.Front, 300, -10, 100)), true},
		"a few millimetres off":  {layout(at("a", pack.Front, 104, 20, 100), at("b", pack.Front, 300, 14, 100)), true},
		"the other order":        {layout(at("a", pack.Front, 300, 20, 100), at("b", pack.Front, 100, 10, 100)), false},
		"one on another level":   {layout(at("a", pack.Front, 100, 20, 100), at("b", pack.Front, 300, 10, 104)), false},
		"one turned, not square": {layout(at("a", pack.Left, 100, 20, 100), at("b", pack.Front, 300, 10, 100)), false},
	} {
		require.Equal(t, c.twins, Twins(m, first, c.l), name)
	}
}

// Straight bearers, by hand: three boxes in a row need one, two rows two; across a row of three
// takes three, so the better way counts.
func TestBearers(t *testing.T) {
	p := problemOf(chest(500, r2.Point{}, r2.Point{X: 900}, r2.Point{X: 900, Y: 500}, r2.Point{Y: 500}), block("b", 4, 100, 100, 90))
	at := func(n int, x, y float64) pack.Placement {
		return pack.Placement{Box: "b", Number: n, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}, Centre: r3.Vector{X: x, Y: y, Z: 100}}
	}
	for want, list := range map[int][]pack.Placement{
		1: {at(1, 100, 0), at(2, 250, 20), at(3, 400, -20), at(4, 550, 0)},
		2: {at(1, 100, -80), at(2, 250, 80), at(3, 400, -80), at(4, 550, 80)},
		3: {at(1, 100, -120), at(2, 210, 0), at(3, 330, 120), at(4, 440, 120)},
	} {
		l := pack.Layout{Placements: list}
		require.Equal(t, want, Bearers(p, l, pack.StandingOf(p, l)))
	}
}
