package entry

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/entry/ways"
)

// drawStage draws up to six boxes that do not overlap, keep-outs and rails beside
// them, and which sides are open.
func drawStage(t *rapid.T) *stage {
	s := square(300).air(2).across(0, 300)
	for side := range 4 {
		if rapid.Bool().Draw(t, "open") {
			s.open(side + 1)
		}
	}
	for n := range rapid.IntRange(1, 6).Draw(t, "boxes") {
		low := drawPoint(t, 0, 25)
		s.tryBox(string(rune('a'+n)), low, low.Add(drawPoint(t, 2, 12)))
	}
	for n := range rapid.IntRange(0, 6).Draw(t, "keep-outs") {
		low := drawPoint(t, -5, 30)
		s.tryKeepOut(fmt.Sprint("keep-out ", n), low, low.Add(drawPoint(t, 1, 25)), rapid.Bool().Draw(t, "lifts off"))
	}
	for n := range rapid.IntRange(0, 2).Draw(t, "rails") {
		s.tryRail(fmt.Sprint("rail ", n), drawPoint(t, -5, 35), drawPoint(t, -5, 35))
	}
	return s
}

// drawPoint draws a point with coordinates in tens of millimetres, lo to hi of them.
func drawPoint(t *rapid.T, lo, hi int) r3.Vector {
	c := rapid.Map(rapid.IntRange(lo, hi), func(n int) float64 { return float64(10 * n) })
	return v(c.Draw(t, "x"), c.Draw(t, "y"), c.Draw(t, "z"))
}

// sound tells whether no two things of the stage overlap.
func (s *stage) sound() bool {
	for _, r := range pack.Check(s.problem, s.layout).Relations {
		if r.Rule != pack.Wall && r.Gap < 0 {
			return false
		}
	}
	return true
}

func (s *stage) tryBox(name string, low, high r3.Vector) {
	kinds, placements := s.problem.Pack.Kinds, s.layout.Placements
	if s.box(name, low, high); !s.sound() {
		s.problem.Pack.Kinds, s.layout.Placements = kinds, placements
	}
}

func (s *stage) tryKeepOut(name string, low, high r3.Vector, lifts bool) {
	before := s.problem.Frame.KeepOuts
	s.keepOut(name, low, high)
	s.problem.Frame.KeepOuts[len(before)].LiftsOff = lifts
	if !s.sound() {
		s.problem.Frame.KeepOuts = before
	}
}

func (s *stage) tryRail(name string, from, to r3.Vector) {
	before := s.problem.Frame.Rails
	if from == to {
		return
	}
	if s.unbolts(name, 30, from, to); !s.sound() {
		s.problem.Frame.Rails = before
	}
}

func mustPlan(t *rapid.T, s *stage) Answer {
	a, err := Plan(context.Background(), s.problem, s.layout, Settings{})
	assert.NoError(t, err)
	return a
}

// Backwards, and with each leg reversed, an order takes everything out: each box goes
// past those that went in before it. What Verify says of the order says so too.
func TestLawAnOrderHoldsBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStage(t)
		a := mustPlan(t, s)
		if !a.GoesIn {
			assert.NotEmpty(t, a.Stuck.Boxes)
			return
		}
		faults, err := Verify(s.problem, s.layout, a.Order)
		assert.NoError(t, err)
		assert.Empty(t, faults)
		for n, step := range slices.Backward(a.Order.Steps) {
			undo, err := Undo(context.Background(), s.problem, s.layout, step.Part())
			assert.NoError(t, err)
			assert.LessOrEqual(t, len(undo), len(a.Order.Steps)-n, "those that went in later are enough")
			assert.Equal(t, step.Part(), undo[len(undo)-1].Part())
		}
	})
}

func TestLawRemovingAnObstacleBreaksNoOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStage(t)
		a := mustPlan(t, s)
		if !a.GoesIn || len(s.problem.Frame.KeepOuts) == 0 {
			return
		}
		n := rapid.IntRange(0, len(s.problem.Frame.KeepOuts)-1).Draw(t, "which")
		gone := s.problem.Frame.KeepOuts[n].Name
		s.problem.Frame.KeepOuts = slices.Delete(s.problem.Frame.KeepOuts, n, n+1)
		for i := range a.Order.Steps {
			off := a.Order.Steps[i].Off
			a.Order.Steps[i].Off = slices.DeleteFunc(slices.Clone(off), func(name string) bool { return name == gone })
		}
		faults, err := Verify(s.problem, s.layout, a.Order)
		assert.NoError(t, err)
		assert.Empty(t, faults)
		after := mustPlan(t, s)
		assert.True(t, after.GoesIn)
		assert.LessOrEqual(t, len(after.Order.Off()), len(a.Order.Off()))
	})
}

// Axis-parallel boxes that nothing else stands around come out along any one axis
// (derived: along one axis they never block each other in a circle).
func TestLawBoxesAloneComeOutAlongAnyAxis(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStage(t).open(1, 2, 3, 4)
		s.problem.Frame.KeepOuts, s.problem.Frame.Rails = nil, nil
		side := rapid.IntRange(0, 5).Draw(t, "side")
		p, err := newPlanner(context.Background(), s.problem, s.layout)
		assert.NoError(t, err)
		out, left := p.takeApart(p.all(), side, nil)
		assert.True(t, left.Empty())
		for _, r := range out {
			assert.Len(t, r.way.Legs, 1)
			assert.Equal(t, side, p.leaves(r))
			assert.Positive(t, r.way.Legs[0].Dot(ways.Vehicle()[side]))
		}
		assert.True(t, mustPlan(t, s).GoesIn)
	})
}

// only returns the stage with nothing but these boxes, and of the keep-outs, rails and
// closed sides those named.
func (s *stage) only(boxes []pack.Part, obstacles []string) *stage {
	has := func(name string) bool { return slices.Contains(obstacles, name) }
	f := *s.problem.Frame
	f.KeepOuts = slices.DeleteFunc(slices.Clone(f.KeepOuts), func(k frame.KeepOut) bool { return !has(k.Name) })
	f.Rails = slices.DeleteFunc(slices.Clone(f.Rails), func(r frame.Rail) bool { return !has(r.Name) })
	f.Opening.Open = slices.Clone(f.Opening.Open)
	for n, name := range f.Opening.Sides {
		f.Opening.Open[n] = !has(name)
	}
	less := &stage{problem: pack.Problem{Frame: &f, Pack: s.problem.Pack}}
	for _, p := range s.layout.Placements {
		if slices.Contains(boxes, pack.Part{Box: p.Box, Number: p.Number}) {
			less.layout.Placements = append(less.layout.Placements, p)
		}
	}
	return less
}

func without[T comparable](list []T, n int) []T {
	return slices.Delete(slices.Clone(list), n, n+1)
}

// What is named as stuck is stuck by itself, and nothing of it can be left out.
func TestLawStuckNamesNoMoreThanItMust(t *testing.T) {
	stuck := 0
	rapid.Check(t, func(t *rapid.T) {
		s := drawStage(t)
		s.keepOut("left", v(-50, 310, -50), v(350, 320, 350)).keepOut("right", v(-50, -20, -50), v(350, -10, 350))
		a := mustPlan(t, s)
		if a.GoesIn {
			return
		}
		stuck++
		boxes, obstacles := a.Stuck.Boxes, a.Stuck.Obstacles
		assert.Equal(t, a.Stuck, mustPlan(t, s.only(boxes, obstacles)).Stuck)
		for n := range boxes {
			assert.True(t, mustPlan(t, s.only(without(boxes, n), obstacles)).GoesIn, "without %v", boxes[n])
		}
		for n := range obstacles {
			assert.True(t, mustPlan(t, s.only(boxes, without(obstacles, n))).GoesIn, "without %v", obstacles[n])
		}
	})
	if !testing.Short() { // then rapid draws too few for one to be sure to be stuck
		assert.Positive(t, stuck)
	}
}

// With more air asked for, and with everything at its worst, no more goes in.
func TestLawMoreAirNoMoreOrders(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStage(t)
		before := mustPlan(t, s)
		after := mustPlan(t, s.air(2+float64(rapid.IntRange(1, 20).Draw(t, "more"))))
		assert.True(t, before.GoesIn || !after.GoesIn)
	})
}

// The same layout gives the same answer, and the order of its boxes does not matter
// for whether it goes in.
func TestLawRepeatable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStage(t)
		a := mustPlan(t, s)
		assert.Equal(t, a, mustPlan(t, s))
		slices.Reverse(s.layout.Placements)
		assert.Equal(t, a.GoesIn, mustPlan(t, s).GoesIn)
	})
}

// The short question has the answer of the long one.
func TestLawHoldsIsPlansAnswer(t *testing.T) {
	held := map[bool]int{}
	rapid.Check(t, func(t *rapid.T) {
		s := drawStage(t)
		for i := range s.problem.Pack.Kinds {
			k := &s.problem.Pack.Kinds[i]
			for n := range rapid.IntRange(0, 2).Draw(t, "posts") {
				face := rapid.SampledFrom([]pack.Face{pack.Front, pack.Back, pack.Left, pack.Right, pack.Top, pack.Bottom}).Draw(t, "face")
				k.Posts = append(k.Posts, pack.Post{Name: fmt.Sprint("post ", n), Face: face, At: r2.Point{X: 10, Y: 10}, Diameter: 6, Height: 4})
			}
		}
		if rapid.Bool().Draw(t, "closed across") {
			s.keepOut("left", v(-50, 310, -50), v(350, 320, 350)).keepOut("right", v(-50, -20, -50), v(350, -10, 350))
		}
		ok, err := Holds(context.Background(), s.problem, s.layout, Settings{})
		require.NoError(t, err)
		require.Equal(t, mustPlan(t, s).Holds(), ok)
		held[ok]++
	})
	if !testing.Short() {
		require.Len(t, held, 2, "both answers occur")
	}
}
