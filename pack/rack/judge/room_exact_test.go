package judge

import (
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack/rack"
)

// twoWays are blocks in one another by what rounding of a file does, and by the last bit more.
var twoWays = []struct {
	by    float64
	wrong int
}{{overlap, 0}, {next(overlap), 1}}

// m6 is a bolt of 20 mm straight up or along another way, its head below the origin.
func m6(name string, joined ...string) rack.Fastener {
	return rack.Fastener{Name: name, Size: "M6", Class: "8.8", To: r3.Vector{Z: 20}, Joins: joined}
}

// A part may be in a box by 0.02 mm, the rounding of a file.
func TestPartInABoxExactly(t *testing.T) {
	for _, c := range twoWays {
		body, metal := intoBy(c.by)
		p := barOf("bar", metal)
		j := sceneOf(p)
		j.boxes = []box{boxAt(1, body)}
		j.clearOfBoxes(&p)
		require.Len(t, j.found, c.wrong)
	}
}

// So may it be in the frame; a bolt goes into the sides of the opening where its mount is, and into
// what it joins, and into nothing else.
func TestPartInTheFrameExactly(t *testing.T) {
	for _, c := range twoWays {
		rail, metal := intoBy(c.by)
		p := barOf("bar", metal)
		j := sceneOf(p)
		j.obstacles, j.around = []frame.Obstacle{{Name: "rail", Kind: frame.RailTube}}, []solid{rail}
		j.clearOfFrame(&p)
		require.Len(t, j.found, c.wrong)
	}
	for _, c := range []struct {
		kind   frame.ObstacleKind
		joined string
		wrong  int
	}{
		{frame.Side, "mount", 0},
		{frame.Width, "mount", 0},
		{frame.RailTube, "mount", 1},
		{frame.KeptOut, "mount", 1},
		{frame.Side, "bar", 1},
		{frame.Width, "bar", 1},
		{frame.RailTube, "bar", 1},
		{frame.KeptOut, "tank", 0},
		{frame.RailTube, "tank", 0},
	} {
		p := boltOf(m6("bolt", c.joined))
		j := sceneOf(p)
		j.mounts["mount"] = frame.Mount{Name: "mount"}
		j.obstacles, j.around = []frame.Obstacle{{Name: "tank", Kind: c.kind}}, []solid{topAt(0)}
		j.clearOfFrame(&p)
		require.Len(t, j.found, c.wrong, "%+v", c)
	}
	bar := barOf("bar", about(1))
	j := sceneOf(bar)
	j.obstacles, j.around = []frame.Obstacle{{Name: "left", Kind: frame.Side}}, []solid{topAt(0)}
	j.clearOfFrame(&bar)
	require.Len(t, j.saying("no room for bar: it is 1.0 mm into left"), 1)
}

// Two parts are clear of each other to the same; a shank may be in what its bolt joins, its head may
// not.
func TestPartsInOneAnotherExactly(t *testing.T) {
	for _, c := range twoWays {
		a, b := intoBy(c.by)
		p, q := barOf("p", a), barOf("q", b)
		j := sceneOf(p, q)
		j.clearOfPart(&p, &q)
		require.Len(t, j.found, c.wrong)
	}
	shank, head := barOf("bar", corners(-20, -20, 5, 20, 20, 8)), barOf("bar", corners(-20, -20, -3, 20, 20, -1))
	for _, c := range []struct {
		bar    part
		joined string
		wrong  int
	}{{shank, "bar", 0}, {shank, "another", 1}, {head, "bar", 1}, {head, "another", 1}} {
		bolt := boltOf(m6("bolt", c.joined))
		j := sceneOf(c.bar, bolt)
		j.clearOfPart(&c.bar, &bolt)
		require.Len(t, j.found, c.wrong)
		j.clearOfPart(&bolt, &c.bar)
		require.Len(t, j.found, 2*c.wrong, "either way")
	}
}

// Bolts side by side are as wide as their washers, 12 mm of M6 and 20 mm of M10: clear of each other
// at 12 mm and at 16 mm, though the square bars around them are not.
func TestBoltsBesideEachOther(t *testing.T) {
	require.Equal(t, 6.0, widest(&rack.Fastener{Size: "M6"}))
	require.Equal(t, 10.0, widest(&rack.Fastener{Size: "M10"}))
	a, b := m6("a"), m6("b")
	b.From.X, b.To.X = 12, 12
	require.True(t, apartAsRound(&a, &b))
	b.From.X, b.To.X = 11.99, 11.99
	require.False(t, apartAsRound(&a, &b))
	b.Size, b.From.X, b.To.X = "M10", 15.99, 15.99
	require.False(t, apartAsRound(&a, &b))
	b.From.X, b.To.X = 16, 16
	require.True(t, apartAsRound(&a, &b))
	b.From.Z, b.To.Z = 500, 520
	require.True(t, apartAsRound(&a, &b), "along does not count")
	b.From, b.To = b.To, b.From
	require.True(t, apartAsRound(&a, &b), "nor which way")
	b.From, b.To = r3.Vector{X: 30}, r3.Vector{X: 50}
	require.False(t, apartAsRound(&a, &b), "not side by side")

	// Corner to corner, 9 mm each way: 12.7 mm.
	c, d := m6("c"), m6("d")
	d.From, d.To = r3.Vector{X: 9, Y: 9}, r3.Vector{X: 9, Y: 9, Z: 20}
	p, q := boltOf(c), boltOf(d)
	j := sceneOf(p, q)
	j.clearOfPart(&p, &q)
	require.Empty(t, j.found)
	bar := barOf("bar", corners(9, 9, -4, 12, 12, 0))
	j.clearOfPart(&bar, &q)
	require.Len(t, j.found, 1, "a bar is not round")
}

// What is more than half a millimetre off is not measured.
func TestLeastOfSolids(t *testing.T) {
	a, b := apartBy(0.5)
	require.Equal(t, 0.5, least([]solid{a}, []solid{b}))
	a, b = apartBy(0.75)
	require.True(t, math.IsInf(least([]solid{a}, []solid{b}), 1))
	c, d := intoBy(2)
	require.Equal(t, -2.0, least([]solid{a, c}, []solid{b, d}))
}

// A pad is pressed together by less than 0.3 mm, at a bar and at a box, and keeps off a boot.
func TestPadsClearExactly(t *testing.T) {
	for by, wrong := range map[float64]int{touch: 0, next(touch): 1} {
		under, pad := intoBy(by)
		j := sceneOf(barOf("bar", under))
		j.rack.Pads = []rack.Pad{padOn(pad)}
		j.padsClear()
		require.Len(t, j.found, wrong)
		j = sceneOf()
		j.boxes = []box{boxAt(1, under)}
		j.rack.Pads = []rack.Pad{padOn(pad)}
		j.padsClear()
		require.Len(t, j.found, wrong)
	}
	for _, c := range []struct {
		gap   float64
		wrong int
	}{{touch, 0}, {0.35, 0}, {0.2, 1}, {-0.1, 1}} {
		post, pad := apartBy(c.gap)
		if c.gap < 0 {
			post, pad = intoBy(-c.gap)
		}
		b := boxAt(1, corners(0, 0, 500, 1, 1, 501))
		b.posts = []solid{post}
		j := sceneOf()
		j.boxes, j.problem.Pack.Gaps.Boot = []box{b}, 2*touch
		j.rack.Pads = []rack.Pad{padOn(pad)}
		j.padsClear()
		require.Len(t, j.found, c.wrong, c.gap)
		for _, v := range j.found {
			require.InDelta(t, 2*touch-c.gap, v.By, 1e-12)
		}
	}
	// A boot of 3 mm is pressed on from farther off than pads and bars touch.
	for gap, wrong := range map[float64]int{2.8: 0, 2.6: 1, 1: 1} {
		post, pad := apartBy(gap)
		b := boxAt(1, corners(0, 0, 500, 1, 1, 501))
		b.posts = []solid{post}
		j := sceneOf()
		j.boxes, j.problem.Pack.Gaps.Boot = []box{b}, 3
		j.rack.Pads = []rack.Pad{padOn(pad)}
		j.padsClear()
		require.Len(t, j.found, wrong, gap)
	}
}

// A spanner may be in a bar by the rounding of a file.
func TestSpannerExactly(t *testing.T) {
	t.Run("M6", func(t *testing.T) {
		radius := 10/math.Sqrt(3) + 1.5 // half the corners of 10 mm flats, and the socket
		for in, wrong := range map[float64]int{0.019: 0, 0.021: 1} {
			wall := barOf("wall", corners(radius-in, -50, -50, radius+10, 50, 50))
			j := sceneOf(wall, boltOf(m6("bolt", "wall", "bar")))
			j.spanners()
			require.Len(t, j.found, wrong)
		}
	})
	// The end of a bolt's head is 4 mm below its seat, to the last bit.
	for _, c := range twoWays {
		bolt := m6("bolt")
		bolt.From.Z, bolt.To.Z = 4, 24
		head := bolt.SpannerRoom()[0].(geom.Box)
		shift := -c.by - head.Extent(above).Lo
		if shift != -c.by {
			t.Fatalf("the head begins at %g", head.Extent(above).Lo)
		}
		base := solidOf(geom.Box{Centre: r3.Vector{Z: -c.by}, Axes: head.Axes, Half: r3.Vector{X: 2 * c.by, Y: wide, Z: wide}})
		if base.Extent(above).Hi != c.by {
			t.Fatalf("the bar ends at %g", base.Extent(above).Hi)
		}
		j := sceneOf(barOf("bar", base), boltOf(bolt))
		j.spanners()
		require.Len(t, j.found, c.wrong)
	}
}

// A bolt's hole is 1.2 times its width from each edge, 7.92 mm of M6, to a tenth.
func TestEdgesExactly(t *testing.T) {
	for _, c := range []struct{ x, y, lack float64 }{
		{50, 10, 0}, {7.83, 10, 0}, {7.81, 10, 0.11}, {92.17, 10, 0}, {92.19, 10, 0.11}, // along 100 mm
		{50, 7.83, 0}, {50, 7.8, 0.12}, {50, 22.17, 0}, {50, 22.2, 0.12}, // across 30 mm
	} {
		b := rack.Bar{Name: "bar", Section: rack.Section{Form: rack.Flat, Width: 30, Thick: 3}, To: r3.Vector{X: 100}, A: r3.Vector{Y: 1}, B: above}
		f := m6("bolt", "bar", "mount")
		f.From, f.To = r3.Vector{X: c.x, Y: c.y}, r3.Vector{X: c.x, Y: c.y, Z: 20}
		j := sceneOf(part{name: "bar", bar: &b}, boltOf(f))
		j.mounts["mount"] = frame.Mount{Name: "mount"}
		j.joint(&f)
		if c.lack == 0 {
			require.Empty(t, j.found, "%+v", c)
			continue
		}
		require.Len(t, j.found, 1, "%+v", c)
		require.InDelta(t, c.lack, j.found[0].By, 1e-9)
	}
}

// What joins nothing, or goes through nothing, is not a matter of more or less.
func TestJointOfNothing(t *testing.T) {
	b := rack.Bar{Name: "bar", Section: rack.Section{Form: rack.Flat, Width: 30, Thick: 3}, To: r3.Vector{X: 100}, A: r3.Vector{Y: 1}, B: above}
	one, beside := m6("one", "bar"), m6("beside", "bar", "bar")
	beside.From.Y, beside.To.Y = -40, -40
	j := sceneOf(part{name: "bar", bar: &b})
	j.joint(&one)
	alone := j.saying("joins nothing to nothing")
	require.Len(t, alone, 1)
	require.Zero(t, alone[0].By)
	j.joint(&beside)
	through := j.saying("does not go squarely through")
	require.Len(t, through, 2)
	require.Zero(t, through[0].By)
	j.joints()
	loose := j.saying("bar is joined to nothing")
	require.Len(t, loose, 1)
	require.Zero(t, loose[0].By)
}

// nutsOf is what is wanted of the nuts of a bolt of M6 through metal from one place along it to
// another.
func nutsOf(f rack.Fastener, begins, ends float64, intoMount bool) string {
	j := sceneOf()
	thread, _ := rack.ThreadOf("M6")
	j.nuts(&f, thread, []rack.Hole{{Begins: begins, Ends: ends}}, intoMount)
	var list []string
	for _, v := range j.found {
		list = append(list, v.Text)
	}
	return strings.Join(list, "; ")
}

// A bolt's head is on its metal to 0.3 mm, on a washer of 1.6 mm where it goes into a mount.
func TestHeadExactly(t *testing.T) {
	tight := m6("bolt")
	tight.Nuts = []rack.Nut{{At: 6, Beyond: true, Locking: true}}
	require.Empty(t, nutsOf(tight, touch, 6, false))
	require.Empty(t, nutsOf(tight, -touch, 6, false))
	require.Contains(t, nutsOf(tight, next(touch), 6, false), "its head is 0.3 mm off the bar")
	require.Contains(t, nutsOf(tight, -next(touch), 6, false), "its head is -0.3 mm off the bar")
	const washer = 1.6
	limit := touch + float64(washer)
	require.Empty(t, nutsOf(tight, limit, 6, true))
	require.Contains(t, nutsOf(tight, next(limit), 6, true), "its head is not on the bar")
	rod := tight
	rod.Rod = true
	require.NotContains(t, nutsOf(rod, 5, 6, true), "head")
	require.NotContains(t, nutsOf(rod, 5, 6, false), "head")
}

// A locking nut sits on the metal to 0.3 mm, on the right side of it.
func TestNutExactly(t *testing.T) {
	nut := func(at float64, beyond bool) *rack.Fastener {
		return &rack.Fastener{Nuts: []rack.Nut{{At: at, Beyond: beyond, Locking: true}}}
	}
	for _, at := range []float64{touch, -touch} {
		require.True(t, nutAt(nut(at, true), 0, true))
		require.True(t, nutAt(nut(at, false), 0, false))
		require.False(t, nutAt(nut(at, true), 0, false))
		require.False(t, nutAt(nut(2*at, true), 0, true))
	}
	plain := nut(0, true)
	plain.Nuts[0].Locking = false
	require.False(t, nutAt(plain, 0, true))
}

// A nut shows a thread: of M6 a locking nut ends 1.6 mm (washer) and 8 mm (nut) beyond the metal, a
// plain one 1.6 and 5.2 mm, and a pitch of 1 mm stands out; so does it before the metal at the near
// end of a rod.
func TestThreadThatShows(t *testing.T) {
	far := func(length, at float64, locking bool) rack.Fastener {
		f := m6("rod")
		f.Rod, f.To.Z = true, length
		f.Nuts = []rack.Nut{{At: at, Beyond: true, Locking: locking}}
		return f
	}
	const short = "too short"
	require.NotContains(t, nutsOf(far(30, 19.4, true), 0, 19, true), short) // 19.4 + 10.6 = 30
	require.NotContains(t, nutsOf(far(30, 19.44, true), 0, 19, true), short)
	require.Contains(t, nutsOf(far(30, 19.5, true), 0, 19, true), "it is 0.1 mm too short")
	require.Contains(t, nutsOf(far(30, 20.4, true), 0, 19, true), "it is 1.0 mm too short")
	require.NotContains(t, nutsOf(far(30, 22.2, false), 0, 22, true), short) // 22.2 + 7.8 = 30
	require.Contains(t, nutsOf(far(30, 22.4, false), 0, 22, true), "it is 0.2 mm too short")
	near := func(at float64) rack.Fastener {
		f := far(30, 15, true)
		f.Nuts = append(f.Nuts, rack.Nut{At: at, Locking: true})
		return f
	}
	require.Empty(t, nutsOf(near(10.6), 10.6, 15, false)) // 10.6 − 1.6 − 8 = 1, a pitch
	require.Empty(t, nutsOf(near(10.56), 10.6, 15, false))
	require.Equal(t, "rod: it is 0.6 mm too short: a locking nut has to show a thread", nutsOf(near(10), 10, 15, false))
	require.Contains(t, nutsOf(near(5), 10.6, 15, false), "no locking nut holds its near end (11 mm along it)")
	require.Contains(t, nutsOf(near(10.6), 10.6, 20, false), "no locking nut holds its far end (20 mm along it)")
}
