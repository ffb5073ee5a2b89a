package entry

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"rackwright/pack"
)

// twoInAPen is a pen open at the top, and b above a.
func twoInAPen() *stage {
	return square(200).open(3).air(2).across(-50, 50).
		keepOut("left", v(0, 50, 0), v(200, 60, 200)).keepOut("right", v(0, -60, 0), v(200, -50, 200)).
		lifts("tank", v(0, -50, 210), v(200, 50, 240)).
		box("a", v(10, -40, 0), v(190, 40, 90)).box("b", v(10, -40, 100), v(190, 40, 190))
}

func orderOf(steps ...Step) Order { return Order{Steps: steps} }

func down(box string, mm float64, off ...string) Step {
	return Step{Box: box, Number: 1, Legs: []r3.Vector{{Z: -mm}}, Off: off}
}

func rules(t *testing.T, s *stage, o Order) []FaultRule {
	t.Helper()
	faults, err := Verify(s.problem, s.layout, o)
	require.NoError(t, err)
	var list []FaultRule
	for _, f := range faults {
		list = append(list, f.Rule)
		assert.NotEmpty(t, f.Text)
	}
	return list
}

func TestVerifySaysWhatIsWrong(t *testing.T) {
	s := twoInAPen()
	nan := Step{Box: "b", Number: 1, Legs: []r3.Vector{{X: math.NaN()}}}
	for name, c := range map[string]struct {
		order Order
		want  []FaultRule
	}{
		"good":            {orderOf(down("a", 300, "tank"), down("b", 300, "tank")), nil},
		"wrong way round": {orderOf(down("b", 300, "tank"), down("a", 300, "tank")), []FaultRule{TooNear}},
		"tank on":         {orderOf(down("a", 300), down("b", 300, "tank")), []FaultRule{TooNear}},
		"begins inside":   {orderOf(down("a", 100, "tank"), down("b", 300, "tank")), nil},
		"begins under the tank": {
			orderOf(down("a", 50), down("b", 300, "tank")), []FaultRule{NotOutside},
		},
		"twice":         {orderOf(down("a", 300, "tank"), down("a", 300, "tank"), down("b", 300, "tank")), []FaultRule{RepeatedBox}},
		"one short":     {orderOf(down("a", 300, "tank")), []FaultRule{MissingBox}},
		"none":          {Order{}, []FaultRule{MissingBox, MissingBox}},
		"stranger":      {orderOf(down("c", 300), down("a", 300, "tank"), down("b", 300, "tank")), []FaultRule{UnknownBox}},
		"no such thing": {orderOf(down("a", 300, "tank", "left"), down("b", 300, "tank")), []FaultRule{UnknownOff}},
		"no legs":       {orderOf(down("a", 300, "tank"), Step{Box: "b", Number: 1}), []FaultRule{BadLegs}},
		"not a number":  {orderOf(down("a", 300, "tank"), nan), []FaultRule{BadLegs}},
		"far":           {orderOf(down("a", 300, "tank"), down("b", 1e200, "tank")), []FaultRule{BadLegs}},
		"zero":          {orderOf(down("a", 300, "tank"), down("b", 0, "tank")), []FaultRule{BadLegs}},
		"through a wall": {
			orderOf(down("a", 300, "tank"), Step{Box: "b", Number: 1, Legs: []r3.Vector{{X: 300}}}), []FaultRule{TooNear},
		},
	} {
		t.Run(name, func(t *testing.T) { assert.Equal(t, c.want, rules(t, s, c.order)) })
	}
}

// The least clearance on a leg by hand: past a post 3 mm off, slantwise.
func TestVerifyMeasures(t *testing.T) {
	s := square(100).open(3, 4).air(5).across(-50, 50).
		keepOut("stud", v(-20, -10, 83), v(-10, 10, 93)).
		box("a", v(20, -10, 20), v(60, 10, 80))
	o := orderOf(Step{Box: "a", Number: 1, Legs: []r3.Vector{{X: 200}}})
	faults, err := Verify(s.problem, s.layout, o)
	require.NoError(t, err)
	require.Len(t, faults, 1)
	assert.Equal(t, TooNear, faults[0].Rule)
	assert.InDelta(t, 3, faults[0].Gap, 1e-9)
	assert.InDelta(t, 5, faults[0].Air, 1e-9)
	assert.Equal(t, pack.Part{Obstacle: "stud"}, faults[0].B)
	s.air(3)
	assert.Empty(t, rules(t, s, o))
}
