package balance

import (
	"encoding/json"
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
)

// A vehicle whose front wheel is at 0 and whose rear wheel is base behind it.
func inLine(base float64) *frame.Vehicle {
	return &frame.Vehicle{Wheels: []frame.Wheel{{Name: "front", Radius: 300}, {Name: "rear", At: r2.Point{X: -base}, Radius: 300}}}
}

func problemOf(v *frame.Vehicle, kinds ...pack.Kind) pack.Problem {
	return pack.Problem{Frame: &frame.Frame{Vehicle: v}, Pack: &pack.Pack{Kinds: kinds}}
}

func layoutOf(box string, at ...r3.Vector) pack.Layout {
	var l pack.Layout
	for i, p := range at {
		l.Placements = append(l.Placements, pack.Placement{Box: box, Number: i + 1, Centre: p})
	}
	return l
}

// The textbook car: 961 kg, wheelbase 3.27 m, the mass 0.615 m behind the front axle: rear load
// W·0.615/3.27, 7654.4 N in front and 1773.0 N behind with g = 9.81 (statics; figures from a
// secondary source).
func TestTextbookCar(t *testing.T) {
	v := inLine(3270)
	p := problemOf(v, pack.Kind{Name: "all", Count: 1, Mass: 961})
	b := Of(p, layoutOf("all", r3.Vector{X: -615}))
	require.InDelta(t, 7654.4, b.Wheels[0].Packed*9.81, 0.1)
	require.InDelta(t, 1773.0, b.Wheels[1].Packed*9.81, 0.1)
}

// 100 lb set 15 in behind the rear axle of a wheelbase of 55 in takes 27.3 lb off the front and
// adds 127.3 lb behind (by moments).
func TestLoadBehindTheAxle(t *testing.T) {
	const pound = geom.KilogramsPerPound
	front, rear := 30*pound, 300*pound
	v := inLine(55 * geom.MillimetresPerInch)
	v.Wheels[0].Weighed, v.Wheels[1].Weighed = &front, &rear
	b := Of(problemOf(v, pack.Kind{Name: "rock", Count: 1, Mass: 100 * pound}), layoutOf("rock", r3.Vector{X: -70 * geom.MillimetresPerInch}))
	require.InDelta(t, -27.3, b.Wheels[0].Packed/pound, 0.03)
	require.InDelta(t, 127.3, b.Wheels[1].Packed/pound, 0.03)
	require.InDelta(t, 2.7, *b.Wheels[0].With/pound, 0.03)
	require.False(t, b.Wheels[0].Lifted())
	front = 20 * pound
	require.True(t, Of(problemOf(v, pack.Kind{Name: "rock", Count: 1, Mass: 100 * pound}), layoutOf("rock", r3.Vector{X: -70 * geom.MillimetresPerInch})).Wheels[0].Lifted())
}

// A box moved by 100 mm moves loads as levers say, along and, with three wheels, across; a
// mirror image bears on mirrored wheels.
func TestMovedAndMirrored(t *testing.T) {
	three := &frame.Vehicle{Wheels: []frame.Wheel{
		{Name: "front", At: r2.Point{X: 700}}, {Name: "left", At: r2.Point{X: -500, Y: 400}}, {Name: "right", At: r2.Point{X: -500, Y: -400}},
	}}
	k := pack.Kind{Name: "box", Count: 1, Mass: 12}
	at := r3.Vector{X: 120, Y: 35, Z: 60}
	before := Of(problemOf(three, k), layoutOf("box", at)).Wheels
	forward := Of(problemOf(three, k), layoutOf("box", at.Add(r3.Vector{X: 100}))).Wheels
	require.InDelta(t, 12*100/1200.0, forward[0].Packed-before[0].Packed, 1e-12)
	left := Of(problemOf(three, k), layoutOf("box", at.Add(r3.Vector{Y: 100}))).Wheels
	require.InDelta(t, 12*100/800.0, left[1].Packed-before[1].Packed, 1e-12)
	require.InDelta(t, 0, left[0].Packed-before[0].Packed, 1e-12)
	mirrored := Of(problemOf(three, k), layoutOf("box", r3.Vector{X: at.X, Y: -at.Y, Z: at.Z})).Wheels
	require.InDelta(t, before[1].Packed, mirrored[2].Packed, 1e-12)
	require.InDelta(t, before[0].Packed, mirrored[0].Packed, 1e-12)
}

// Three wheels: the three equations of equilibrium (sum of loads, moments about x and y),
// solved elsewhere, by scipy.
func TestThreeWheelsAgainstScipy(t *testing.T) {
	const python = "/usr/bin/python3" // Debian's, with python3-scipy
	if exec.Command(python, "-c", "import scipy").Run() != nil && os.Getenv("RACKWRIGHT_REQUIRE_JUDGES") == "" {
		t.Skip("python3-scipy is missing")
	}
	type scene struct {
		Wheels [3][2]float64 `json:"wheels"`
		Mass   float64       `json:"mass"`
		At     [2]float64    `json:"at"`
	}
	rng := rand.New(rand.NewPCG(7, 3))
	var scenes []scene
	var got [][]float64
	for range 100 {
		s := scene{Mass: 1 + 99*rng.Float64(), At: [2]float64{rng.NormFloat64() * 300, rng.NormFloat64() * 200}}
		var wheels []frame.Wheel
		for i := range s.Wheels {
			s.Wheels[i] = [2]float64{[3]float64{800, -600, -600}[i] + 200*rng.Float64(), [3]float64{0, 500, -500}[i] + 200*rng.Float64()}
			wheels = append(wheels, frame.Wheel{At: r2.Point{X: s.Wheels[i][0], Y: s.Wheels[i][1]}})
		}
		scenes = append(scenes, s)
		got = append(got, bear(wheels, s.Mass, r3.Vector{X: s.At[0], Y: s.At[1]}))
	}
	given, err := json.Marshal(scenes)
	require.NoError(t, err)
	solve := exec.Command(python, "-c", `
import json, sys
from scipy.linalg import solve
print(json.dumps([list(solve([[1, 1, 1], [w[0] for w in s["wheels"]], [w[1] for w in s["wheels"]]],
    [s["mass"], s["mass"] * s["at"][0], s["mass"] * s["at"][1]])) for s in json.load(sys.stdin)]))`)
	solve.Stdin = strings.NewReader(string(given))
	out, err := solve.Output()
	require.NoError(t, err)
	var want [][]float64
	require.NoError(t, json.Unmarshal(out, &want))
	for i := range want {
		require.InDeltaSlice(t, want[i], got[i], 1e-9)
	}
}

// Loads, mass and middle belong together: the loads' own middle is that of the mass.
func TestSumsAgree(t *testing.T) {
	front, rear := 58.0, 71.0
	v := inLine(1340)
	v.Wheels[0].Weighed, v.Wheels[1].Weighed = &front, &rear
	v.Riders = []frame.Rider{{Name: "rider", Mass: 80, At: r3.Vector{X: -800, Z: 600}}}
	height := 430.0
	v.Height = &height
	p := problemOf(v, pack.Kind{Name: "battery", Count: 2, Mass: 11, Volts: 12, AmpHours: 30}, pack.Kind{Name: "charger", Count: 1})
	p.Frame.Ground = &frame.Ground{Clear: 130}
	b := Of(p, layoutOf("battery", r3.Vector{X: -500, Y: 30, Z: 40}, r3.Vector{X: -700, Y: 30, Z: 120}))
	require.Equal(t, 22.0, b.Packed)
	require.Equal(t, 22.0, b.Battery)
	require.Equal(t, []string{"charger"}, b.Unknown)
	require.InDelta(t, 151, b.Whole.Mass, 1e-12)
	require.InDelta(t, b.Whole.Mass, *b.Wheels[0].With+*b.Wheels[1].With, 1e-9)
	require.InDelta(t, b.Whole.At.X*b.Whole.Mass, -1340**b.Wheels[1].With, 1e-6)
	require.InDelta(t, b.Loaded.At.X*b.Loaded.Mass, -1340**b.Wheels[1].Loaded, 1e-6)
	require.InDelta(t, (129*300.0+11*40+11*120)/151, *b.Whole.Height, 1e-9, "the road is 130 below zero")
	require.InDelta(t, 30*22.0/151, *b.Sideways, 1e-9)

	p.Frame.Ground = nil
	require.Nil(t, Of(p, layoutOf("battery", r3.Vector{})).Whole.Height, "where the road is, is not known")
	p.Frame.Vehicle = nil
	require.Nil(t, Of(p, layoutOf("battery", r3.Vector{})).Wheels)
}

// A layout with the middle of its boxes at what is wanted shares the load as the engine did, and
// nothing is nearer to balance.
func TestWanted(t *testing.T) {
	front, rear, frontBefore, rearBefore := 58.0, 71.0, 71.0, 82.0
	v := inLine(1340)
	v.Wheels[0].Weighed, v.Wheels[0].Before = &front, &frontBefore
	v.Wheels[1].Weighed, v.Wheels[1].Before = &rear, &rearBefore
	p := problemOf(v, pack.Kind{Name: "battery", Count: 1, Mass: 22})
	x, ok := Wanted(p, 22)
	require.True(t, ok)
	b := Of(p, layoutOf("battery", r3.Vector{X: x}))
	require.InDelta(t, frontBefore/rearBefore, *b.Wheels[0].With / *b.Wheels[1].With, 1e-12)
	require.InDelta(t, 0, Off(p, b), 1e-9)
	aside := Of(p, layoutOf("battery", r3.Vector{X: x + 30, Y: 40}))
	require.InDelta(t, 50*22/151.0, Off(p, aside), 1e-9)
}

func TestOverloaded(t *testing.T) {
	front, rear, allowed := 58.0, 71.0, 100.0
	v := inLine(1000)
	v.Wheels[0].Weighed, v.Wheels[1].Weighed, v.Wheels[1].Allowed = &front, &rear, &allowed
	b := Of(problemOf(v, pack.Kind{Name: "battery", Count: 1, Mass: 40}), layoutOf("battery", r3.Vector{X: -900}))
	require.InDelta(t, 7, b.Wheels[1].Over(), 1e-12)
	require.Zero(t, b.Wheels[0].Over())
}
