package entry

import (
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
)

// ring is five boxes in a pen, seen from the right:
//
//	 ______  ___
//	  D CCCCCCCC|     a leaves to the front when b has gone, b upward when c has,
//	| D CCCC BB |     c to the back when d has, d downward when e has, e downward
//	| D ## ##BB |     when a has. No other box fits through the gate of one of them,
//	| EE## ##BB |     and plates on both sides close the pen. Derived by hand.
//	|  AAAAA BB
//	    _________
func ring(without string) *stage {
	s := square(1000).open(1, 2, 3, 4).
		keepOut("core", v(100, -50, 100), v(200, 50, 200)).
		keepOut("front", v(300, -50, 100), v(320, 50, 320)).
		keepOut("top", v(-20, -50, 300), v(200, 50, 320)).
		keepOut("back", v(-20, -50, -20), v(0, 50, 200)).
		keepOut("floor", v(100, -50, -20), v(320, 50, 0)).
		keepOut("left", v(-20, 50, -20), v(320, 60, 320)).
		keepOut("right", v(-20, -60, -20), v(320, -50, 320))
	for _, b := range []struct {
		name      string
		low, high r3.Vector
	}{
		{"a", v(60, -50, 0), v(200, 50, 100)},
		{"b", v(200, -50, 0), v(300, 50, 200)},
		{"c", v(100, -50, 200), v(300, 50, 300)},
		{"d", v(0, -50, 150), v(50, 50, 300)},
		{"e", v(0, -50, 100), v(100, 50, 150)},
	} {
		if b.name != without {
			s.box(b.name, b.low, b.high)
		}
	}
	return s
}

func TestFiveBoxesInterlocked(t *testing.T) {
	a := ring("").plan(t)
	assert.False(t, a.GoesIn)
	assert.Equal(t, []string{"a 1", "b 1", "c 1", "d 1", "e 1"}, partNames(a.Stuck.Boxes))
	assert.ElementsMatch(t, []string{"front", "top", "back", "floor", "left", "right"}, a.Stuck.Obstacles,
		"in the room of the core no box finds a way either")
	assert.Empty(t, a.Order.Steps)
	// Without d, e can also leave upward and to the back; it does so before a, for it
	// stands on a.
	for without, order := range map[string]string{"a": "bcde", "b": "cdea", "c": "deab", "d": "aebc", "e": "abcd"} {
		a := ring(without).plan(t)
		assert.Equal(t, order, names(a.Order), "without %s", without)
		assert.Empty(t, a.Stuck)
	}
}

func TestThingThatLiftsOffBreaksTheRing(t *testing.T) {
	for i, name := range []string{"core", "front", "top", "back", "floor", "left", "right"} {
		s := ring("")
		s.problem.Frame.KeepOuts[i].LiftsOff = true
		a := s.plan(t)
		if name == "core" {
			assert.False(t, a.GoesIn)
			continue
		}
		if assert.True(t, a.GoesIn, name) {
			assert.Equal(t, []string{name}, a.Order.Off())
		}
	}
}

// A cross tube over the back half of an open-topped pen: a box under it goes forward
// until it is clear of the tube by the air, and then up.
func TestBehindACrossTube(t *testing.T) {
	s := square(400).open(3).air(2).across(-100, 100).
		keepOut("left", v(0, 100, 0), v(400, 110, 400)).
		keepOut("right", v(0, -110, 0), v(400, -100, 400)).
		rail("cross tube", 40, v(100, -150, 350), v(100, 150, 350)).
		box("b", v(20, -90, 10), v(210, 90, 200))
	a := s.plan(t)
	require.True(t, a.GoesIn)
	require.Len(t, a.Order.Steps, 1)
	legs := a.Order.Steps[0].Legs
	require.Len(t, legs, 2)
	assert.Equal(t, v(0, 0, -392), legs[0], "from 2 mm above the opening's top at 400, the box's bottom at 10")
	assert.LessOrEqual(t, legs[1].X, -(100.0 + 20 + 2 - 20), "the back of the box at 20 clears the tube's front at 120 by 2")
	assert.GreaterOrEqual(t, legs[1].X, -(400.0 - 2 - 210), "and its front keeps 2 from the side at 400")
	s.problem.Frame.Rails[0].Path = []r3.Vector{v(200, -150, 350), v(200, 150, 350)}
	a = s.plan(t)
	assert.False(t, a.GoesIn, "with the tube in the middle there is no room to either side of it")
	assert.Contains(t, a.Stuck.Obstacles, "cross tube")
	s.problem.Frame.Rails[0].Removable = true
	a = s.plan(t)
	assert.True(t, a.GoesIn)
	assert.Equal(t, []string{"cross tube"}, a.Order.Off())
}

// A tilted box between two slanted rails as far apart as it is high leaves along its
// own axis and no other.
func TestTiltedBoxLeavesAlongItsOwnAxis(t *testing.T) {
	// The opening is a parallelogram with sides that rise 3 for 4 forward; nose up by
	// atan(3/4) the box is parallel to it. Its back is open.
	const degrees = -36.86989764584402
	s := newStage(r2.Point{}, r2.Point{X: 400, Y: 300}, r2.Point{X: 340, Y: 380}, r2.Point{X: -60, Y: 80}).open(4).
		air(2).across(-50, 50).
		keepOut("left", v(-300, 50, -300), v(500, 60, 500)).
		keepOut("right", v(-300, -60, -300), v(500, -50, 500))
	// The outline is 100 high across its slope; the box is 98 and stands in the middle
	// between its sides: 40 and 30 times 4.75 along, 50·(−0.6, 0.8) across.
	c := v(190-30, 0, 142.5+40)
	half := v(150, 45, 49)
	s.tilted("b", c.Sub(half), c.Add(half), degrees)
	a := s.plan(t)
	require.True(t, a.GoesIn)
	legs := a.Order.Steps[0].Legs
	require.Len(t, legs, 1)
	direction := legs[0].Normalize()
	assert.InDelta(t, 0.8, direction.X, 1e-9)
	assert.InDelta(t, 0.6, direction.Z, 1e-9)
	assert.Equal(t, pack.Part{Box: "b", Number: 1}, a.Order.Steps[0].Part())
	s.problem.Frame.Opening.Open[3] = false
	a = s.plan(t)
	assert.False(t, a.GoesIn)
	assert.ElementsMatch(t, []string{"left", "right", "side 1", "side 2", "side 3", "side 4"}, a.Stuck.Obstacles)
}

func TestClosedOnAllSides(t *testing.T) {
	s := square(100).box("b", v(20, -20, 20), v(80, 20, 80)).across(-50, 50)
	a := s.plan(t)
	assert.True(t, a.GoesIn, "beyond the width the opening is open")
	assert.Len(t, a.Order.Steps[0].Legs, 1)
	s.keepOut("left", v(-10, 50, -10), v(110, 60, 110)).keepOut("right", v(-10, -60, -10), v(110, -50, 110))
	a = s.plan(t)
	assert.False(t, a.GoesIn)
	assert.ElementsMatch(t, []string{"left", "right", "side 1", "side 2", "side 3", "side 4"}, a.Stuck.Obstacles)
	assert.Equal(t, []string{"b 1"}, partNames(a.Stuck.Boxes))
}

func TestWallTouchedInPlaceMayBeSlidAlong(t *testing.T) {
	s := square(100).air(2).open(3).across(-50, 50).box("b", v(0, -50, 0), v(100, 50, 80)).
		keepOut("left", v(0, 50, 0), v(100, 60, 100)).keepOut("right", v(0, -60, 0), v(100, -50, 100))
	assert.True(t, s.plan(t).GoesIn, "it touches on all sides")
	s.keepOut("lip", v(99, -50, 90), v(110, 50, 100))
	assert.False(t, s.plan(t).GoesIn, "a lip in the way is no wall it touches")
}

func TestEmptyLayout(t *testing.T) {
	a := square(100).plan(t)
	assert.True(t, a.GoesIn)
	assert.True(t, a.Holds())
}

// A bar across the mouth of a pen, 10 above the case: the case passes under it, a
// post of 20 does not, and the box of one whose post is beside the bar does.
func TestPostsSweepToo(t *testing.T) {
	mouth := func(posts ...pack.Post) *stage {
		return square(200).across(-50, 50).air(2).
			keepOut("right", v(0, -60, 0), v(200, -50, 200)).
			keepOut("bar", v(90, 52, 110), v(110, 60, 120)).
			keepOut("cheeks", v(0, 52, 130), v(200, 60, 300)).
			box("a", v(2, -50, 0), v(198, 50, 100), posts...)
	}
	assert.True(t, mouth().plan(t).GoesIn)
	// The bar stands from 88 to 108 of the box's length, a post is 18 across: with the
	// air of 2 its axis is at 77 at most, or at 119 at least.
	for x, want := range map[float64]bool{77: true, 77.5: false, 98: false, 118.5: false, 119: true} {
		a := mouth(post("plus", pack.Top, x, 50)).plan(t)
		assert.Equal(t, want, a.GoesIn, "post at %v", x)
	}
}
