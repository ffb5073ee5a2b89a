package pack

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
)

// shaker is a frame in which a drum and a bar turn askew, swept through many pieces, and a bar slides.
const shaker = `{format: 1, frame: f, opening: {outline: [[0, 0], [900, 0], [900, 900], [0, 900]], across: 900}, moving: [
  {name: arm, turn: {about: [400, 0, 450], along: [-0.4, 0.3, 1], from: -40, to: 50}, parts: [
    {round: {from: [100, -400, 50], to: [160, -380, 90], diameter: 60}}, {box: {low: [300, -50, 300], high: [420, 20, 340]}}]},
  {name: slider, slide: {along: [-0.4, 0.1, 1], from: 0, to: 200}, parts: [{box: {low: [500, 100, 200], high: [560, 190, 260]}}]}]}`

// Of the pieces that a part is swept through the judge looks at those first that may be nearest, and at no
// more than it has to. It finds what all of them have: gap, what is left and distance, to the bit.
func TestNoPieceOfWhatMovesIsNearer(t *testing.T) {
	f, err := frame.Read(strings.NewReader(shaker), "frame.yaml")
	require.NoError(t, err)
	gaps := Gaps{KeepOut: 7}
	g := rand.New(rand.NewPCG(25, 7))
	things := slices.DeleteFunc(thingsOf(f.Obstacles(0)), func(t thing) bool { return t.solids[0].Kind != frame.Moves })
	require.Len(t, things, 2)
	require.Greater(t, len(things[0].solids), 10)
	for range 12 {
		o := Orientation{Up: Top, Front: Front, Tilt: 1}
		middle := r3.Vector{X: 900 * g.Float64(), Y: 900*g.Float64() - 450, Z: 900 * g.Float64()}
		a := body{bar: geom.Box{Centre: middle, Axes: o.Axes(), Half: r3.Vector{X: 60, Y: 30, Z: 90}}}
		for _, one := range things {
			want := Relation{Left: math.Inf(1), Gap: math.Inf(1), Distance: math.Inf(1)}
			for _, s := range one.solids {
				r := flat(gaps.ToObstacle(s, false), a.bar, s.Solid)
				want.Left, want.Gap, want.Distance = min(want.Left, r.Left), min(want.Gap, r.Gap), min(want.Distance, geom.Distance(a.bar, s.Solid))
			}
			got := gaps.toThing(a, one)
			require.Equal(t, want.Left, got.Left, one.part)
			require.Equal(t, want.Gap, got.Gap, one.part)
			require.InDelta(t, want.Distance, got.Distance, 1e-9, one.part)
		}
	}
}

// What does not move is one body in several pieces in any order: all are looked at.
func TestEveryPieceOfAThingCounts(t *testing.T) {
	var solids []frame.Obstacle
	for _, far := range []float64{10, 100, 1} {
		solids = append(solids, frame.Obstacle{Kind: frame.RailTube, Solid: geom.BoxFromCorners(r3.Vector{X: 20 + far}, r3.Vector{X: 30 + far, Y: 9, Z: 9})})
	}
	got := Gaps{Rail: 5}.toThing(body{bar: geom.BoxFromCorners(r3.Vector{}, r3.Vector{X: 20, Y: 9, Z: 9})}, thing{solids: solids})
	require.InDelta(t, 1, got.Gap, 1e-12)
	require.InDelta(t, 1, got.Distance, 1e-12)
	require.InDelta(t, -4, got.Left, 1e-12)
}

// atLeast is no more than any sheet has, and where a solid is beside a box along one of its axes it is that.
func TestAtLeast(t *testing.T) {
	a := geom.BoxFromCorners(r3.Vector{}, r3.Vector{X: 10, Y: 20, Z: 30})
	for i, by := range []r3.Vector{{X: 17}, {X: -17}, {Y: 27}, {Y: -27}, {Z: 37}, {Z: -37}} {
		b := a
		b.Centre = a.Centre.Add(by)
		require.InDelta(t, 7, atLeast(a, b), 1e-12, i)
	}
	require.InDelta(t, -10, atLeast(a, a), 1e-12)
}

// Placements without fault are judged in the order of the pack file, and boxes of a kind in that of their numbers,
// however the layout file lists them.
func TestSoundPlacementsAreInOrder(t *testing.T) {
	p := problemOf(crate(1000, 1000, 1000), kindOf("wide", 3, 10, 10, 10), kindOf("block", 4, 10, 10, 10), kindOf("last", 2, 10, 10, 10))
	var want []Placement
	for _, k := range p.Pack.Kinds {
		for n := range k.Count {
			want = append(want, upright(k.Name, n+1, float64(20*len(want)+20), 20, 20))
		}
	}
	g := rand.New(rand.NewPCG(25, 8))
	for range 50 {
		mixed := slices.Clone(want)
		g.Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
		sound, faults := inspect(p, layoutOf(mixed...))
		require.Empty(t, faults)
		require.Equal(t, want, sound)
	}
}
