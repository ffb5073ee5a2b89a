package entry

import (
	"context"
	"fmt"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// stage is a problem and a layout under construction: each box is a kind of its own,
// named by a letter, unless it says otherwise.
type stage struct {
	problem pack.Problem
	layout  pack.Layout
}

// newStage returns an opening with these corners in the side view, 1000 wide, with no
// gap required and no air; all of its sides are closed.
func newStage(corners ...r2.Point) *stage {
	f := &frame.Frame{Opening: frame.Opening{
		Outline:  geom.Polygon{Corners: corners},
		Stations: []frame.Station{{Across: r1.Interval{Lo: -500, Hi: 500}}},
		Open:     make([]bool, len(corners)),
	}}
	for i := range corners {
		f.Opening.Sides = append(f.Opening.Sides, fmt.Sprintf("side %d", i+1))
	}
	return &stage{problem: pack.Problem{Frame: f, Pack: &pack.Pack{}}}
}

// square returns a stage with an opening from 0 to size both ways: side 1 is the
// bottom, then the front, the top and the back.
func square(size float64) *stage {
	return newStage(r2.Point{}, r2.Point{X: size}, r2.Point{X: size, Y: size}, r2.Point{Y: size})
}

func (s *stage) open(sides ...int) *stage {
	for _, n := range sides {
		s.problem.Frame.Opening.Open[n-1] = true
	}
	return s
}

func (s *stage) air(mm float64) *stage {
	s.problem.Pack.Gaps.Entry = mm
	return s
}

func (s *stage) across(lo, hi float64) *stage {
	s.problem.Frame.Opening.Stations = []frame.Station{{Across: r1.Interval{Lo: lo, Hi: hi}}}
	return s
}

// box adds an upright box between two corners.
func (s *stage) box(name string, low, high r3.Vector, posts ...pack.Post) *stage {
	return s.tilted(name, low, high, 0, posts...)
}

func (s *stage) tilted(name string, low, high r3.Vector, degrees float64, posts ...pack.Post) *stage {
	s.problem.Pack.Kinds = append(s.problem.Pack.Kinds, pack.Kind{
		Name: name, Count: 1, Size: high.Sub(low), Posts: posts, Mass: 1,
		Stands: []pack.Stand{pack.Upright}, Tilts: []s1.Angle{s1.Angle(degrees) * s1.Degree},
	})
	s.layout.Placements = append(s.layout.Placements, pack.Placement{
		Box: name, Number: 1, Centre: low.Add(high).Mul(0.5),
		Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front, Tilt: s1.Angle(degrees) * s1.Degree},
	})
	return s
}

func (s *stage) mass(name string, kg float64) *stage {
	for i := range s.problem.Pack.Kinds {
		if s.problem.Pack.Kinds[i].Name == name {
			s.problem.Pack.Kinds[i].Mass = kg
		}
	}
	return s
}

func (s *stage) keepOut(name string, low, high r3.Vector) *stage {
	s.problem.Frame.KeepOuts = append(s.problem.Frame.KeepOuts, frame.KeepOut{
		Name: name, Box: &frame.Corners{Low: low, High: high},
	})
	return s
}

func (s *stage) lifts(name string, low, high r3.Vector) *stage {
	s.keepOut(name, low, high)
	s.problem.Frame.KeepOuts[len(s.problem.Frame.KeepOuts)-1].LiftsOff = true
	return s
}

func (s *stage) rail(name string, diameter float64, path ...r3.Vector) *stage {
	s.problem.Frame.Rails = append(s.problem.Frame.Rails, frame.Rail{Name: name, Diameter: diameter, Path: path})
	return s
}

func (s *stage) unbolts(name string, diameter float64, path ...r3.Vector) *stage {
	s.rail(name, diameter, path...)
	s.problem.Frame.Rails[len(s.problem.Frame.Rails)-1].Removable = true
	return s
}

func (s *stage) plan(t *testing.T) Answer {
	t.Helper()
	a, err := Plan(context.Background(), s.problem, s.layout, Settings{})
	require.NoError(t, err)
	ok, stuck, err := GoesIn(context.Background(), s.problem, s.layout)
	require.NoError(t, err)
	require.Equal(t, a.GoesIn, ok)
	require.Equal(t, a.Stuck, stuck)
	if a.GoesIn {
		faults, err := Verify(s.problem, s.layout, a.Order)
		require.NoError(t, err)
		require.Empty(t, faults)
		reach, err := Reaches(s.problem, s.layout, a.Order, Settings{})
		require.NoError(t, err)
		require.Equal(t, a.Reach, reach)
	}
	return a
}

func v(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// names returns the boxes of an order, first in first.
func names(o Order) string {
	text := ""
	for _, s := range o.Steps {
		text += s.Box
	}
	return text
}

func partNames(parts []pack.Part) []string {
	var list []string
	for _, p := range parts {
		list = append(list, p.String())
	}
	return list
}
