package judge_test

import (
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
	"rackwright/pack/rack/rackkit"
)

// A plate in the place of two flats breaks no rule; narrower, thinner, short of a bolt or in the way
// of something, it does.
func TestPlatesAreJudged(t *testing.T) {
	p, l, bolted := trail(t)
	r := rackkit.Plated(bolted)
	sound, err := judge.Judge(p, l, r, judge.Settings{})
	require.NoError(t, err)
	require.Empty(t, sound.Violations)
	for _, c := range []struct {
		name, says string
		rule       judge.Rule
		hold       float64
		do         func(r *rack.Rack)
	}{
		{"narrower", "1.2 times the hole, EN 1993-1-8", judge.Holds, 0, func(r *rack.Rack) { bar(r, "upper plate 2").Section.Width = 75 }},
		{"shorter", "1.2 times the hole, EN 1993-1-8", judge.Holds, 0, func(r *rack.Rack) { bar(r, "upper plate 2").From.Z += 2 }},
		{"with its bolts too short", "a locking nut has to show a thread", judge.Holds, 0, func(r *rack.Rack) {
			bar(r, "upper plate 2").Section.Thick = 12
			for i := range r.Fasteners {
				f := &r.Fasteners[i]
				if strings.Contains(f.Name, "upper upright 2") {
					f.Nuts = []rack.Nut{{At: 15, Beyond: true, Locking: true}}
				}
			}
		}},
		{"where a box is", "block 2", judge.Room, 0, func(r *rack.Rack) { movedBar("upper plate 2", r3.Vector{X: -30})(r) }},
		{"away", "upper plate 2", judge.FrameUntouched, 0, withoutBar("upper plate 2")},
		{"asked for more than it holds", "gives first", judge.Holds, 30, func(*rack.Rack) {}},
	} {
		spoiled := *r
		spoiled.Bars, spoiled.Fasteners = append([]rack.Bar(nil), r.Bars...), append([]rack.Fastener(nil), r.Fasteners...)
		c.do(&spoiled)
		report, err := judge.Judge(p, l, &spoiled, judge.Settings{Hold: c.hold})
		require.NoError(t, err)
		found := ""
		for _, v := range report.Violations {
			if v.Rule == c.rule {
				found += v.Text + "\n"
			}
		}
		require.Contains(t, found, c.says, "%s: %v", c.name, report.Violations)
	}
}
