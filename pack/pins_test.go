package pack

import (
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"
)

// A box lies in its range with its posts, by the sizes as measured.
func TestRanges(t *testing.T) {
	for name, c := range map[string]struct {
		x      float64
		post   float64
		worst  bool
		faults int
	}{
		"within":                 {150, 0, false, 0},
		"at the end":             {200, 0, false, 0},
		"a micron too far":       {200.001, 0, false, 1},
		"its post beyond":        {195, 6, false, 1},
		"its post within":        {195, 5, false, 0},
		"at the end at worst":    {200, 0, true, 0},
		"beyond on the low side": {99, 0, false, 1},
	} {
		t.Run(name, func(t *testing.T) {
			k := kindOf("block", 1, 100, 100, 100)
			k.Accuracy, k.Within = 2, Range{{Lo: 50, Hi: 250}}
			if c.post > 0 {
				k.Posts = []Post{{Name: "plus", Face: Front, At: r2.Point{X: 50, Y: 50}, Diameter: 10, Height: c.post}}
			}
			p := problemOf(bay(), k)
			p.Worst = c.worst
			r := Check(p, layoutOf(upright("block", 1, c.x, 0, 100)))
			require.Len(t, r.Faults, c.faults)
			require.NotEmpty(t, r.Relations, "what is out of its range still has its clearances")
			for _, f := range r.Faults {
				require.Equal(t, OutOfRange, f.Rule)
				require.Contains(t, f.Text, "beyond its range along x (x from 50 mm to 250 mm)")
			}
		})
	}
}

// A pinned box stays where it is, and stands as it does.
func TestPins(t *testing.T) {
	p := choosy()
	p.Frame = bay()
	pin := upright("block", 2, 300, 0, 100)
	p = p.WithPins([]Placement{pin})
	rest := []Placement{upright("block", 1, 100, 0, 100), upright("charger", 1, 500, 0, 100)}
	require.Empty(t, Check(p, layoutOf(append(rest, pin)...)).Faults)
	moved := pin
	moved.Centre.X += 0.001
	require.Equal(t, []FaultRule{PinMoved}, rulesOf(Check(p, layoutOf(append(rest, moved)...)).Faults))
	turned := pin
	turned.Front = Left
	require.Equal(t, []FaultRule{PinMoved}, rulesOf(Check(p, layoutOf(append(rest, turned)...)).Faults))
	require.Equal(t, "with block 2 pinned", p.Restrictions())
}

// A pin that breaks a rule is refused before anything is searched.
func TestPinsThatBreakARule(t *testing.T) {
	p := choosy()
	p.Frame = bay()
	p.Pack.Gaps.Beside = 3
	p.Pack.Kinds[0].Within = Range{nil, nil, &r1.Interval{Lo: 0, Hi: 400}}
	p = p.WithPins([]Placement{upright("block", 1, 300, 0, 100)})
	require.Empty(t, p.CheckPin(upright("block", 2, 403, 0, 100)))
	for name, c := range map[string]struct {
		pin  Placement
		want FaultRule
	}{
		"no such box":          {upright("brick", 1, 100, 0, 100), UnknownBox},
		"no such number":       {upright("block", 3, 100, 0, 100), BadNumber},
		"pinned twice":         {upright("block", 1, 100, 0, 100), RepeatedBox},
		"out of its range":     {upright("block", 2, 100, 0, 351), OutOfRange},
		"outside the opening":  {upright("block", 2, 49, 0, 100), PinShort},
		"too near another pin": {upright("block", 2, 402, 0, 100), PinShort},
		"in a stand not allowed": {
			Placement{Box: "block", Number: 2, Orientation: Orientation{Up: Left, Front: Front}, Centre: upright("", 0, 100, 0, 100).Centre},
			StandNotAllowed,
		},
		"at a tilt not allowed": {
			Placement{Box: "block", Number: 2, Orientation: Orientation{Up: Top, Front: Front, Tilt: 5 * s1.Degree}, Centre: upright("", 0, 100, 0, 100).Centre},
			TiltNotAllowed,
		},
	} {
		t.Run(name, func(t *testing.T) { require.Equal(t, []FaultRule{c.want}, rulesOf(p.CheckPin(c.pin))) })
	}
}
