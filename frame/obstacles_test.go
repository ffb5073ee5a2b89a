package frame

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
)

var inf = math.Inf(1)

func points(xy ...float64) []r2.Point {
	var all []r2.Point
	for i := 0; i < len(xy); i += 2 {
		all = append(all, r2.Point{X: xy[i], Y: xy[i+1]})
	}
	return all
}

func polygon(t require.TestingT, xy ...float64) geom.Polygon {
	p, err := geom.PolygonFromCorners(points(xy...))
	require.NoError(t, err)
	return p
}

func wide(lo, hi float64) []Station { return []Station{{Across: r1.Interval{Lo: lo, Hi: hi}}} }

// room is a plain opening: 100 long, 60 high, 40 wide.
func room(t require.TestingT) Opening {
	return Opening{Outline: polygon(t, 0, 0, 100, 0, 100, 60, 0, 60), Stations: wide(-20, 20), Metal: true}
}

func names(all []Obstacle) []string {
	var list []string
	for _, o := range all {
		list = append(list, o.Name)
	}
	return list
}

func named(t *testing.T, all []Obstacle, name string) []Obstacle {
	t.Helper()
	var list []Obstacle
	for _, o := range all {
		if o.Name == name {
			list = append(list, o)
		}
	}
	require.NotEmpty(t, list, name)
	return list
}

func TestSidesAndWidths(t *testing.T) {
	o := room(t)
	o.Sides, o.Open = []string{"floor", "front", "top", "rear"}, []bool{false, false, true, false}
	o.Stations = wide(-15, 25)
	f := Frame{Opening: o}
	all := f.Obstacles(0)
	require.Equal(t, []string{"floor", "front", "top", "rear", "width right", "width left"}, sorted(all, "floor", "front", "top", "rear", "width right", "width left"))
	for name, want := range map[string]geom.HalfSpace{
		"floor":       {Normal: r3.Vector{Z: 1}, Offset: 0},
		"front":       {Normal: r3.Vector{X: -1}, Offset: -100},
		"top":         {Normal: r3.Vector{Z: -1}, Offset: -60},
		"rear":        {Normal: r3.Vector{X: 1}, Offset: 0},
		"width right": {Normal: r3.Vector{Y: 1}, Offset: -15},
		"width left":  {Normal: r3.Vector{Y: -1}, Offset: -25},
	} {
		got := named(t, all, name)
		require.Len(t, got, 1)
		require.True(t, same(want, got[0].Solid), "%s: %v", name, got[0].Solid)
		require.Equal(t, name == "top", got[0].Open, name)
		require.Equal(t, name[:2] != "wi", got[0].Metal, "%s: the limits of the width are never metal", name)
		want.Offset += 2.5
		require.True(t, same(want, named(t, f.Obstacles(2.5), name)[0].Solid), "%s, nearer", name)
	}
	f.Opening.Metal = false
	require.False(t, named(t, f.Obstacles(0), "floor")[0].Metal)
}

// sorted is the names in the order given, when they are those of all.
func sorted(all []Obstacle, order ...string) []string {
	list := names(all)
	slices.SortFunc(list, func(a, b string) int { return slices.Index(order, a) - slices.Index(order, b) })
	return list
}

// same compares half-spaces, taking -0 for 0.
func same(want geom.HalfSpace, got geom.Solid) bool {
	h, ok := got.(geom.HalfSpace)
	return ok && want.Normal == h.Normal && want.Offset == h.Offset
}

// A wall that goes up 3 for 4 along: its normal is (−3, 4)/5, by hand.
func TestSlantedSide(t *testing.T) {
	f := Frame{Opening: Opening{Outline: polygon(t, 0, 0, 40, 0, 80, 30, 0, 30), Stations: wide(-9, 9), Sides: []string{"floor", "slope", "top", "rear"}}}
	got := named(t, f.Obstacles(0), "slope")[0].Solid.(geom.HalfSpace)
	require.InDelta(t, 0, got.Normal.Distance(r3.Vector{X: -0.6, Z: 0.8}), 1e-15)
	require.InDelta(t, -24, got.Offset, 1e-12) // −0.6 × 40
	got = named(t, f.Obstacles(1.5), "slope")[0].Solid.(geom.HalfSpace)
	require.InDelta(t, -22.5, got.Offset, 1e-12)
}

// A step: the hull's slanted side bridges it, and the triangle outside, (0,20), (30,20),
// (30,0), is a solid of the same name. By hand.
func TestOutlineWithAStep(t *testing.T) {
	o := Opening{
		Outline:  polygon(t, 0, 20, 30, 20, 30, 0, 100, 0, 100, 60, 0, 60),
		Sides:    []string{"step", "riser", "floor", "front", "top", "rear"},
		Stations: wide(-20, 20),
	}
	all := (&Frame{Opening: o}).Obstacles(0)
	var pieces []geom.Prism
	for _, o := range all {
		if p, ok := o.Solid.(geom.Prism); ok {
			pieces = append(pieces, p)
			require.Equal(t, "step", o.Name, "the longer of the two sides that it lies against")
			require.Equal(t, 0, o.Source)
			require.Equal(t, Side, o.Kind)
		}
	}
	require.Len(t, pieces, 1)
	require.ElementsMatch(t, points(0, 20, 30, 0, 30, 20), pieces[0].Profile.Corners)
	require.Equal(t, r1.Interval{Lo: -inf, Hi: inf}, pieces[0].Depth)
	require.Equal(t, 300.0, pieces[0].Profile.Area())

	grown := (&Frame{Opening: o}).Obstacles(2)
	for _, o := range grown {
		if p, ok := o.Solid.(geom.Prism); ok {
			require.InDelta(t, 22, p.Extent(r3.Vector{Z: 1}).Hi, 1e-12, "the step is 2 higher")
			require.InDelta(t, 32, p.Extent(r3.Vector{X: 1}).Hi, 1e-12, "the riser is 2 nearer")
		}
	}
}

// The opening of room is up to 60 high: what is beyond does not count.
func TestWidestIsBetweenFloorAndTop(t *testing.T) {
	o := room(t)
	require.Equal(t, r1.Interval{Lo: 0, Hi: 60}, o.Outline.Bounds().Y)
	o.Stations = []Station{{-10, r1.Interval{Lo: -99, Hi: 99}}, {10, r1.Interval{Lo: -5, Hi: 12}}, {20, r1.Interval{Lo: -14, Hi: 3}}, {100, r1.Interval{Lo: -14, Hi: 83}}}
	require.Equal(t, r1.Interval{Lo: -52, Hi: 55.5}, o.Widest(), "half way from the station below the floor")
	o.Stations = o.Stations[1:]
	require.Equal(t, r1.Interval{Lo: -14, Hi: 43}, o.Widest(), "each side at its own height")
	o.Stations = o.Stations[:1]
	require.Equal(t, r1.Interval{Lo: -5, Hi: 12}, o.Widest())
}

// Widths 20 at the floor, 40 from z = 30 on: at z = 15 it is 30, by proportion.
func TestWidthThatGrows(t *testing.T) {
	o := room(t)
	o.Stations = []Station{{0, r1.Interval{Lo: -10, Hi: 10}}, {30, r1.Interval{Lo: -20, Hi: 20}}}
	require.Equal(t, r1.Interval{Lo: -15, Hi: 15}, o.AcrossAt(15))
	require.Equal(t, r1.Interval{Lo: -10, Hi: 10}, o.AcrossAt(-99))
	require.Equal(t, r1.Interval{Lo: -20, Hi: 20}, o.AcrossAt(99))
	all := (&Frame{Opening: o}).Obstacles(0)
	left := named(t, all, "width left")
	require.Len(t, left, 2, "slanted below, upright above; no waist")
	for _, l := range left {
		h := l.Solid.(geom.HalfSpace)
		switch {
		case h.Normal.Z == 0:
			require.Equal(t, -20.0, h.Offset)
		default: // through (y, z) = (10, 0) and (20, 30): normal (−3, 1)/√10
			require.InDelta(t, 0, h.Normal.Distance(r3.Vector{Y: -3 / math.Sqrt(10), Z: 1 / math.Sqrt(10)}), 1e-15)
			require.InDelta(t, -30/math.Sqrt(10), h.Offset, 1e-12)
		}
	}
}

// A waist: 40 wide at the floor, 20 at z = 30, 40 at the top. The two triangles beside
// it are outside, by hand.
func TestWidthWithAWaist(t *testing.T) {
	o := room(t)
	o.Stations = []Station{{0, r1.Interval{Lo: -20, Hi: 20}}, {30, r1.Interval{Lo: -10, Hi: 10}}, {60, r1.Interval{Lo: -20, Hi: 20}}}
	all := (&Frame{Opening: o}).Obstacles(0)
	for name, want := range map[string][]r2.Point{
		"width left":  points(20, 0, 20, 60, 10, 30),
		"width right": points(-20, 0, -20, 60, -10, 30),
	} {
		found := 0
		for _, o := range named(t, all, name) {
			if p, ok := o.Solid.(geom.Prism); ok {
				found++
				require.ElementsMatch(t, want, p.Profile.Corners)
				require.Equal(t, geom.FrontView, p.View)
				require.Equal(t, Width, o.Kind)
			}
		}
		require.Equal(t, 1, found, name)
	}
}

// A step in the width, between stations a hundredth of a millimetre apart: the
// narrower part above is bounded at its own width. It was not when the height of the
// station was rounded before the width was taken there.
func TestStepInTheWidth(t *testing.T) {
	o := room(t)
	o.Stations = []Station{{30, r1.Interval{Lo: -150, Hi: 150}}, {30.01, r1.Interval{Lo: -50, Hi: 50}}}
	all := (&Frame{Opening: o}).Obstacles(0)
	require.False(t, free(all, r3.Vector{X: 50, Y: 50.01, Z: 31}))
	require.False(t, free(all, r3.Vector{X: 50, Y: -50.01, Z: 31}))
	require.True(t, free(all, r3.Vector{X: 50, Y: 49.99, Z: 31}))
	require.True(t, free(all, r3.Vector{X: 50, Y: 149.99, Z: 29.99}))
	require.False(t, free(all, r3.Vector{X: 50, Y: 150.01, Z: 29.99}))
}

func TestRails(t *testing.T) {
	gap := 6.0
	f := Frame{Opening: room(t), Rails: []Rail{
		{Name: "bent", Path: []r3.Vector{{X: 1, Y: 2, Z: 3}, {X: 4, Y: 5, Z: 6}, {X: 4, Y: 5, Z: 60}}, Diameter: 25.001, Removable: true, Gap: &gap},
		{Name: "pair", Path: []r3.Vector{{Y: 30}, {X: 90, Y: 40}}, Diameter: 20, Mirror: true},
		{Name: "other pair", Path: []r3.Vector{{Y: -30}, {X: 90, Y: -30}}, Diameter: 20, Mirror: true},
		{Name: "middle", Path: []r3.Vector{{}, {X: 90}}, Diameter: 20, Mirror: true},
		{Name: "cross", Path: []r3.Vector{{Y: -9}, {Y: 9}}, Diameter: 20, Mirror: true},
		{Name: "brace", Path: []r3.Vector{{Y: 9}, {X: 9, Y: -9}}, Diameter: 20, Mirror: true},
	}}
	all := f.Obstacles(0)[6:]
	require.Equal(t, []Obstacle{
		{Name: "bent", Kind: RailTube, Solid: geom.Tube{From: r3.Vector{X: 1, Y: 2, Z: 3}, To: r3.Vector{X: 4, Y: 5, Z: 6}, Radius: 25.001 / 2}, Metal: true, Gap: &gap, Removable: true},
		{Name: "bent", Kind: RailTube, Solid: geom.Tube{From: r3.Vector{X: 4, Y: 5, Z: 6}, To: r3.Vector{X: 4, Y: 5, Z: 60}, Radius: 25.001 / 2}, Metal: true, Gap: &gap, Removable: true},
		{Name: "pair left", Kind: RailTube, Source: 1, Solid: geom.Tube{From: r3.Vector{Y: 30}, To: r3.Vector{X: 90, Y: 40}, Radius: 10}, Metal: true},
		{Name: "pair right", Kind: RailTube, Source: 1, Solid: geom.Tube{From: r3.Vector{Y: -30}, To: r3.Vector{X: 90, Y: -40}, Radius: 10}, Metal: true},
		{Name: "other pair right", Kind: RailTube, Source: 2, Solid: geom.Tube{From: r3.Vector{Y: -30}, To: r3.Vector{X: 90, Y: -30}, Radius: 10}, Metal: true},
		{Name: "other pair left", Kind: RailTube, Source: 2, Solid: geom.Tube{From: r3.Vector{Y: 30}, To: r3.Vector{X: 90, Y: 30}, Radius: 10}, Metal: true},
		{Name: "middle", Kind: RailTube, Source: 3, Solid: geom.Tube{From: r3.Vector{}, To: r3.Vector{X: 90}, Radius: 10}, Metal: true},
		{Name: "cross", Kind: RailTube, Source: 4, Solid: geom.Tube{From: r3.Vector{Y: -9}, To: r3.Vector{Y: 9}, Radius: 10}, Metal: true},
		// A rail across the middle on the slant has a mirror image that is another one.
		{Name: "brace left", Kind: RailTube, Source: 5, Solid: geom.Tube{From: r3.Vector{Y: 9}, To: r3.Vector{X: 9, Y: -9}, Radius: 10}, Metal: true},
		{Name: "brace right", Kind: RailTube, Source: 5, Solid: geom.Tube{From: r3.Vector{Y: -9}, To: r3.Vector{X: 9, Y: 9}, Radius: 10}, Metal: true},
	}, all)
	for _, o := range f.Obstacles(1.5)[8:] {
		require.Equal(t, 11.5, o.Solid.(geom.Tube).Radius)
	}
}

func TestKeepOutsOfThreeForms(t *testing.T) {
	gap := 8.0
	f := Frame{Opening: room(t), KeepOuts: []KeepOut{
		{Name: "tank", Profile: &Profile{Outline: polygon(t, 0, 0, 9, 0, 9, 9, 0, 9), Across: r1.Interval{Lo: -4, Hi: 6}}, Metal: true, LiftsOff: true, Trim: 20, Gap: &gap},
		{Name: "box", Box: &Corners{Low: r3.Vector{X: 1, Y: 2, Z: 3.0001}, High: r3.Vector{X: 4, Y: 5, Z: 6.0001}}},
		{Name: "bar", Round: &Round{From: r3.Vector{Y: -5}, To: r3.Vector{Y: 5}, Diameter: 30}},
	}}
	all := f.Obstacles(0)[6:]
	require.Equal(t, []string{"tank", "box", "bar"}, names(all))
	require.Equal(t, Obstacle{
		Name: "tank", Kind: KeptOut, Metal: true, Gap: &gap, LiftsOff: true,
		Solid: geom.Prism{Profile: polygon(t, 0, 0, 9, 0, 9, 9, 0, 9), View: geom.SideView, Depth: r1.Interval{Lo: -4, Hi: 6}},
	}, all[0])
	for axis, want := range map[r3.Vector]r1.Interval{
		{X: 1}: {Lo: 1, Hi: 4}, {Y: 1}: {Lo: 2, Hi: 5}, {Z: 1}: {Lo: 3.0001, Hi: 6.0001},
	} {
		got := all[1].Solid.Extent(axis)
		require.InDelta(t, want.Lo, got.Lo, 1e-14)
		require.InDelta(t, want.Hi, got.Hi, 1e-14)
	}
	require.Equal(t, geom.Cylinder{From: r3.Vector{Y: -5}, To: r3.Vector{Y: 5}, Radius: 15}, all[2].Solid)
	require.Equal(t, 2, all[2].Source)

	nearer := f.Obstacles(2)[6:]
	for _, o := range nearer {
		for _, axis := range []r3.Vector{{X: 1}, {Y: 1}, {Z: 1}} {
			before := all[slices.IndexFunc(all, func(a Obstacle) bool { return a.Name == o.Name })].Solid.Extent(axis)
			require.InDelta(t, before.Lo-2, o.Solid.Extent(axis).Lo, 1e-12, o.Name)
			require.InDelta(t, before.Hi+2, o.Solid.Extent(axis).Hi, 1e-12, o.Name)
		}
	}
}

// An L of three squares has area 300 in convex pieces, all of one name.
func TestKeepOutThatIsNotConvex(t *testing.T) {
	f := Frame{Opening: room(t), KeepOuts: []KeepOut{{
		Name: "L", Profile: &Profile{Outline: polygon(t, 0, 0, 20, 0, 20, 10, 10, 10, 10, 20, 0, 20), Across: r1.Interval{Lo: -1, Hi: 1}},
	}}}
	area := 0.0
	for _, o := range named(t, f.Obstacles(0), "L") {
		p := o.Solid.(geom.Prism)
		require.True(t, p.Profile.IsConvex())
		area += p.Profile.Area()
	}
	require.InDelta(t, 300, area, 1e-9)
}

func BenchmarkObstacles(b *testing.B) {
	f := Frame{Opening: room(b), Accuracy: 2}
	for i := range 8 {
		f.Rails = append(f.Rails, Rail{Name: fmt.Sprint(i), Path: []r3.Vector{{Y: 30}, {X: 90, Y: 40}}, Diameter: 20, Mirror: true})
	}
	for b.Loop() {
		f.Obstacles(f.Accuracy)
	}
}
