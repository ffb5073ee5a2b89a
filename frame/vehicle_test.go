package frame

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame/strict"
)

const bare = `format: 1
frame: Ferry 90
opening: {outline: [[0, 0], [420, 0], [60, 460]], across: 200}
`

func TestReadsVehicle(t *testing.T) {
	f, err := Read(strings.NewReader(bare+`
vehicle:
  wheels: [{name: front, at: [780, 0], radius: 300}, {name: rear, at: [-560, 0], radius: 290}]
  weighed: {rear: 71, front: 58}
  before: {front: 71}
  allowed: {rear: 500 lb}
  riders: [{name: me, mass: 80, at: [-100, 0, 650]}]
  raised: {axle: rear, by: 400, load: 68}
ground: {lean: 38, clear: 130}
`), "f.yaml")
	require.NoError(t, err)
	kg := func(v float64) *float64 { return &v }
	require.Equal(t, []Wheel{
		{Name: "front", At: r2.Point{X: 780}, Radius: 300, Weighed: kg(58), Before: kg(71)},
		{Name: "rear", At: r2.Point{X: -560}, Radius: 290, Weighed: kg(71), Allowed: kg(500 * 0.45359237)},
	}, f.Vehicle.Wheels)
	require.Equal(t, []Rider{{"me", 80, r3.Vector{X: -100, Z: 650}}}, f.Vehicle.Riders)
	require.Equal(t, &Raised{Wheel: 1, By: 400, Load: 68}, f.Vehicle.Raised)
	require.Equal(t, &Ground{Lean: 38 * s1.Degree, Clear: 130}, f.Ground)
}

// The height of the middle of mass from one axle lifted: mass 200 kg, wheelbase 1.400 m, 250 mm
// above the axles; lifted by 0.2, 0.4 and 0.6 m the other axle bears 5.155, 10.648 and 16.941 kg
// more. Derived by statics, to the digits given; the shortcut L² ΔW / (h M) would say 252.6,
// 260.9 and 276.7.
func TestMassHeightFromRaisedAxle(t *testing.T) {
	for _, c := range []struct{ by, more float64 }{{200, 5.155}, {400, 10.648}, {600, 16.941}} {
		for _, lifted := range []int{0, 1} {
			v := twoWheeler(300, 300, 90, 110)
			v.Raised = &Raised{Wheel: lifted, By: c.by, Load: *v.Wheels[1-lifted].Weighed + c.more}
			h, ok := v.MassHeight()
			require.True(t, ok)
			require.InDelta(t, 300+250, h, 0.02, "lifted by %g mm", c.by)
		}
	}
}

// With unlike wheels the loads are those of levers, reckoned here by turning the points
// themselves: the axles and the middle of mass.
func TestMassHeightWithUnlikeWheels(t *testing.T) {
	const base, whole, height, share, by = 1340.0, 129.0, 430.0, 0.55, 350.0
	v := twoWheeler(310, 260, whole*(1-share), whole*share)
	// From the front axle, x towards the rear: the rear axle, and the middle of mass.
	rear, middle := r2.Point{X: base, Y: 260 - 310}, r2.Point{X: base * share, Y: height - 310}
	turn := math.Asin((rear.Y+by)/rear.Norm()) - math.Asin(rear.Y/rear.Norm())
	turned := func(p r2.Point) float64 { return p.X*math.Cos(turn) - p.Y*math.Sin(turn) }
	v.Raised = &Raised{Wheel: 1, By: by, Load: whole * (1 - turned(middle)/turned(rear))}
	h, ok := v.MassHeight()
	require.True(t, ok)
	require.InDelta(t, height, h, 1e-9)
}

func twoWheeler(frontRadius, rearRadius, front, rear float64) *Vehicle {
	base := 1400.0
	if frontRadius != rearRadius {
		base = 1340
	}
	return &Vehicle{Wheels: []Wheel{
		{Name: "front", At: r2.Point{X: base}, Radius: frontRadius, Weighed: &front},
		{Name: "rear", Radius: rearRadius, Weighed: &rear},
	}}
}

func TestVehicleErrors(t *testing.T) {
	const wheels = "wheels: [{name: front, at: [700, 0], radius: 300}, {name: rear, at: [-500, 0], radius: 300}]"
	for text, want := range map[string]string{
		"{wheels: [{name: a, at: [0, 0], radius: 3}]}":                                                                                                                   "f.yaml:4:19: two or three wheels, not 1",
		"{wheels: [{name: a, at: [0, 0], radius: 3}, {name: a, at: [9, 900], radius: 3}]}":                                                                               "another wheel has this name",
		"{wheels: [{name: a, at: [0, 0], radius: 3}, {name: b, at: [9, 0], radius: 3}]}":                                                                                 "this wheel stands where a does",
		"{wheels: [{name: a, at: [0, 0], radius: 3}, {name: b, at: [900, 0], radius: 3}, {name: c, at: [400, 1], radius: 3}]}":                                           "three wheels in line",
		"{" + wheels + ", weighed: {fornt: 3}}":                                                                                                                          `no wheel is called "fornt"; wheels are front, rear`,
		"{" + wheels + ", weighed: {front: 3, front: 4}}":                                                                                                                `the name "front" stands here a second time`,
		"{" + wheels + ", weighed: {front: heavy}}":                                                                                                                      "heavy",
		"{" + wheels + ", weighed: [3, 4]}":                                                                                                                              "names with masses such as",
		"{" + wheels + ", raised: {axle: rear, by: 400, load: 68}}":                                                                                                      "weigh both wheels on the level too",
		"{" + wheels + ", weighed: {front: 50, rear: 60}, raised: {axle: back, by: 400, load: 68}}":                                                                      `no wheel is called "back"`,
		"{" + wheels + ", weighed: {front: 50, rear: 60}, height_of_mass: 500, raised: {axle: rear, by: 400, load: 68}}":                                                 "either height_of_mass or raised",
		"{" + wheels + ", weighed: {front: 50, rear: 60}, raised: {axle: rear, by: 1300, load: 68}}":                                                                     "lifted by less than the axles are apart",
		"{" + wheels + ", weighed: {front: 50, rear: 60}, raised: {axle: rear, by: 300, load: 168}}":                                                                     "more than the whole vehicle weighs, 110 kg",
		"{" + wheels + ", weighed: {front: 50, rear: 60}, raised: {axle: rear, by: 300, load: 30}}":                                                                      "which cannot be: weigh again",
		"{wheels: [{name: a, at: [0, 300], radius: 300}, {name: b, at: [0, -300], radius: 300}, {name: c, at: [900, 0], radius: 3}], raised: {axle: a, by: 9, load: 8}}": "with three give height_of_mass",
	} {
		_, err := Read(strings.NewReader(bare+"vehicle: "+text), "f.yaml")
		var all strict.Errors
		require.True(t, errors.As(err, &all), "%s: %v", text, err)
		require.Contains(t, all.Error(), want)
	}
	_, err := Read(strings.NewReader(bare+"ground: {lean: 80, clear: 0}"), "f.yaml")
	require.ErrorContains(t, err, "a lean is from 0 to 70 degrees, not 80")
	require.ErrorContains(t, err, "the height above the road is from")
}
