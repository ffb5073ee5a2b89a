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

// hanging is a sound rack with a motor plate that hangs on it by two points.
func hanging(t testing.TB) (pack.Problem, pack.Layout, *rack.Rack) {
	t.Helper()
	return twoBlocks(t, "hangs", pack.Front, r3.Vector{X: 143, Z: 87}, r3.Vector{X: 297, Z: 87})
}

func TestSoundRackWithWhatHangs(t *testing.T) {
	p, l, r := hanging(t)
	report, err := judge.Judge(p, l, r, judge.Settings{})
	require.NoError(t, err)
	require.Empty(t, report.Violations)
	require.Less(t, report.Loads.Balance, 1e-6)
	require.Contains(t, r.Ties(), "motor plate")
}

// hangSpoils are done to the rack with a motor plate.
func hangSpoils() []spoil {
	const tie = "upright 3a to motor plate"
	return []spoil{
		{"tie of what hangs gone", judge.Held, withoutFastener(tie)},
		{"tie of what hangs thinner", judge.Held, onFastener(tie, func(f *rack.Fastener) { f.Size = "M6" })},
		{"tie of what hangs beside its point", judge.Held, movedFastener(tie, r3.Vector{Z: 3})},
		{"tie of what hangs without its tube", judge.Held, onFastener(tie, func(f *rack.Fastener) { f.Sleeve = nil })},
		{"tie of what hangs with too short a tube", judge.Held, onFastener(tie, func(f *rack.Fastener) { f.Sleeve.To -= 2 })},
		{"tie of what hangs through no bar", judge.Held, onFastener(tie, func(f *rack.Fastener) { f.Joins = f.Joins[1:] })},
		{"upright of what hangs gone", judge.Held, withoutBar("upright 3a")},
		{"upright of what hangs moved", judge.Held, movedBar("upright 3a", r3.Vector{X: -2})},
		{"a bolt of what hangs gone", judge.Holds, withoutFastener("bolt 1 upright 3a")},
		{"upright of what hangs thinned", judge.Holds, func(r *rack.Rack) { bar(r, "upright 3b").Section.Width = 12 }},
		{"bolts of what hangs gone", judge.Holds, func(r *rack.Rack) {
			withoutFastener("bolt 1 upright 3a")(r)
			withoutFastener("bolt 2 upright 3a")(r)
		}},
	}
}

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
