package improve

import (
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/balance"
	"rackwright/pack/search/model"
)

// Derived by levers: 10 kg on a wheelbase of 1000 that bore 60 and 40, and bears 55 and 35 now:
// the share of before is 60 of 100 in front, so 5 of the 10 kg have to come on the front wheel,
// the middle of the wheelbase, x = 0. There balance measures nothing, and it grows away from it.
func TestBalanceIsMeasuredAndWished(t *testing.T) {
	f, err := frame.Read(strings.NewReader(`
format: 1
frame: bay
opening: {outline: [[-400, 0], [400, 0], [400, 300], [-400, 300]], across: 300}
vehicle:
  wheels: [{name: front, at: [500, 0], radius: 300}, {name: rear, at: [-500, 0], radius: 300}]
  weighed: {front: 55, rear: 35}
  before: {front: 60, rear: 40}
`), "f")
	require.NoError(t, err)
	p, err := pack.Read(strings.NewReader("{format: 1, pack: p, gaps: {beside: 0, above: 0, rail: 0, keepout: 0, post: 0}, boxes: [{name: b, count: 2, size: [100, 100, 100], mass: 5, stand: [upright]}]}"), "p")
	require.NoError(t, err)
	problem, err := pack.NewProblem(f, p)
	require.NoError(t, err)
	m, err := model.New(problem, model.Options{})
	require.NoError(t, err)
	at := func(x float64) []model.Spot {
		return []model.Spot{{At: r3.Vector{X: x - 60, Z: 60}}, {At: r3.Vector{X: x + 60, Z: 60}}}
	}
	require.InDelta(t, 0, Measure(m, Balance, at(0)), 1e-9)
	require.InDelta(t, 10, Measure(m, Balance, at(100)), 1e-9, "100 mm · 10 kg of 100 kg")
	require.Zero(t, Measure(m, Wiring, at(0)), "nothing is to be wired")
	moved := Settle(m, []Preference{Balance}, at(150), 5)
	x := balance.Of(problem, m.Layout(moved)).Middle.X
	require.InDelta(t, 0, x, 0.01, "settled where the loads are as they were")
	require.InDelta(t, 0, Measure(m, Balance, moved), 0.01)
}
