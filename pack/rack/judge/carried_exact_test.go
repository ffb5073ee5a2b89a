package judge

import (
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
	"rackwright/pack/rack"
)

// padOn is a pad of a box, over which the bar lies.
func padOn(s solid) rack.Pad {
	return rack.Pad{Box: "block", Number: 1, Face: above, To: "bar", Low: s.low, High: s.high}
}

// A pad fills the room between its box and what it lies against to 0.3 mm at either side.
func TestPadLiesExactly(t *testing.T) {
	lies := func(body, bar solid, pad rack.Pad) bool {
		j := sceneOf(barOf("bar", bar))
		j.boxes = []box{boxAt(1, body)}
		return j.lies(pad)
	}
	under, pad := apartBy(touch)
	far, _ := apartBy(next(touch))
	thick := padOn(pad)
	on := corners(-wide, -wide, touch, wide, wide, 3)
	require.InDelta(t, touch, on.Extent(above).Lo, 1e-12)
	require.True(t, lies(under, on, thick))
	require.False(t, lies(far, on, padOn(about(next(touch)))), "the last bit")
	require.False(t, lies(topAt(-4*touch), on, thick), "short of its box")

	// The bar is above by the limit: its near face is 2 touch up, to the last bit, the pad's far face one.
	flipped := func(s solid) solid {
		b := s.Solid.(geom.Box)
		b.Centre.Z = -b.Centre.Z
		return solidOf(b)
	}
	bar := flipped(topAt(-2 * touch))
	body := topAt(-touch)
	require.Equal(t, 2*touch, bar.Extent(above).Lo)
	require.True(t, lies(body, bar, thick))
	require.False(t, lies(body, flipped(topAt(-2.01*touch)), thick))

	// Beside its box or its bar, though as high.
	aside := padOn(corners(wide+1, 0, -touch, wide+20, 20, touch))
	require.False(t, lies(body, corners(wide, 0, touch, 2*wide, 20, 3), aside), "beside its box")
	require.False(t, lies(body, corners(40, 0, touch, 60, 20, 3), padOn(corners(0, 0, -touch, 20, 20, touch))), "beside its bar")
	require.False(t, lies(body, corners(20, 0, -touch-1, 40, 20, touch+3), padOn(corners(0, 0, -touch, 20, 20, touch))), "the bar is beside the pad, and touches it")
	inside := padOn(corners(0, 0, -touch-2, 20, 20, touch))
	require.False(t, lies(body, on, inside), "in its box")
	require.False(t, lies(body, on, rack.Pad{Box: "block", Number: 2, Face: above, To: "bar", Low: thick.Low, High: thick.High}), "of no box")
	without := thick
	without.Face = r3.Vector{}
	require.False(t, lies(body, on, without), "of no face")
	without = thick
	without.To = "no such bar"
	require.False(t, lies(body, on, without), "against nothing")
}

// Against what is round a pad lies where it touches it, within 0.3 mm.
func TestPadLiesAgainstARod(t *testing.T) {
	lies := func(gap float64) bool {
		rod := solidOf(geom.Cylinder{From: r3.Vector{X: 14 + gap, Y: -30}, To: r3.Vector{X: 14 + gap, Y: 30}, Radius: 4})
		j := sceneOf(barOf("bar", rod))
		j.boxes = []box{boxAt(1, topAt(0))}
		return j.lies(padOn(corners(-10, -10, 0, 10, 10, 20)))
	}
	require.True(t, lies(0))
	require.True(t, lies(0.29))
	require.True(t, lies(-0.29))
	require.False(t, lies(0.31))
	require.False(t, lies(-0.31), "the rod is in the pad")
}

// Against a rod only its shank counts.
func TestSolidsOfARod(t *testing.T) {
	rod := boltOf(rack.Fastener{Name: "rod", Size: "M6", Rod: true, To: r3.Vector{Z: 100}, Nuts: []rack.Nut{{At: 90, Beyond: true, Locking: true}}})
	j := sceneOf(rod)
	require.Len(t, j.solidsOf("rod"), 1)
	require.Equal(t, 100.0, j.solidsOf("rod")[0].high.Z)
	require.Empty(t, j.solidsOf("no such"))
}

// The middle of a box is inside what carries it by a tenth of its size: 10 mm of 100, 6 of 60.
func TestMiddleExactly(t *testing.T) {
	all := r1.Interval{Lo: -500, Hi: 500}
	b := boxAt(1, corners(0, 0, 0, 100, 60, 50))
	for _, c := range []struct {
		x, y r1.Interval
		by   []float64
	}{
		{r1.Interval{Lo: 40, Hi: 60}, r1.Interval{Lo: 24, Hi: 36}, nil},
		{r1.Interval{Lo: 40.0005, Hi: 60}, all, []float64{0.0005}},
		{r1.Interval{Lo: 40, Hi: 59}, all, []float64{1}},
		{all, r1.Interval{Lo: 26, Hi: 36}, []float64{2}},
		{all, r1.Interval{Lo: 24, Hi: 33}, []float64{3}},
	} {
		j := sceneOf()
		j.middle(&b, c.x, c.y)
		require.Len(t, j.found, len(c.by))
		for i, v := range j.found {
			require.InDelta(t, c.by[i], v.By, 1e-9)
		}
	}
	// Of a box without size the lack is a figure without rounding: a millionth of a millimetre is none.
	j, point := sceneOf(), boxAt(1, corners(0, 0, 0, 0, 0, 0))
	j.middle(&point, r1.Interval{Lo: 1e-6, Hi: 1}, all)
	require.Empty(t, j.found)
	j.middle(&point, r1.Interval{Lo: next(1e-6), Hi: 1}, all)
	require.Len(t, j.found, 1)
}

// Boxes beside each other are those that face each other by more than 10 mm.
func TestFacingExactly(t *testing.T) {
	a := boxAt(1, corners(0, 0, 0, 40, 40, 40))
	for y, faces := range map[float64]bool{30: false, 29.5: true, -30: false, -29.5: true, 0: true, 60: false} {
		b := boxAt(2, corners(41, y, 0, 90, y+40, 40))
		require.Equal(t, faces, overlaps(&a, &b, r3.Vector{Y: 1}), y)
	}
}

// seamed are two boxes 100 mm long with a joint so wide, the second one so much higher, each on a
// pad whose near edge is so far from the joint; across or lengthwise.
func seamed(gap, up, first, second float64, turn bool) *scene {
	v := func(along, across, z float64) r3.Vector {
		if turn {
			return r3.Vector{X: across, Y: along, Z: z}
		}
		return r3.Vector{X: along, Y: across, Z: z}
	}
	made := func(a, b r3.Vector) solid { return solidOf(geom.BoxFromCorners(a, b)) }
	j := sceneOf(barOf("bar", made(v(-200, -10, -8), v(500, 90, -3))), barOf("raised", made(v(-200, -10, up-8), v(500, 90, up-3))))
	j.boxes = []box{boxAt(1, made(v(-100, 0, 0), v(0, 80, 50))), boxAt(2, made(v(gap, 0, up), v(gap+100, 80, up+50)))}
	j.rack.Pads = []rack.Pad{
		{Box: "block", Number: 1, Face: below, To: "bar", Low: v(-first-20, 0, -3), High: v(-first, 80, 0)},
		{Box: "block", Number: 2, Face: below, To: "raised", Low: v(gap+second, 0, up-3), High: v(gap+second+20, 80, up)},
	}
	return j
}

// Each of two boxes beside each other is carried within 0.35 of its size from their joint: 35 mm of
// 100. Boxes are beside each other where there is less than 30 mm between them, and on one level to
// half a millimetre.
func TestSeamsExactly(t *testing.T) {
	for _, turn := range []bool{false, true} {
		for _, c := range []struct {
			gap, up, first, second float64
			lacks                  []float64
		}{
			{0, 0, 35, 35, nil},
			{0, 0, 35.0005, 0, []float64{0.0005}},
			{0, 0, 40, 50, []float64{5, 15}},
			{20, 0, 0, 37, []float64{2}},
			{29.5, 0, 40, 0, []float64{5}},
			{30, 0, 40, 50, nil},
			{30.5, 0, 40, 50, nil},
			{0, 0.5, 40, 0, []float64{5}},
			{0, 1, 40, 50, nil},
			{-touch, 0, 40, 0, []float64{5}},
			{-0.31, 0, 40, 0, nil},
		} {
			j := seamed(c.gap, c.up, c.first, c.second, turn)
			j.seams(below)
			require.Len(t, j.found, len(c.lacks), "%+v", c)
			for i, v := range j.found {
				require.InDelta(t, c.lacks[i], v.By, 1e-9, "%+v", c)
				require.Equal(t, Carried, v.Rule)
			}
		}
	}
}

// Boxes that are in one another by 0.3 mm are still beside each other.
func TestSeamOfBoxesInOneAnother(t *testing.T) {
	for by, wrong := range map[float64]int{touch: 1, next(touch): 0} {
		j := seamed(0, 0, 40, 0, false)
		j.boxes[1] = boxAt(2, corners(-by, 0, 0, by, 80, 50))
		j.rack.Pads = j.rack.Pads[:1]
		j.seams(below)
		require.Len(t, j.found, wrong)
	}
}

// A millionth of a millimetre is no lack; of a box without length it is a figure without rounding.
func TestSeamWithoutRounding(t *testing.T) {
	for lack, wrong := range map[float64]int{1e-6: 0, next(1e-6): 1} {
		j := sceneOf(barOf("bar", topAt(0)))
		flat := boxAt(1, corners(0, -10, 3, 0, 10, 60))
		j.rack.Pads = []rack.Pad{{Box: "block", Number: 1, Face: below, To: "bar", Low: r3.Vector{X: -30, Y: -10}, High: r3.Vector{X: -lack, Y: 10, Z: 3}}}
		other := boxAt(2, corners(1, -10, 3, 50, 10, 60))
		j.boxes = []box{flat, other}
		j.seam(&flat, &other, ahead, below)
		require.Len(t, j.found, wrong)
	}
}

// The area of a pad is that of its face, whichever way that looks.
func TestAreaOfAPad(t *testing.T) {
	for _, way := range []float64{1, -1} {
		for _, c := range []struct{ face, want r3.Vector }{
			{r3.Vector{X: way}, r3.Vector{X: 3, Y: 5}},
			{r3.Vector{Y: way}, r3.Vector{X: 2, Y: 5}},
			{r3.Vector{Z: way}, r3.Vector{X: 2, Y: 3}},
		} {
			p := rack.Pad{Face: c.face, Low: r3.Vector{X: 1, Y: 1, Z: 1}, High: r3.Vector{X: 3, Y: 4, Z: 6}}
			require.Equal(t, r2.Point{X: c.want.X, Y: c.want.Y}, rect(p))
			require.Equal(t, c.want.X*c.want.Y, area(p))
		}
	}
}

// A pad of 40 mm² holds a box, a smaller one does not.
func TestLeastAreaExactly(t *testing.T) {
	for high, held := range map[float64]int{8: 1, 7.99: 0} {
		j := sceneOf(barOf("bar", topAt(0)))
		j.boxes = []box{boxAt(1, topAt(0))}
		j.rack.Pads = []rack.Pad{{Box: "block", Number: 1, Face: above, To: "bar", High: r3.Vector{X: 5, Y: high, Z: 3}}}
		require.Len(t, j.boxesHeld(above, map[int]bool{0: true}), held)
	}
}
