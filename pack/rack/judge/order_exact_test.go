package judge

import (
	"fmt"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/rack"
)

// cube is a block of 10 mm with its low corner there.
func cube(x, y, z float64) solid { return corners(x, y, z, x+10, y+10, z+10) }

func named(list []item) []string {
	var names []string
	for _, t := range list {
		names = append(names, t.name)
	}
	return names
}

// A step names its bars where several come as one.
func TestStepsOfTrays(t *testing.T) {
	a, b := barOf("a", cube(0, 0, 0)), barOf("b", cube(20, 0, 0))
	a.bar.Tray, b.bar.Tray = "tray", "tray"
	one, two := pieceOf([]*part{&a}), pieceOf([]*part{&a, &b})
	require.Equal(t, Step{Name: "a"}, one.step(nil))
	require.Equal(t, Step{Name: "tray", Bars: []string{"a", "b"}}, two.step(nil))
	require.Len(t, two.solids, 2)
	body := boxAt(1, cube(0, 0, 0))
	require.Equal(t, Step{Name: "block 1", Box: true}, item{name: "block 1", box: &body}.step(nil))
	b.bar.Tray = "other"
	require.Equal(t, "tray", pieceOf([]*part{&a, &b}).name)
}

// Things are tried from the top down, by the millimetre of their middles; of what is as high, bars
// that go on last, rods, boxes, bolts and the other bars.
func TestItemsInOrder(t *testing.T) {
	late, bar := barOf("hold-down", cube(0, 0, 0)), barOf("bar", cube(20, 0, 0))
	late.late = true
	rod := part{name: "rod", fastener: &rack.Fastener{Name: "rod"}, solids: []solid{cube(40, 0, 0)}, late: true}
	bolt := part{name: "bolt", fastener: &rack.Fastener{Name: "bolt"}, solids: []solid{cube(60, 0, 0)}}
	for _, parts := range [][]part{{bar, bolt, rod, late}, {late, rod, bolt, bar}} {
		j := sceneOf(parts...)
		j.boxes = []box{boxAt(1, cube(80, 0, 0))}
		require.Equal(t, []string{"hold-down", "rod", "block 1", "bolt", "bar"}, named(j.items()))
	}
	// The middle counts: of 0…10, 4…10 (7) and 0…13 (6.5, rounded to 7) mm.
	j := sceneOf(late, barOf("higher", corners(0, 0, 4, 10, 10, 10)), barOf("tall", corners(0, 0, 0, 10, 10, 13)), barOf("two", corners(0, 0, 0, 10, 10, 2), corners(0, 0, 30, 10, 10, 32)))
	require.Equal(t, []string{"two", "higher", "tall", "hold-down"}, named(j.items()))
	// 5.4 and 4.6 mm are both 5.
	j = sceneOf(barOf("bar", corners(0, 0, 0.4, 10, 10, 10.4)), late)
	j.parts[1].solids = []solid{corners(0, 0, 0, 10, 10, 9.2)}
	require.Equal(t, []string{"hold-down", "bar"}, named(j.items()))
	// Pieces of one name are told apart.
	a, b, c, d := barOf("a", cube(0, 0, 0)), barOf("b", cube(0, 0, 0)), barOf("c", cube(0, 0, 0)), barOf("d", cube(0, 0, 0))
	for _, p := range []part{a, b, c, d} {
		p.bar.Tray = "tray"
	}
	j = sceneOf(a, b, c, d)
	j.rack.Welds = []rack.Weld{{Joins: [2]string{"a", "b"}}, {Joins: [2]string{"c", "d"}}}
	require.Equal(t, []string{"tray", "tray with c"}, named(j.items()))
}

// What cannot be brought to its place is named: boxes where there are some, 40 at most in the text.
func TestStuck(t *testing.T) {
	var left []item
	for i := range 41 {
		left = append(left, item{name: fmt.Sprintf("bar %d", i+1)})
	}
	j := sceneOf()
	j.stuck(left)
	require.Len(t, j.found[0].Parts, 41)
	require.Zero(t, j.found[0].By)
	require.Contains(t, j.found[0].Text, "bar 40 to their places")
	j.found = nil
	b := boxAt(1, cube(0, 0, 0))
	j.stuck(append(left, item{name: "block 1", box: &b}))
	require.Equal(t, []string{"block 1"}, j.found[0].Parts)
	require.Contains(t, j.found[0].Text, "bring block 1 to their places")
}

// A thing on its way may be in another by 0.3 mm, as far as it goes and no farther; the blocks around
// it are swept, whichever way.
func TestFreeExactly(t *testing.T) {
	for by, is := range map[float64]bool{touch: true, next(touch): false} {
		lower, mover := intoBy(by)
		require.Equal(t, is, free([]solid{mover}, r3.Vector{X: 40}, []solid{lower}))
		require.Equal(t, is, free([]solid{mover}, r3.Vector{X: -40}, []solid{lower}))
	}
	mover := []solid{cube(0, 0, 0)}
	for _, way := range []r3.Vector{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}} {
		there := mover[0].low.Add(way.Mul(31))
		other := []solid{cube(there.X, there.Y, there.Z)}
		require.True(t, free(mover, way.Mul(21), other))
		require.False(t, free(mover, way.Mul(22), other))
		require.True(t, free(mover, way.Mul(-100), other))
	}
	require.Equal(t, r3.Vector{X: 1, Y: 2, Z: 3}, moved(mover, r3.Vector{X: 1, Y: 2, Z: 3})[0].low)
}

// A thing is out where it is 5 mm beyond all boxes and parts.
func TestWayOut(t *testing.T) {
	j := sceneOf(barOf("bar", cube(0, 0, 0), cube(70, 0, 0)))
	j.boxes = []box{boxAt(1, cube(0, 50, 40))}
	mover := []solid{cube(10, 5, 0), cube(20, -5, 2)}
	require.Equal(t, 75.0, j.wayOut(mover, r3.Vector{X: 1})) // 80 less 10, and 5
	require.Equal(t, 35.0, j.wayOut(mover, r3.Vector{X: -1}))
	require.Equal(t, 70.0, j.wayOut(mover, r3.Vector{Y: 1})) // 60 less −5, and 5
	require.Equal(t, 55.0, j.wayOut(mover, r3.Vector{Z: 1}))
	require.Equal(t, 17.0, j.wayOut(mover, r3.Vector{Z: -1}))
	require.Equal(t, 5.0, sceneOf().wayOut([]solid{cube(10, 0, 0)}, r3.Vector{X: 1}), "nothing is there")
}

// walls are around the cube of 10 mm at the origin, so high, and a floor under it.
func walls(high float64) []solid {
	return []solid{
		corners(-20, -20, 0, -1, 30, high), corners(11, -20, 0, 30, 30, high),
		corners(-1, -20, 0, 11, -1, high), corners(-1, 11, 0, 11, 30, high), corners(-20, -20, -20, 30, 30, -1),
	}
}

// A thing leaves up, or sideways after a lift that is high enough: the lowest of 0, 6, 12, 20, 30, 45
// and 70 mm.
func TestStraight(t *testing.T) {
	j := sceneOf(barOf("high above", cube(0, 0, 290)))
	j.boxes = []box{boxAt(1, cube(0, 0, 0))}
	mover := item{name: "block 1", solids: []solid{cube(0, 0, 0)}}
	legs, ok := j.straight(mover, walls(40))
	require.True(t, ok)
	require.Equal(t, []r3.Vector{{Z: 305}}, legs)
	for high, lift := range map[float64]float64{5: 6, 12: 12, 12.2: 12, 12.4: 20, 20: 20, 28: 30, 30: 30, 45: 45, 70: 70} {
		lid := corners(-20, -20, high+11, 30, 30, high+20)
		legs, ok := j.straight(mover, append(walls(high), lid))
		if lift+10 > high+11+touch {
			require.False(t, ok, "%g %v", high, legs)
			continue
		}
		require.True(t, ok, high)
		require.Equal(t, []r3.Vector{{Z: lift}, {Y: 15}}, legs, high)
	}
	_, ok = j.straight(mover, append(walls(71), corners(-20, -20, 90, 30, 30, 95)))
	require.False(t, ok, "a lift of more than 70 mm is none")
	_, ok = j.straight(mover, append(walls(20), corners(-5, -5, 12, 15, 15, 13)))
	require.False(t, ok, "through a thin lid, above which there is room")
	// The first way that is free: up, left, right, front, back, down.
	shut := []solid{
		corners(0, 0, 11, 10, 10, 12), corners(0, 11, 0, 10, 12, 10), corners(0, -2, 0, 10, -1, 10),
		corners(11, 0, 0, 12, 10, 10), corners(-2, 0, 0, -1, 10, 10), corners(0, 0, -2, 10, 10, -1),
	}
	for n, want := range []r3.Vector{{Z: 305}, {Y: 15}, {Y: -15}, {X: 15}, {X: -15}, {Z: -15}} {
		legs, ok := j.straight(mover, shut[:n])
		require.True(t, ok)
		require.Equal(t, []r3.Vector{want}, legs)
	}
	_, ok = j.straight(mover, shut)
	require.False(t, ok)
}

// A bar on rods goes along them alone.
func TestSlides(t *testing.T) {
	bar := barOf("bar", cube(0, 0, 0))
	bar.late = true
	through := rack.Fastener{Name: "rod", Rod: true, Joins: []string{"bar"}, From: r3.Vector{Z: -50}, To: r3.Vector{Z: 5}}
	rod := part{name: "rod", fastener: &through, late: true, solids: []solid{cube(500, 0, 0)}}
	bolt := part{name: "bolt", fastener: &rack.Fastener{Name: "bolt", Joins: []string{"bar"}}, solids: []solid{cube(500, 0, 0)}}
	other := part{name: "rod", fastener: &rack.Fastener{Name: "rod", Rod: true, Joins: []string{"other"}}, solids: []solid{cube(500, 0, 0)}}
	early := bar
	early.late = false
	require.True(t, sceneOf(bar, rod).slides(&bar))
	require.False(t, sceneOf(bar, bolt).slides(&bar))
	require.False(t, sceneOf(bar, other).slides(&bar))
	require.False(t, sceneOf(early, rod).slides(&early))
	over := []solid{corners(-5, -5, 11, 15, 15, 12)}
	for p, want := range map[*part]r3.Vector{&bar: {Z: -15}, &early: {Y: 15}} {
		j := sceneOf(*p, rod)
		legs, ok := j.straight(item{name: "bar", bars: []*part{p}, solids: p.solids}, over)
		require.True(t, ok)
		require.Equal(t, want.Z, legs[0].Z)
	}
	// Over the ends of its rods it goes sideways, where nothing is over it as far as that.
	shut := []solid{corners(-5, -5, 18, 15, 15, 20), corners(-5, -5, -5, 15, 15, -1)}
	legs, ok := sceneOf(bar, rod).straight(item{name: "bar", bars: []*part{&bar}, solids: bar.solids}, shut)
	require.True(t, ok)
	require.Equal(t, []r3.Vector{{Z: 6}, {Y: 15}}, legs)
	through.From.Z, through.To.Z = 6, -50 // it may run down, and end where the bar is lifted to
	legs, ok = sceneOf(bar, rod).straight(item{name: "bar", bars: []*part{&bar}, solids: bar.solids}, shut)
	require.True(t, ok)
	require.Equal(t, []r3.Vector{{Z: 6}, {Y: 15}}, legs)
	through.From.Z = 6.01
	_, ok = sceneOf(bar, rod).straight(item{name: "bar", bars: []*part{&bar}, solids: bar.solids}, shut)
	require.False(t, ok, "12 mm are more than it has over it")
}

// A box leaves when what holds it down is off, and the hold-downs of others do not keep it.
func TestHeldDown(t *testing.T) {
	late, early := rack.Bar{Name: "hold-down", Late: true}, rack.Bar{Name: "bar"}
	for _, c := range []struct {
		pad  rack.Pad
		gone bool
		held bool
	}{
		{rack.Pad{Box: "block", Number: 1, Face: r3.Vector{Z: 1}, To: "hold-down"}, false, true},
		{rack.Pad{Box: "block", Number: 1, Face: r3.Vector{Z: 1}, To: "hold-down"}, true, false},
		{rack.Pad{Box: "block", Number: 2, Face: r3.Vector{Z: 1}, To: "hold-down"}, false, false},
		{rack.Pad{Box: "block", Number: 1, Face: r3.Vector{Z: -1}, To: "hold-down"}, false, false},
		{rack.Pad{Box: "block", Number: 1, Face: r3.Vector{X: 1}, To: "hold-down"}, false, false},
		{rack.Pad{Box: "block", Number: 1, Face: r3.Vector{Z: 1}, To: "bar"}, false, false},
		{rack.Pad{Box: "block", Number: 1, Face: r3.Vector{Z: 1}, To: "block 2"}, false, false},
	} {
		j := sceneOf(part{name: late.Name, bar: &late}, part{name: early.Name, bar: &early})
		j.rack.Pads = []rack.Pad{c.pad}
		b := boxAt(1, cube(0, 0, 0))
		require.Equal(t, c.held, j.heldDown(&b, map[string]bool{"hold-down": c.gone}), c)
	}
}

// A bar that is bolted to a mount that faces down is there first: the rest hangs from it.
func TestFromAbove(t *testing.T) {
	for z, is := range map[float64]bool{-1: true, 1: false, 0: false} {
		j := sceneOf(part{name: "bolt", fastener: &rack.Fastener{Name: "bolt", Joins: []string{"bar", "lug"}}})
		j.mounts["lug"] = frame.Mount{Name: "lug", Faces: r3.Vector{Y: 1 - z*z, Z: z}}
		require.Equal(t, is, j.fromAbove(&part{name: "bar"}))
		require.False(t, j.fromAbove(&part{name: "other"}))
	}
}

// A bolt goes out by its head, with it; a rod either way, without its nuts: each by its length and
// 2 mm.
func TestAlongAxis(t *testing.T) {
	bolt := boltOf(m6("bolt"))
	rod := m6("rod")
	rod.Rod, rod.Nuts = true, []rack.Nut{{At: 10, Beyond: true}}
	j := sceneOf()
	out := func(p part, around ...solid) []r3.Vector {
		legs, _ := j.alongAxis(item{name: p.name, fastener: &p, solids: p.solids}, around)
		return legs
	}
	back, forth := corners(-1, -1, -8, 1, 1, -6), corners(-1, -1, 30, 1, 1, 32)
	beside := corners(4, -1, -8, 6, 1, -6) // of the shank, not of the head
	require.Equal(t, []r3.Vector{{Z: -22}}, out(bolt))
	require.Equal(t, []r3.Vector{{Z: -22}}, out(bolt, forth))
	require.Empty(t, out(bolt, back))
	require.Empty(t, out(bolt, beside))
	require.Equal(t, []r3.Vector{{Z: -22}}, out(boltOf(rod), beside, forth))
	require.Equal(t, []r3.Vector{{Z: 22}}, out(boltOf(rod), back))
	require.Empty(t, out(boltOf(rod), back, forth))
	require.NotEmpty(t, out(bolt, corners(-1, -1, -28, 1, 1, -25.8)), "20 mm, 4 mm of head and 2 mm: to 26 mm")
	require.Empty(t, out(bolt, corners(-1, -1, -28, 1, 1, -25.6)))
}

// A bar is loose when its bolts are off and no box stands on it; one that goes on last slides on its
// rods.
func TestLoose(t *testing.T) {
	bar := barOf("bar", cube(0, 0, 0))
	bolt := part{name: "bolt", fastener: &rack.Fastener{Name: "bolt", Joins: []string{"bar"}}}
	rod := part{name: "rod", fastener: &rack.Fastener{Name: "rod", Rod: true, Joins: []string{"bar"}}}
	j := sceneOf(bar, bolt)
	require.False(t, j.loose(&bar, nil))
	require.True(t, j.loose(&bar, map[string]bool{"bolt": true}))
	j = sceneOf(bar, rod)
	require.False(t, j.loose(&bar, nil))
	bar.late = true
	require.True(t, j.loose(&bar, nil))
	require.False(t, sceneOf(bar, bolt).loose(&bar, nil))
	j = sceneOf(bar)
	for _, c := range []struct {
		face  r3.Vector
		to    string
		loose bool
	}{{below, "bar", false}, {above, "bar", true}, {ahead, "bar", true}, {below, "other", true}} {
		j.rack.Pads = []rack.Pad{{Box: "block", Number: 1, Face: c.face, To: c.to}}
		require.Equal(t, c.loose, j.loose(&bar, nil))
		require.True(t, j.loose(&bar, map[string]bool{"block 1": true}))
	}
}

// In the way of a bar are not the bolts through it; of a rod that goes on last only the shank is; in
// that of a bolt not what it joins.
func TestInTheWay(t *testing.T) {
	a, b := barOf("a", cube(0, 0, 0)), barOf("b", cube(20, 0, 0))
	made := func(late bool) part {
		return part{name: "f", late: late, fastener: &rack.Fastener{Name: "f", Joins: []string{"a"}}, solids: []solid{cube(0, 0, 0), cube(0, 0, 10)}}
	}
	early, rod := made(false), made(true)
	bars := func(p ...*part) item { return pieceOf(p) }
	of := func(p *part) item { return item{name: p.name, fastener: p, solids: p.solids} }
	j := sceneOf()
	require.Empty(t, j.inWay(bars(&a), of(&early)))
	require.Len(t, j.inWay(bars(&b), of(&early)), 2)
	require.Empty(t, j.inWay(bars(&a), of(&rod)))
	require.Len(t, j.inWay(bars(&b), of(&rod)), 1)
	require.Len(t, j.inWay(bars(&a), bars(&b)), 1)
	require.Equal(t, b.solids, j.inWay(of(&early), bars(&a, &b)))
	body := boxAt(1, cube(0, 0, 0))
	require.Len(t, j.inWay(of(&early), item{name: body.name, box: &body, solids: []solid{body.body}}), 1)
	require.Len(t, j.inWay(item{name: body.name, box: &body}, bars(&a, &b)), 2)
}

// What of the frame is in the way of what leaves: rails and closed sides, but not for a mount's own
// bolt; not what comes off, nor an open side, nor the limit of the width.
func TestFrameInTheWay(t *testing.T) {
	rail := frame.Obstacle{Name: "tank", Kind: frame.RailTube}
	for name, c := range map[string]struct {
		change func(o *frame.Obstacle)
		passes bool
	}{
		"rail":          {func(*frame.Obstacle) {}, false},
		"keep-out":      {func(o *frame.Obstacle) { o.Kind = frame.KeptOut }, false},
		"removable":     {func(o *frame.Obstacle) { o.Removable = true }, true},
		"lifts off":     {func(o *frame.Obstacle) { o.LiftsOff = true }, true},
		"side":          {func(o *frame.Obstacle) { o.Kind = frame.Side }, false},
		"open side":     {func(o *frame.Obstacle) { o.Kind, o.Open = frame.Side, true }, true},
		"open, no side": {func(o *frame.Obstacle) { o.Open = true }, false},
		"width":         {func(o *frame.Obstacle) { o.Kind = frame.Width }, true},
	} {
		o := rail
		c.change(&o)
		mover := barOf("bar", cube(0, 0, 0))
		j := sceneOf(mover)
		j.mounts["mount"] = frame.Mount{}
		for _, s := range append(walls(20), corners(-20, -20, 11, 30, 30, 20)) {
			j.obstacles, j.around = append(j.obstacles, o), append(j.around, s)
		}
		_, ok := j.leaves(pieceOf([]*part{&mover}), nil, nil)
		require.Equal(t, c.passes, ok, name)
		for joined, passes := range map[string]bool{"bar": c.passes, "mount": true, "tank": true} {
			f := m6("bolt", joined)
			p := boltOf(f)
			_, ok := j.leaves(item{name: "bolt", fastener: &p, solids: p.solids}, nil, nil)
			require.Equal(t, passes, ok, "%s, bolt to %s", name, joined)
		}
	}
}

// A thing is not in its own way, and a bar that is bolted does not leave.
func TestLeaves(t *testing.T) {
	bar, lid := barOf("bar", cube(0, 0, 0)), barOf("lid", corners(-30, -30, 11, 40, 40, 14))
	var shut []part
	for i, s := range walls(11) {
		shut = append(shut, barOf(fmt.Sprintf("wall %d", i), s))
	}
	one := pieceOf([]*part{&bar})
	left := []item{one}
	for i := range shut {
		left = append(left, pieceOf([]*part{&shut[i]}))
	}
	j := sceneOf(bar)
	_, ok := j.leaves(one, left, nil)
	require.True(t, ok)
	_, ok = j.leaves(one, append(left, pieceOf([]*part{&lid})), nil)
	require.False(t, ok)
	bolted := sceneOf(bar, part{name: "bolt", fastener: &rack.Fastener{Name: "bolt", Joins: []string{"bar"}}})
	_, ok = bolted.leaves(one, left, nil)
	require.False(t, ok)
	_, ok = bolted.leaves(one, left, map[string]bool{"bolt": true})
	require.True(t, ok)
}

// A box waits until a tool reaches its post; where that can never be the order is found without. What
// is walled in has none.
func TestOrderWithTools(t *testing.T) {
	// The box is higher than the bar in front of its post, and would leave before it.
	side := posted()
	side.posts, side.outward = []solid{corners(30, -5, 10, 36, 5, 20)}, []r3.Vector{ahead}
	j := sceneOf(barOf("front", corners(60, -30, 10, 63, 30, 20)))
	j.boxes = []box{side}
	steps := func() []string {
		var names []string
		for _, s := range j.order() {
			names = append(names, s.Name)
		}
		return names
	}
	require.Equal(t, []string{"block 1", "front"}, steps())
	require.Equal(t, []r3.Vector{{Z: -55}}, j.order()[1].Legs, "from 5 mm above the box, which is 60 mm high; the bar's foot is at 10")
	require.Empty(t, j.found)
	j.boxes[0].first[0] = true
	require.Equal(t, []string{"front", "block 1"}, steps(), "its post is joined before")

	// Two boxes of which each is over the other's post.
	a, b := posted(), posted()
	b.name, b.part = "block 2", pack.Part{Box: "block", Number: 2}
	b.body = corners(-30, -30, 100, 30, 30, 160)
	b.posts, b.outward = []solid{corners(-5, -5, 94, 5, 5, 100)}, []r3.Vector{below}
	j = sceneOf()
	j.boxes = []box{a, b}
	require.Equal(t, []string{"block 1", "block 2"}, steps())
	require.Empty(t, j.found)

	var parts []part
	for i, s := range append(walls(20), corners(-20, -20, 11, 30, 30, 20)) {
		parts = append(parts, barOf(fmt.Sprintf("wall %d", i), s))
	}
	for i := range parts {
		parts[i].bar.Tray = "tray"
	}
	j = sceneOf(parts...)
	for i := range parts[1:] {
		j.rack.Welds = append(j.rack.Welds, rack.Weld{Joins: [2]string{"wall 0", parts[i+1].name}})
	}
	j.boxes = []box{boxAt(1, cube(0, 0, 0))}
	j.rack.Pads = []rack.Pad{{Box: "block", Number: 1, Face: below, To: "wall 4"}}
	require.Empty(t, steps())
	require.Len(t, j.found, 1)
	require.Equal(t, []string{"block 1"}, j.found[0].Parts)
}
