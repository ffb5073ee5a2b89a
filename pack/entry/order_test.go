package entry

import (
	"context"
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
	"rackwright/pack"
)

func TestLowAndHeavyFirst(t *testing.T) {
	s := square(400).open(3).
		box("a", v(0, -50, 100), v(100, 50, 200)).
		box("b", v(0, -50, 0), v(100, 50, 100)).
		box("c", v(100, -50, 0), v(200, 50, 100)).
		box("d", v(200, -50, 0), v(300, 50, 100)).
		mass("c", 30).mass("d", 20)
	assert.Equal(t, "cdba", names(s.plan(t).Order), "a is above; of those on the floor c, d, b by mass")
}

// The upper box needs two legs, the lower one only one. The lower goes in first all
// the same, for the upper one stands on it.
func TestWhatCarriesGoesInFirst(t *testing.T) {
	s := square(400).across(-50, 50).
		keepOut("left", v(0, 50, 0), v(400, 60, 400)).keepOut("lip", v(0, -60, 100), v(150, -50, 300)).
		box("upper", v(10, -50, 100), v(110, 50, 200)).box("lower", v(10, -50, 0), v(110, 50, 98))
	a := s.plan(t)
	require.True(t, a.GoesIn)
	assert.Equal(t, "lowerupper", names(a.Order))
	assert.Len(t, a.Order.Steps[0].Legs, 1)
	assert.Len(t, a.Order.Steps[1].Legs, 2)
}

// Everything could leave on the left but one box; all but that come in from one side.
func TestFromOneSide(t *testing.T) {
	s := square(400).open(3).across(-200, 200).
		box("a", v(0, -150, 0), v(100, -50, 100)).box("b", v(0, 50, 0), v(100, 150, 100)).
		box("c", v(150, -50, 0), v(250, 50, 100)).
		keepOut("engine", v(150, 60, 0), v(250, 160, 500))
	a := s.plan(t)
	require.True(t, a.GoesIn)
	for _, step := range a.Order.Steps {
		assert.Equal(t, []r3.Vector{{Y: step.Legs[0].Y}}, step.Legs)
		assert.Positive(t, step.Legs[0].Y, "%s from the right, the one side free for all", step.Box)
	}
}

// Two ways out, each shut by a thing: the fewest are off, the first in the file.
func TestFewestThingsOff(t *testing.T) {
	s := square(200).open(3).air(2).across(-50, 50).
		lifts("seat", v(0, -50, 210), v(200, 50, 230)).
		lifts("tank", v(0, -50, 240), v(200, 50, 260)).
		lifts("cover", v(0, 50, 0), v(200, 60, 200)).
		lifts("flap", v(0, -60, 0), v(200, -50, 200)).
		box("a", v(10, -40, 10), v(190, 40, 90))
	a := s.plan(t)
	require.True(t, a.GoesIn)
	assert.Equal(t, []string{"cover"}, a.Order.Off(), "not both seat and tank")
	assert.Equal(t, []string{"cover"}, a.Order.Steps[0].Off)
	s.problem.Frame.KeepOuts = s.problem.Frame.KeepOuts[:2]
	a = s.plan(t)
	assert.Empty(t, a.Order.Off(), "nothing has to be off when the sides are free")
}

// What is off for one box is on again for the other.
func TestOffOnlyForTheStepThatNeedsIt(t *testing.T) {
	s := square(200).air(2).across(-50, 50).
		keepOut("left", v(0, 50, 0), v(100, 60, 200)).keepOut("right", v(0, -60, 0), v(100, -50, 200)).
		lifts("cover", v(0, -50, 210), v(100, 50, 220)).open(3).
		keepOut("wall", v(100, -60, 0), v(105, 60, 300)).
		box("a", v(10, -40, 10), v(90, 40, 90)).box("b", v(110, -40, 10), v(190, 40, 90))
	a := s.plan(t)
	require.True(t, a.GoesIn)
	for _, step := range a.Order.Steps {
		if step.Box == "a" {
			assert.Equal(t, []string{"cover"}, step.Off)
		} else {
			assert.Empty(t, step.Off)
		}
	}
}

func TestUndoPastABoxOutside(t *testing.T) {
	s := twoInAPen().box("c", v(10, -40, 250), v(190, 40, 300))
	steps, err := Undo(context.Background(), s.problem, s.layout, pack.Part{Box: "b", Number: 1})
	require.NoError(t, err)
	require.Len(t, steps, 2)
	assert.Equal(t, "c", steps[0].Box)
	assert.Empty(t, steps[0].Off, "c leaves over the top of the plates with the tank in place")
	assert.Equal(t, []string{"tank"}, steps[1].Off)
}

func TestUndoOfAStack(t *testing.T) {
	s := twoInAPen()
	part := pack.Part{Box: "a", Number: 1}
	steps, err := Undo(context.Background(), s.problem, s.layout, part)
	require.NoError(t, err)
	require.Len(t, steps, 2)
	assert.Equal(t, "b", steps[0].Box)
	assert.Equal(t, part, steps[1].Part())
	assert.Equal(t, []string{"tank"}, steps[1].Off)
	assert.Positive(t, steps[1].Legs[0].Z, "legs lead out")
	steps, err = Undo(context.Background(), s.problem, s.layout, pack.Part{Box: "b", Number: 1})
	require.NoError(t, err)
	assert.Len(t, steps, 1)
	_, err = Undo(context.Background(), s.problem, s.layout, pack.Part{Box: "x", Number: 1})
	assert.EqualError(t, err, "the layout has no x 1")
	s = ring("")
	steps, err = Undo(context.Background(), s.problem, s.layout, part)
	require.NoError(t, err)
	assert.Empty(t, steps, "a box that never comes out")
}

// Two boxes or one in the way: one comes out.
func TestUndoTakesTheFewest(t *testing.T) {
	s := square(400).open(3).across(0, 100).
		keepOut("left", v(0, 100, 0), v(400, 110, 400)).keepOut("right", v(0, -10, 0), v(400, 0, 400)).
		box("a", v(0, 0, 0), v(100, 100, 100)).
		box("b", v(0, 0, 100), v(100, 100, 200)).box("c", v(0, 0, 200), v(100, 100, 300)).
		box("d", v(100, 0, 0), v(200, 100, 150)).box("e", v(300, 0, 0), v(400, 100, 10))
	steps, err := Undo(context.Background(), s.problem, s.layout, pack.Part{Box: "a", Number: 1})
	require.NoError(t, err)
	require.Len(t, steps, 2)
	assert.Equal(t, "d", steps[0].Box, "a goes forward where d was, and up")
}

func TestLayoutsThatAreNone(t *testing.T) {
	s := twoInAPen()
	for name, spoil := range map[string]func(*pack.Placement){
		"unknown box":      func(p *pack.Placement) { p.Box = "x" },
		"not a number":     func(p *pack.Placement) { p.Centre.X = math.NaN() },
		"up and front":     func(p *pack.Placement) { p.Front = pack.Bottom },
		"twice the number": func(p *pack.Placement) { p.Box = "b" },
	} {
		layout := pack.Layout{Placements: append([]pack.Placement(nil), s.layout.Placements...)}
		spoil(&layout.Placements[0])
		_, err := Plan(context.Background(), s.problem, layout, Settings{})
		assert.Error(t, err, name)
		_, _, err = GoesIn(context.Background(), s.problem, layout)
		assert.Error(t, err, name)
		_, err = Reaches(s.problem, layout, Order{}, Settings{})
		assert.Error(t, err, name)
		_, err = Verify(s.problem, layout, Order{})
		assert.Error(t, err, name)
		_, err = Undo(context.Background(), s.problem, layout, pack.Part{Box: "a", Number: 1})
		assert.Error(t, err, name)
	}
}

func TestWords(t *testing.T) {
	for want, legs := range map[string][]r3.Vector{
		"slide in from the left 310 mm, then down 42 mm":                                      {{Y: -310}, {Z: -42}},
		"slide in from the right 10 mm, then to the left 5 mm":                                {{Y: 10}, {Y: 5}},
		"slide in from the front 200 mm, then up 1 mm":                                        {{X: -200}, {Z: 1}},
		"slide in from the back 200 mm, then backward 1 mm":                                   {{X: 200}, {X: -1}},
		"lower in 400 mm, then forward 12 mm, then to the right 7 mm":                         {{Z: -400}, {X: 12}, {Y: -7}},
		"lift in from below 90 mm":                                                            {{Z: 90}},
		"slide in from the back, 36.9° upward, 500 mm":                                        {{X: 400, Z: 300}},
		"lower in, 36.9° forward of plumb, 500 mm, then down, 5.71° backward of plumb, 10 mm": {{X: 300, Z: -400}, {X: -0.995037190, Z: -9.95037190}},
	} {
		assert.Equal(t, want, Step{Legs: legs}.Words(geom.Millimetre))
	}
	step := Step{Legs: []r3.Vector{{Z: -10}}, Off: []string{"tank", "seat", "down-tube"}}
	assert.Equal(t, "lower in 10 mm, with tank, seat and down-tube off", step.Words(geom.Millimetre))
	assert.Empty(t, Step{}.Words(geom.Millimetre))
}

func TestWordsOfPostsAndOfWhatIsStuck(t *testing.T) {
	part := func(box string, n int) pack.Part { return pack.Part{Box: box, Number: n} }
	minus := pack.Part{Box: "battery", Number: 2, Post: "minus"}
	for want, r := range map[string]Reach{
		"": {Post: minus},
		"connect battery 2 minus before battery 4 goes in":                                                 {Post: minus, When: Before, Boxes: []pack.Part{part("battery", 4), part("battery", 3)}},
		"connect battery 2 minus with tank off, before battery 4 goes in":                                  {Post: minus, When: Before, Boxes: []pack.Part{part("battery", 4)}, Things: []string{"tank"}},
		"battery 2 minus cannot be reached with the tool: in the way is down-tube":                         {Post: minus, When: Never, Things: []string{"down-tube"}},
		"battery 2 minus cannot be reached with the tool: in the way are charger 1 and another post of it": {Post: minus, When: Never, Boxes: []pack.Part{part("charger", 1), part("battery", 2)}},
	} {
		assert.Equal(t, want, r.Words())
	}
	for want, s := range map[string]Stuck{
		"": {},
		"battery 1 cannot come out past down-tube, tank and belly":          {Boxes: []pack.Part{part("battery", 1)}, Obstacles: []string{"down-tube", "tank", "belly"}},
		"battery 1 and charger 1 block each other, with down-tube and tank": {Boxes: []pack.Part{part("battery", 1), part("charger", 1)}, Obstacles: []string{"down-tube", "tank"}},
		"battery 1 and battery 2 block each other":                          {Boxes: []pack.Part{part("battery", 1), part("battery", 2)}},
	} {
		assert.Equal(t, want, s.Words())
	}
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	s := twoInAPen()
	_, err := Plan(ctx, s.problem, s.layout, Settings{})
	assert.ErrorIs(t, err, context.Canceled)
	_, _, err = GoesIn(ctx, s.problem, s.layout)
	assert.ErrorIs(t, err, context.Canceled)
	_, err = Undo(ctx, s.problem, s.layout, pack.Part{Box: "a", Number: 1})
	assert.ErrorIs(t, err, context.Canceled)
}

// Wherever its context ends, Plan gives an order that holds or the error of the context.
func TestPlanThatIsEnded(t *testing.T) {
	s := square(400).open(3).across(-200, 200).
		lifts("seat", v(0, -50, 410), v(400, 50, 430)).
		box("a", v(0, -150, 0), v(100, -50, 100)).box("b", v(0, 50, 0), v(100, 150, 100)).
		box("c", v(150, -50, 0), v(250, 50, 100)).box("d", v(150, -50, 100), v(250, 50, 200)).
		keepOut("engine", v(150, 60, 0), v(250, 160, 500))
	ended, cancel := context.WithCancel(context.Background())
	cancel()
	given := 0
	for asked := range 200 {
		a, err := Plan(Late(ended, asked), s.problem, s.layout, Settings{})
		if err != nil {
			require.ErrorIs(t, err, context.Canceled)
			continue
		}
		given++
		require.True(t, a.GoesIn)
		faults, err := Verify(s.problem, s.layout, a.Order)
		require.NoError(t, err)
		require.Empty(t, faults, asked)
	}
	require.Positive(t, given)
	require.Less(t, given, 200)
}
