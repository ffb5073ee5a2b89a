package judge_test

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
)

// What hangs on the rack has a bolt of its own through a bar of the rack, of its size and at its
// place; its mass counts: a heavy one is more than the rack holds.
func TestWhatHangsOnTheRack(t *testing.T) {
	judged := func(mass float64, change func(f *rack.Fastener)) judge.Report {
		p, l, r := trail(t)
		b := bar(r, "upper side member left")
		at := b.From.Add(b.Along().Mul(200)).Add(b.B.Mul(16)) // on the outside of its upright leg
		f := *p.Frame
		gap := 0.0
		f.KeepOuts = append(f.KeepOuts[:len(f.KeepOuts):len(f.KeepOuts)], frame.KeepOut{
			Name: "motor plate", Metal: true, Mass: mass, Gap: &gap, Hangs: []frame.Hang{{At: at, Bolt: "M6"}},
			Box: &frame.Corners{Low: at.Add(r3.Vector{X: -12, Z: -8}), High: at.Add(r3.Vector{X: 12, Y: 2, Z: 9})},
		})
		var err error
		p, err = pack.NewProblem(&f, p.Pack)
		require.NoError(t, err)
		bolt := rack.Fastener{Name: "bolt of the motor plate", Size: "M6", Class: "8.8", From: at.Add(b.A.Mul(3)), Joins: []string{b.Name, "motor plate"}, Nuts: []rack.Nut{{At: 5, Beyond: true, Locking: true}}}
		bolt.To = bolt.From.Sub(b.A.Mul(16))
		change(&bolt)
		r.Fasteners = append(r.Fasteners, bolt)
		report, err := judge.Judge(p, l, r, judge.Settings{})
		require.NoError(t, err)
		return report
	}
	sound := judged(0.5, func(*rack.Fastener) {})
	require.Empty(t, sound.Violations)
	require.Less(t, sound.Loads.Balance, 1e-6)
	for _, spoil := range []func(f *rack.Fastener){
		func(f *rack.Fastener) { f.Size = "M5" },
		func(f *rack.Fastener) { f.From.X, f.To.X = f.From.X+1, f.To.X+1 },
		func(f *rack.Fastener) { f.Joins = []string{"upper side member left", "upper end bar front"} },
	} {
		report := judged(0.5, spoil)
		require.NotEmpty(t, report.Violations)
		require.Equal(t, judge.Held, report.Violations[0].Rule)
		require.Contains(t, report.Violations[0].Text, "motor plate hangs on the rack by M6 at [")
	}
	heavy := judged(60, func(*rack.Fastener) {})
	require.NotEmpty(t, heavy.Violations)
	require.Equal(t, "g", heavy.Violations[0].Unit)
}
