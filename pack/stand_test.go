package pack

import (
	"math"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
)

// shelves is a bay of 1 m with cubes of 100 mm that weigh 10 kg, and slabs of 100 × 60 ×
// 40 mm that weigh 4 kg. A cube carries 8 kg.
func shelves(cubes, slabs int) Problem {
	cube, slab := kindOf("cube", cubes, 100, 100, 100), kindOf("slab", slabs, 100, 60, 40)
	cube.Mass, cube.Carries, slab.Mass = 10, 8, 4
	p := problemOf(bay(), cube, slab)
	p.Pack.Gaps = DefaultGaps()
	return p
}

// bay is a metre long and high, and as wide on either side of the middle.
func bay() *frame.Frame {
	return openingOf([]r2.Point{{}, {X: 1000}, {X: 1000, Y: 1000}, {Y: 1000}}, -500, 500)
}

func part(box string, number int) Part { return Part{Box: box, Number: number} }

// faultsOf are the rules and boxes of what keeps boxes from standing.
func faultsOf(s Standing) map[Part]FaultRule {
	rules := map[Part]FaultRule{}
	for _, f := range s.Faults {
		rules[f.Part] = f.Rule
	}
	return rules
}

// The tray takes 6 mm above the floor, and above another box that carries nothing.
func TestATrayNeedsItsRoom(t *testing.T) {
	p := shelves(2, 0)
	p.Pack.Kinds[0].Carries = 0
	for name, c := range map[string]struct {
		low, high float64 // of the undersides
		want      map[Part]FaultRule
	}{
		"just enough":           {6, 112, map[Part]FaultRule{}},
		"too near to the floor": {5.99, 112, map[Part]FaultRule{part("cube", 1): NoTrayRoom}},
		"too near to the box":   {6, 111.99, map[Part]FaultRule{part("cube", 2): NoTrayRoom}},
	} {
		t.Run(name, func(t *testing.T) {
			s := StandingOf(p, layoutOf(upright("cube", 1, 200, 0, 50+c.low), upright("cube", 2, 250, 0, 50+c.high)))
			require.Equal(t, c.want, faultsOf(s))
			require.Equal(t, len(c.want) == 0, s.Stands())
			require.Len(t, s.Levels, 2)
			f, ok := s.Footing("cube", 2)
			require.True(t, ok)
			require.Equal(t, "cube 1", f.Under[0].Part.String())
			require.InDelta(t, c.high-c.low-100, f.Under[0].Distance, 1e-9)
			require.InDelta(t, c.high, f.Under[1].Distance, 1e-9, "the floor")
		})
	}
}

// A keep-out and a rail below count as the floor does. Beside the box they do not.
func TestATrayNeedsRoomOverTheFrame(t *testing.T) {
	p := shelves(1, 0)
	p.Frame.KeepOuts = []frame.KeepOut{{Name: "motor", Box: &frame.Corners{Low: r3.Vector{X: 100, Y: -50, Z: 0}, High: r3.Vector{X: 200, Y: 50, Z: 80}}}}
	p.Frame.Rails = []frame.Rail{{Name: "tube", Path: []r3.Vector{{X: 500, Y: -500, Z: 40}, {X: 500, Y: 500, Z: 40}}, Diameter: 20}}
	for name, c := range map[string]struct {
		x, low float64
		stands bool
		under  string
		mm     float64
	}{
		"over the motor":        {199, 86, true, "motor", 6},
		"too near to the motor": {199, 85.9, false, "motor", 5.9},
		"beside the motor":      {250, 6, true, "side 1", 6},
		"over the tube":         {500, 56, true, "tube", 6},
		"too near to the tube":  {500, 55.9, false, "tube", 5.9},
		"beside the tube":       {561, 6, true, "side 1", 6},
		// Its edge is 5 mm from the middle of the tube: down to it there are
		// 16 − √(10² − 5²) mm, 16 mm being from the middle to the underside.
		"partly over the tube": {555, 56, true, "tube", 16 - math.Sqrt(75)},
	} {
		t.Run(name, func(t *testing.T) {
			s := StandingOf(p, layoutOf(upright("cube", 1, c.x, 0, 50+c.low)))
			require.Equal(t, c.stands, s.Stands(), s.Faults)
			require.Equal(t, c.under, s.Boxes[0].Under[0].Part.String())
			require.InDelta(t, c.mm, s.Boxes[0].Under[0].Distance, 1e-4)
		})
	}
}

// Half a millimetre makes a level, and not each step of a stair.
func TestLevels(t *testing.T) {
	p := shelves(4, 0)
	s := StandingOf(p, layoutOf(upright("cube", 1, 100, 0, 60), upright("cube", 2, 300, 0, 60.5), upright("cube", 3, 500, 0, 61), upright("cube", 4, 700, 0, 60.25)))
	require.Equal(t, []Level{
		{Height: 10, Normal: r3.Vector{Z: 1}, Boxes: []Part{part("cube", 1), part("cube", 2), part("cube", 4)}},
		{Height: 11, Normal: r3.Vector{Z: 1}, Boxes: []Part{part("cube", 3)}},
	}, s.Levels)
	require.True(t, s.Stands())
}

// Boxes of one tilt share a level along the plane's normal: by hand, the second stands
// 150 mm further along a plane that falls forward by 10°.
func TestTiltedLevel(t *testing.T) {
	p := shelves(2, 0)
	p.Pack.Kinds[0].Tilts = []s1.Angle{0, 10 * s1.Degree}
	sin, cos := math.Sincos(10 * math.Pi / 180)
	at := func(n int, along float64) Placement {
		pl := upright("cube", n, 300+along*cos, 0, 300-along*sin)
		pl.Tilt = 10 * s1.Degree
		return pl
	}
	s := StandingOf(p, layoutOf(at(1, 0), at(2, 150)))
	require.Len(t, s.Levels, 1)
	l := s.Levels[0]
	require.InDelta(t, 10, l.Tilt.Degrees(), 1e-9)
	require.InDelta(t, 300*cos+300*sin-50, l.Height, 1e-9)
	require.Equal(t, Bottom, s.Boxes[0].Down)
	require.InDelta(t, 50, s.Boxes[0].Beside[0].Distance, 1e-9, "the other cube ahead, along the plane")
	require.Equal(t, Ahead, s.Boxes[0].Beside[0].Side)
	// Down along the normal the lower front edge comes to the floor first.
	low := 300 - 50*sin - 50*cos
	require.InDelta(t, low/cos, s.Boxes[0].Under[0].Distance, 1e-9)

	level := at(2, 150)
	level.Tilt = 0
	require.Len(t, StandingOf(p, layoutOf(at(1, 0), level)).Levels, 2, "another tilt is another level")
}

// A box that stands on its front end at a tilt beyond 45° lies on another face.
func TestTheFaceThatLooksDown(t *testing.T) {
	for name, c := range map[string]struct {
		up, front Face
		tilt      s1.Angle
		want      Face
	}{
		"upright":            {Top, Front, 0, Bottom},
		"inverted":           {Bottom, Front, 0, Top},
		"on its left":        {Right, Front, 0, Left},
		"at 45°, opposite":   {Top, Front, 45 * s1.Degree, Bottom},
		"at 50° nose down":   {Top, Front, 50 * s1.Degree, Front},
		"at 50° nose up":     {Top, Left, -50 * s1.Degree, Right},
		"on its end, by 30°": {Back, Top, 30 * s1.Degree, Front},
	} {
		t.Run(name, func(t *testing.T) {
			down, up := lowest(Orientation{Up: c.up, Front: c.front, Tilt: c.tilt})
			require.Equal(t, c.want, down)
			require.InDelta(t, 1, up.Norm(), 1e-12)
			require.GreaterOrEqual(t, up.Z, math.Sqrt2/2-1e-9)
		})
	}
}

// No box stands on its posts, flush ones included.
func TestAPostBelow(t *testing.T) {
	p := shelves(1, 0)
	p.Pack.Kinds[0].Posts = []Post{{Name: "plus", Face: Top, At: r2.Point{X: 50, Y: 50}, Diameter: 10}}
	over := upright("cube", 1, 200, 0, 300)
	require.True(t, StandingOf(p, layoutOf(over)).Stands())
	over.Orientation = Orientation{Up: Bottom, Front: Front}
	require.Equal(t, map[Part]FaultRule{part("cube", 1): PostBelow}, faultsOf(StandingOf(p, layoutOf(over))))
}

// Each rule of carrying by itself. The cube stands 6 mm above the floor; the slab's
// underside is 6 mm above its top where nothing else is said.
func TestCarrying(t *testing.T) {
	const top = 106.0
	for name, c := range map[string]struct {
		change func(p *Problem)
		x, gap float64
		on     bool
	}{
		"in the middle":                     {nil, 200, 6, true},
		"without foam":                      {nil, 200, 0, true},
		"over a plank":                      {nil, 200, 30, true},
		"over too much":                     {nil, 200, 30.1, false},
		"its middle within by a tenth":      {nil, 240, 6, true}, // the edge is at 250, a tenth of 100 is 10
		"its middle nearer to the edge":     {nil, 240.1, 6, false},
		"that carries nothing":              {func(p *Problem) { p.Pack.Kinds[0].Carries = 0 }, 200, 6, false},
		"that carries just it":              {func(p *Problem) { p.Pack.Kinds[0].Carries = 4 }, 200, 6, true},
		"that carries less":                 {func(p *Problem) { p.Pack.Kinds[0].Carries = 3.9 }, 200, 6, false},
		"of unknown mass":                   {func(p *Problem) { p.Pack.Kinds[1].Mass = 0 }, 200, 6, false},
		"on a post":                         {postAt(10, 50), 200, 6, false},
		"a post that it does not reach":     {postAt(10, 50), 223.1, 6, true}, // the post ends at 165, its boot at 168; the slab begins at 173.1
		"a post that its boot just reaches": {postAt(10, 50), 217.9, 6, false},
		"a post at the side":                {func(p *Problem) { postAt(10, 50)(p); p.Pack.Kinds[0].Posts[0].Face = Front }, 200, 6, true},
	} {
		t.Run(name, func(t *testing.T) {
			p := shelves(1, 1)
			if c.change != nil {
				c.change(&p)
			}
			s := StandingOf(p, layoutOf(upright("cube", 1, 200, 0, 56), upright("slab", 1, c.x, 0, top+c.gap+20)))
			f, _ := s.Footing("slab", 1)
			if !c.on {
				require.Empty(t, f.On)
				require.Equal(t, 1, f.Level)
				require.True(t, s.Stands(), "there is room for a tray of its own")
				return
			}
			require.Equal(t, []Part{part("cube", 1)}, f.On)
			require.Equal(t, -1, f.Level)
			require.Len(t, s.Levels, 1)
			require.True(t, s.Stands())
		})
	}
}

// postAt gives the cube a post on its top.
func postAt(x, y float64) func(*Problem) {
	return func(p *Problem) {
		p.Pack.Kinds[0].Posts = []Post{{Name: "plus", Face: Top, At: r2.Point{X: x, Y: y}, Diameter: 10}}
	}
}

// Two boxes carry a third across the gap between them, where neither could alone; one that
// is a millimetre lower does not help.
func TestTwoCarry(t *testing.T) {
	p := shelves(2, 1)
	bridge := upright("slab", 1, 250, 0, 132)
	require.Equal(t, []Part{part("cube", 1), part("cube", 2)},
		StandingOf(p, layoutOf(upright("cube", 1, 190, 0, 56), upright("cube", 2, 310, 0, 56.5), bridge)).Boxes[2].On)
	require.Empty(t, StandingOf(p, layoutOf(upright("cube", 1, 190, 0, 55), upright("cube", 2, 310, 0, 56), bridge)).Boxes[2].On)
}

// What a carried box carries weighs on what carries it: 4 kg and 4 kg are 8, a third slab
// is too much and, without room for a tray, does not stand.
func TestLoadsAddUp(t *testing.T) {
	p := shelves(1, 3)
	p.Pack.Kinds[1].Carries = 100
	stack := []Placement{upright("cube", 1, 200, 0, 56), upright("slab", 1, 200, 0, 130), upright("slab", 2, 200, 0, 174)}
	s := StandingOf(p, layoutOf(stack...))
	require.Equal(t, []Part{part("cube", 1)}, s.Boxes[1].On)
	require.Equal(t, []Part{part("slab", 1)}, s.Boxes[2].On)
	s = StandingOf(p, layoutOf(append(stack, upright("slab", 3, 200, 0, 218))...))
	require.Equal(t, map[Part]FaultRule{part("slab", 1): NoTrayRoom}, faultsOf(s), "the lowest of the slabs brings 12 kg")
	require.Contains(t, s.Faults[0].Text, "carries at most 8 kg, and with it there would be 12 kg on it")
}

// Posts near a tray are named: those of its own boxes and of those below, with the distance.
func TestTraysStayBackFromPosts(t *testing.T) {
	p := shelves(1, 1)
	p.Pack.Kinds[0].Posts = []Post{{Name: "plus", Face: Front, At: r2.Point{X: 50, Y: 90}, Diameter: 10, Height: 5}}
	s := StandingOf(p, layoutOf(upright("cube", 1, 200, 0, 56), upright("slab", 1, 260, 0, 106+20+20)))
	require.Len(t, s.Levels, 2)
	plus := Part{Box: "cube", Number: 1, Post: "plus"}
	require.Len(t, s.Back, 1)
	require.Equal(t, plus, s.Back[0].Post)
	require.Equal(t, 1, s.Back[0].Level)
	require.InDelta(t, 126-6-101, s.Back[0].Distance, 1e-9) // underside, less the tray, less the upper edge of the post
	p.Pack.Gaps.Post = 19
	require.Empty(t, StandingOf(p, layoutOf(upright("cube", 1, 200, 0, 56), upright("slab", 1, 260, 0, 146))).Back)
}

// How far a cube can move until it meets a slanted face, by hand: with a face that falls
// away at 60° from the horizontal, from a distance of d the way straight down is d/cos 60°.
func TestTravelToASlantedFace(t *testing.T) {
	f := openingOf([]r2.Point{{X: 0, Y: 0}, {X: 300, Y: 0}, {X: 600, Y: 300 * math.Sqrt(3)}, {X: 0, Y: 300 * math.Sqrt(3)}}, -500, 500)
	p := problemOf(f, kindOf("cube", 1, 100, 100, 100))
	s := StandingOf(p, layoutOf(upright("cube", 1, 300, 0, 200)))
	// The edge at (350, 150): across to the face at z = 150 there are 300 + 150/√3 − 350 mm.
	across := 150/math.Sqrt(3) - 50
	under := s.Boxes[0].Under[0]
	require.Equal(t, "side 2", under.Part.String())
	require.InDelta(t, across*math.Sqrt(3), under.Distance, 0.01) // the frame is snapped to the lattice
	require.Equal(t, Ahead, s.Boxes[0].Beside[0].Side)
	require.InDelta(t, across, s.Boxes[0].Beside[0].Distance, 0.01)
}
