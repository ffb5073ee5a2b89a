package route

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/geom"
)

// scene is a random one: boxes, turned about the vertical, and tubes, in a space of 400 by 300
// by 300 mm with walls, and two places that are free.
type scene struct {
	cable     Cable
	obstacles []Obstacle
	from, to  r3.Vector
}

func randomScene(rng *rand.Rand) scene {
	s := scene{cable: Cable{Radius: 4 + 3*rng.Float64(), Bend: 20}}
	at := func() r3.Vector {
		return r3.Vector{X: 400 * rng.Float64(), Y: 300 * rng.Float64(), Z: 300 * rng.Float64()}
	}
	for range 3 + rng.IntN(4) {
		sin, cos := math.Sincos(rng.Float64())
		s.obstacles = append(s.obstacles, Obstacle{Name: "box", Gap: 2, Solid: geom.Box{
			Centre: at(), Half: r3.Vector{X: 20 + 60*rng.Float64(), Y: 20 + 60*rng.Float64(), Z: 20 + 60*rng.Float64()},
			Axes: [3]r3.Vector{{X: cos, Y: sin}, {X: -sin, Y: cos}, {Z: 1}},
		}})
	}
	for range rng.IntN(3) {
		s.obstacles = append(s.obstacles, Obstacle{Name: "tube", Gap: 5, Solid: geom.Tube{From: at(), To: at(), Radius: 10 + 10*rng.Float64()}})
	}
	for _, h := range []geom.HalfSpace{{Normal: r3.Vector{X: -1}, Offset: -400}, {Normal: r3.Vector{X: 1}}, {Normal: r3.Vector{Y: -1}, Offset: -300}, {Normal: r3.Vector{Y: 1}}, {Normal: r3.Vector{Z: -1}, Offset: -300}, {Normal: r3.Vector{Z: 1}}} {
		s.obstacles = append(s.obstacles, Obstacle{Name: "wall", Solid: h})
	}
	free := func() r3.Vector {
		for {
			p := at()
			if NewScene(s.cable, nil, nil).clear(p, p, boundAll(s.obstacles)) {
				return p
			}
		}
	}
	s.from, s.to = free(), free()
	return s
}

func boundAll(list []Obstacle) []bounded {
	var all []bounded
	for _, o := range list {
		all = append(all, bound(o))
	}
	return all
}

// scenes is how many random scenes are compared: RACKWRIGHT_ROUTES=100 for all.
func scenes() int {
	if n, err := strconv.Atoi(os.Getenv("RACKWRIGHT_ROUTES")); err == nil {
		return n
	}
	return 4
}

// A way is never longer than 1.1 times the shortest through a fine grid, which scipy finds
// (Dijkstra's algorithm; spacing 10 mm, 26 neighbours, its own distances). Every point of it,
// sampled densely and apart from the code that found it, keeps its gap by geom.
func TestWaysAgainstGrid(t *testing.T) {
	const python = "/usr/bin/python3" // Debian's, with python3-scipy
	if exec.Command(python, "-c", "import scipy.sparse").Run() != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
		t.Skip("python3-scipy is missing")
	}
	found, sharp, worst := 0, 0, 0.0
	for seed := range scenes() {
		s := randomScene(rand.New(rand.NewPCG(uint64(seed), 28)))
		e := func(p r3.Vector) End { return End{At: p, Normal: r3.Vector{Z: 1}} }
		p, err := NewScene(s.cable, s.obstacles, nil).Route(freely(e(s.from)), freely(e(s.to)), nil)
		grid := gridLength(t, python, s)
		if err != nil {
			require.True(t, math.IsInf(grid, 1), "seed %d: the grid has a way of %.1f mm", seed, grid)
			continue
		}
		found++
		requireClear(t, fmt.Sprintf("seed %d", seed), p, s)
		require.LessOrEqual(t, p.Length, 1.1*grid, "seed %d", seed)
		worst = math.Max(worst, p.Length/grid)
		if !p.Holds(s.cable) {
			sharp++
		}
	}
	t.Logf("%d ways found, %d with bends that are too sharp; at most %.3f of the grid's", found, sharp, worst)
	require.Less(t, 10*sharp, found+10)
}

// freely is an end that a cable may leave in any direction: the grid knows no lugs.
func freely(e End) End {
	e.Normal = r3.Vector{}
	return e
}

// requireClear samples a path every millimetre or less, arcs as arcs.
func requireClear(t *testing.T, name string, p Path, s scene) {
	t.Helper()
	line := p.Line()
	require.InDelta(t, 0, line[0].Sub(s.from).Norm()+line[len(line)-1].Sub(s.to).Norm(), 1e-9)
	for i := 1; i < len(line); i++ {
		n := int(math.Ceil(line[i].Distance(line[i-1]))) + 1
		for k := range n + 1 {
			q := line[i-1].Add(line[i].Sub(line[i-1]).Mul(float64(k) / float64(n)))
			for _, o := range s.obstacles {
				dot := geom.Tube{From: q, To: q.Add(r3.Vector{X: 1e-6}), Radius: s.cable.Radius}
				require.GreaterOrEqual(t, geom.Distance(dot, o.Solid), o.Gap-1e-5, "%s: too near to %s", name, o.Name)
			}
		}
	}
}

func gridLength(t *testing.T, python string, s scene) float64 {
	t.Helper()
	type solid struct {
		Kind                   string
		Centre, Half, From, To r3.Vector
		Axes                   [3]r3.Vector
		Grow                   float64
	}
	given := struct {
		Solids   []solid
		From, To r3.Vector
		Radius   float64
	}{From: s.from, To: s.to, Radius: s.cable.Radius}
	for _, o := range s.obstacles {
		switch b := o.Solid.(type) {
		case geom.Box:
			given.Solids = append(given.Solids, solid{Kind: "box", Centre: b.Centre, Half: b.Half, Axes: b.Axes, Grow: o.Gap + s.cable.Radius})
		case geom.Tube:
			given.Solids = append(given.Solids, solid{Kind: "tube", From: b.From, To: b.To, Grow: b.Radius + o.Gap + s.cable.Radius})
		}
	}
	in, err := json.Marshal(given)
	require.NoError(t, err)
	cmd := exec.Command(python, "testdata/gridway.py")
	cmd.Stdin = strings.NewReader(string(in))
	out, err := cmd.Output()
	require.NoError(t, err)
	text := strings.TrimSpace(string(out))
	if text == "none" {
		return math.Inf(1)
	}
	length, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return length
}

// Round one edge of a box a cable of no thickness takes the two legs of the tight string, and
// one that has thickness and bend an arc (derived).
func TestRoundAnEdge(t *testing.T) {
	box := Obstacle{Solid: geom.BoxFromCorners(r3.Vector{X: 0, Y: -500, Z: -100}, r3.Vector{X: 100, Y: 500, Z: 0})}
	from, to := r3.Vector{X: -100, Z: -60}, r3.Vector{X: 80, Z: 60}
	// The string from (−100, −60) round the edge at (0, 0) to (80, 60): √(100² + 60²) + 100.
	s := NewScene(Cable{Radius: 0.01}, []Obstacle{box}, nil)
	p, err := s.Route(freely(End{At: from}), freely(End{At: to}), nil)
	require.NoError(t, err)
	require.InDelta(t, from.Norm()+to.Norm(), p.Length, 0.3)
	// With radius r the middle line touches the circle of r about the edge on both sides of its
	// arc; with the bend as wide as that the shortest way is exactly the tangents and the arc.
	const r = 10.0
	s = NewScene(Cable{Radius: r, Bend: r}, []Obstacle{box}, nil)
	p, err = s.Route(freely(End{At: from}), freely(End{At: to}), nil)
	require.NoError(t, err)
	tangents := math.Sqrt(from.Norm2()-r*r) + math.Sqrt(to.Norm2()-r*r)
	between := from.Angle(to).Radians() - math.Acos(r/from.Norm()) - math.Acos(r/to.Norm())
	require.InDelta(t, tangents+r*math.Max(0, between), p.Length, 1)
	require.True(t, p.Holds(Cable{Bend: r}))
}

// Posts that look the same way at the same height are joined straight; behind the lug a cable
// is straight, and leaves at a right angle to the post.
func TestLugs(t *testing.T) {
	up := r3.Vector{Z: 1}
	c := Cable{Radius: 6, Bend: 50}
	s := NewScene(c, nil, nil)
	p, err := s.Route(End{At: r3.Vector{}, Normal: up, Straight: 35}, End{At: r3.Vector{X: 90}, Normal: up, Straight: 35}, nil)
	require.NoError(t, err)
	require.InDelta(t, 90, p.Length, 1e-9)
	p, err = s.Route(End{At: r3.Vector{}, Normal: up, Straight: 35}, End{At: r3.Vector{X: 200, Z: -160}, Normal: r3.Vector{X: 1}, Straight: 35}, nil)
	require.NoError(t, err)
	require.True(t, p.Holds(c), "bend %.1f", p.Bend)
	first, last := p.Points[1].Sub(p.Points[0]), p.Points[len(p.Points)-2].Sub(p.Points[len(p.Points)-1])
	require.InDelta(t, 0, first.Normalize().Dot(up), 1e-9)
	require.InDelta(t, 0, last.Normalize().X, 1e-9)
	require.GreaterOrEqual(t, first.Norm(), 35.0)
	// Longer than the string, shorter than a right angle: 200 along, 160 down, one bend of 50.
	require.Greater(t, p.Length, math.Hypot(200, 160))
	require.Less(t, p.Length, 360-50*(2-math.Pi/2))
}

// Where a wall closes all ways, that is said.
func TestNoWay(t *testing.T) {
	s := NewScene(Cable{Radius: 5, Bend: 20}, []Obstacle{{Solid: geom.HalfSpace{Normal: r3.Vector{X: 1}, Offset: 10}}}, nil)
	_, err := s.Route(freely(End{At: r3.Vector{X: -50}}), freely(End{At: r3.Vector{X: 50}}), nil)
	require.ErrorIs(t, err, ErrNoWay)
}
