package pack

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// choosy is a pack whose block may only stand upright or on end, level or tilted by 12°.
func choosy() Problem {
	k := kindOf("block", 2, 100, 100, 100)
	k.Stands = []Stand{Upright, OnEnd}
	k.Tilts = []s1.Angle{0, 12 * s1.Degree}
	return problemOf(crate(1000, 1000, 1000), k, kindOf("charger", 1, 50, 50, 50))
}

func rulesOf(faults []Fault) []FaultRule {
	var rules []FaultRule
	for _, f := range faults {
		rules = append(rules, f.Rule)
	}
	return rules
}

// Each fault in turn on a layout that has none.
func TestFaults(t *testing.T) {
	sound := func() []Placement {
		return []Placement{upright("block", 1, 100, 100, 100), upright("block", 2, 300, 100, 100), upright("charger", 1, 500, 100, 100)}
	}
	require.Empty(t, Check(choosy(), layoutOf(sound()...)).Faults)
	second := Part{Box: "block", Number: 2}
	for name, c := range map[string]struct {
		change func(p []Placement) []Placement
		want   []Fault // without their texts
	}{
		"unknown box": {
			func(p []Placement) []Placement { return append(p, upright("brick", 1, 700, 100, 100)) },
			[]Fault{{Rule: UnknownBox, Part: Part{Box: "brick", Number: 1}}},
		},
		"missing": {
			func(p []Placement) []Placement { return append(p[:1:1], p[2]) },
			[]Fault{{Rule: MissingBox, Part: second}},
		},
		"all missing, in the order of the file": {
			func(p []Placement) []Placement { return nil },
			[]Fault{{Rule: MissingBox, Part: Part{Box: "block", Number: 1}}, {Rule: MissingBox, Part: second}, {Rule: MissingBox, Part: Part{Box: "charger", Number: 1}}},
		},
		"repeated": {
			func(p []Placement) []Placement { return append(p, upright("block", 2, 700, 100, 100)) },
			[]Fault{{Rule: RepeatedBox, Part: second}},
		},
		"number 0": {
			func(p []Placement) []Placement { p[1].Number = 0; return p },
			[]Fault{{Rule: BadNumber, Part: Part{Box: "block"}}, {Rule: MissingBox, Part: second}},
		},
		"number beyond the count": {
			func(p []Placement) []Placement { return append(p, upright("block", 3, 700, 100, 100)) },
			[]Fault{{Rule: BadNumber, Part: Part{Box: "block", Number: 3}}},
		},
		"stand": {
			func(p []Placement) []Placement {
				p[1].Orientation = Orientation{Up: Left, Front: Front}
				return p
			},
			[]Fault{{Rule: StandNotAllowed, Part: second}},
		},
		"tilt": {
			func(p []Placement) []Placement { p[1].Tilt = 0.01; return p },
			[]Fault{{Rule: TiltNotAllowed, Part: second}},
		},
		"stand and tilt": {
			func(p []Placement) []Placement {
				p[1].Orientation = Orientation{Up: Bottom, Front: Front, Tilt: -12 * s1.Degree}
				return p
			},
			[]Fault{{Rule: StandNotAllowed, Part: second}, {Rule: TiltNotAllowed, Part: second}},
		},
		"orientation": {
			func(p []Placement) []Placement { p[1].Front = Bottom; return p },
			[]Fault{{Rule: BadOrientation, Part: second}},
		},
		"orientation and centre": {
			func(p []Placement) []Placement {
				p[1].Tilt, p[1].Centre.Y = s1.Angle(math.NaN()), math.Inf(-1)
				return p
			},
			[]Fault{{Rule: BadOrientation, Part: second}, {Rule: BadCentre, Part: second}},
		},
	} {
		t.Run(name, func(t *testing.T) {
			r := Check(choosy(), layoutOf(c.change(sound())...))
			for i := range r.Faults {
				require.NotEmpty(t, r.Faults[i].Text)
				require.Contains(t, r.Faults[i].Text, r.Faults[i].Part.String(), "says where")
				r.Faults[i].Text = ""
			}
			require.Equal(t, c.want, r.Faults)
			require.False(t, r.Holds())
			for _, f := range c.want {
				if f.Rule != RepeatedBox {
					require.Empty(t, r.ForBox(f.Part.Box, f.Part.Number), "a faulty box has no relations")
				}
			}
		})
	}
}

func TestCentreOutOfRange(t *testing.T) {
	for _, c := range []struct {
		centre r3.Vector
		bad    bool
	}{
		{r3.Vector{X: 16000}, false},
		{r3.Vector{Y: -16000}, false},
		{r3.Vector{Z: 16000}, false},
		{r3.Vector{X: math.Nextafter(16000, 2e4)}, true},
		{r3.Vector{Y: -16001}, true},
		{r3.Vector{Z: 1e300}, true},
		{r3.Vector{X: math.NaN()}, true},
		{r3.Vector{Y: math.NaN()}, true},
		{r3.Vector{Z: math.NaN()}, true},
		{r3.Vector{Z: math.Inf(1)}, true},
	} {
		p := problemOf(crate(1000, 1000, 1000), kindOf("block", 1, 100, 100, 100))
		r := Check(p, layoutOf(upright("block", 1, c.centre.X, c.centre.Y, c.centre.Z)))
		if c.bad {
			require.Equal(t, []FaultRule{BadCentre}, rulesOf(r.Faults), "%v", c.centre)
			require.Empty(t, r.Relations)
		} else {
			require.Empty(t, r.Faults, "%v", c.centre)
			require.False(t, r.Holds(), "far outside")
		}
	}
}

// A tilt is written in degrees and read again; it has to count as the allowed one.
func TestTiltIsAllowedWithinRounding(t *testing.T) {
	for _, c := range []struct {
		off s1.Angle
		ok  bool
	}{{0, true}, {9e-10, true}, {-9e-10, true}, {1.1e-9, false}, {-1.1e-9, false}, {12 * s1.Degree, false}} {
		p := upright("block", 1, 100, 100, 100)
		p.Tilt = 12*s1.Degree + c.off
		r := Check(choosy(), layoutOf(p, upright("block", 2, 300, 100, 100), upright("charger", 1, 500, 100, 100)))
		require.Equal(t, c.ok, len(r.Faults) == 0, "off by %v rad", float64(c.off))
	}
	p := upright("charger", 1, 500, 100, 100)
	p.Tilt = 1e-9
	r := Check(problemOf(crate(1000, 1000, 1000), kindOf("charger", 1, 50, 50, 50)), layoutOf(p))
	require.Empty(t, r.Faults, "exactly as far as allowed")
}

func TestARepeatedBoxCountsWhereItIsFirst(t *testing.T) {
	p := problemOf(crate(1000, 1000, 1000), kindOf("block", 1, 100, 100, 100))
	r := Check(p, layoutOf(upright("block", 1, 60, 500, 500), upright("block", 1, 900, 900, 900)))
	require.Equal(t, []FaultRule{RepeatedBox}, rulesOf(r.Faults))
	require.Equal(t, 10.0, r.Spare)
	require.Len(t, r.Relations, 6)
}

func TestLayoutMadeForOtherFiles(t *testing.T) {
	p := problemOf(crate(1000, 1000, 1000), kindOf("block", 1, 100, 100, 100))
	p.Frame.Hash, p.Pack.Hash = "ab12", "cd34"
	for _, c := range []struct {
		frame, pack string
		want        []FaultRule
	}{
		{"ab12", "cd34", nil},
		{"AB12", "CD34", nil},
		{"", "", nil},
		{"ffff", "cd34", []FaultRule{StaleFrame}},
		{"ab12", "ffff", []FaultRule{StalePack}},
		{"cd34", "ab12", []FaultRule{StaleFrame, StalePack}},
	} {
		layout := layoutOf(upright("block", 1, 500, 500, 500))
		layout.FrameHash, layout.PackHash = c.frame, c.pack
		r := Check(p, layout)
		require.Equal(t, c.want, rulesOf(r.Warnings), "%q %q", c.frame, c.pack)
		require.Empty(t, r.Faults)
		require.True(t, r.Holds(), "a warning does not count against the layout")
		require.Equal(t, 450.0, r.Spare, "it is judged all the same")
	}
	p.Frame.Hash, p.Pack.Hash = "", ""
	layout := layoutOf(upright("block", 1, 500, 500, 500))
	layout.FrameHash, layout.PackHash = "ab", "cd"
	require.Empty(t, Check(p, layout).Warnings, "nothing to compare with")
}

func TestTextsSayWhatIsAllowed(t *testing.T) {
	p := upright("block", 1, 100, 100, 100)
	p.Orientation = Orientation{Up: Left, Front: Front, Tilt: 5 * s1.Degree}
	r := Check(choosy(), layoutOf(p))
	require.Equal(t, "block 1: it stands on-side; the pack allows upright, on-end", r.Faults[0].Text)
	require.Equal(t, "block 1: it is tilted by 5°; the pack allows 0°, 12°", r.Faults[1].Text)
	require.Equal(t, "stand not allowed", r.Faults[0].Rule.String())
	p = upright("block", 1, 100, 20000, 100)
	r = Check(choosy(), layoutOf(p))
	require.Equal(t, "block 1: its centre [100, 20000, 100] is not within 16 m of the origin; correct it", r.Faults[0].Text)
}

// Whatever a layout holds, the judge says something of it, and relations are figures.
func TestAnyLayoutIsJudged(t *testing.T) {
	number := rapid.OneOf(rapid.Float64(), rapid.SampledFrom([]float64{0, math.NaN(), math.Inf(1), math.Inf(-1), 16000, 1e300}))
	face := rapid.Map(rapid.IntRange(-2, 8), func(n int) Face { return Face(n) })
	placement := rapid.Custom(func(t *rapid.T) Placement {
		return Placement{
			Box: rapid.SampledFrom([]string{"block", "charger", "", "brick"}).Draw(t, "box"), Number: rapid.IntRange(-1, 3).Draw(t, "number"),
			Orientation: Orientation{Up: face.Draw(t, "up"), Front: face.Draw(t, "front"), Tilt: s1.Angle(number.Draw(t, "tilt"))},
			Centre:      r3.Vector{X: number.Draw(t, "x"), Y: number.Draw(t, "y"), Z: number.Draw(t, "z")},
		}
	})
	rapid.Check(t, func(t *rapid.T) {
		layout := layoutOf(rapid.SliceOfN(placement, 0, 8).Draw(t, "placements")...)
		r := Check(choosy(), layout)
		require.Equal(t, r.Holds(), len(r.Faults) == 0 && r.Spare >= 0)
		if len(layout.Placements) < 3 {
			require.NotEmpty(t, r.Faults, "three boxes are wanted")
		}
		for _, n := range r.Relations {
			for _, x := range []float64{n.Left, n.Gap, n.Required, n.Distance} {
				require.False(t, math.IsNaN(x) || math.IsInf(x, 0), "%v and %v", n.A, n.B)
			}
		}
	})
}
