package judge_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
)

// untouched are the violations of the first rule with the rear mounts changed, and their bolts.
func untouched(t *testing.T, mount func(m *frame.Mount), bolt func(f *rack.Fastener)) []judge.Violation {
	t.Helper()
	p, l, r := trail(t)
	f := *p.Frame
	f.Mounts = slices.Clone(f.Mounts)
	mount(&f.Mounts[1])
	p, err := pack.NewProblem(&f, p.Pack)
	require.NoError(t, err)
	for i := range r.Fasteners {
		if strings.Contains(r.Fasteners[i].Name, "to rear engine mount") {
			bolt(&r.Fasteners[i])
		}
	}
	report, err := judge.Judge(p, l, r, judge.Settings{NoLoads: true})
	require.NoError(t, err)
	return slices.DeleteFunc(report.Violations, func(v judge.Violation) bool { return v.Rule != judge.FrameUntouched })
}

func asItIs(*rack.Fastener) {}

// A nut sits behind the metal of a mount where the frame file says how thick that is; the bolts of
// this rack are made for 6 mm.
func TestNutBehindTheMount(t *testing.T) {
	thick := func(mm float64) func(m *frame.Mount) { return func(m *frame.Mount) { m.Thick = mm } }
	require.Empty(t, untouched(t, thick(6), asItIs))
	require.Empty(t, untouched(t, thick(6.29), asItIs))
	for _, mm := range []float64{5.69, 6.31, 10} {
		list := untouched(t, thick(mm), asItIs)
		require.Len(t, list, 2, "left and right")
		require.Contains(t, list[0].Text, "no locking nut")
		require.Zero(t, list[0].By)
	}
	require.Empty(t, untouched(t, thick(0), asItIs), "not told")
}

// A bolt is in a thread by 0.8 of its diameter, 8 mm of M10, and has no nut there.
func TestBoltInAThread(t *testing.T) {
	threaded := func(m *frame.Mount) { m.Holds = frame.Thread }
	in := func(mm float64) func(f *rack.Fastener) {
		return func(f *rack.Fastener) { f.Nuts, f.To = nil, f.At(5+mm) } // 3 mm of upright, 2 mm of washer
	}
	require.Empty(t, untouched(t, threaded, in(8.01)))
	require.Empty(t, untouched(t, threaded, in(25)))
	list := untouched(t, threaded, in(7.5))
	require.Len(t, list, 2)
	require.InDelta(t, 0.5, list[0].By, 1e-6)
	require.Contains(t, list[0].Text, "is only 7.5 mm in the thread")
	require.Contains(t, list[0].Text, "8.0 mm at least")
	nut := untouched(t, threaded, asItIs)
	require.Len(t, nut, 2, "a nut does not suit a thread")
	require.Contains(t, nut[0].Text, "by a thread")
}

// A bolt may be beside its mount, short of it, or its bar off the mount's face, by what metal is
// not flat by, 0.3 mm, and no more.
func TestNearAMount(t *testing.T) {
	same := func(*frame.Mount) {}
	for _, c := range []struct {
		by    float64
		wrong int
	}{{0.29, 0}, {0.31, 2}} {
		require.Len(t, untouched(t, func(m *frame.Mount) { m.At.Z += c.by }, asItIs), c.wrong, "beside by %g", c.by)
		require.Len(t, untouched(t, same, func(f *rack.Fastener) { f.To = f.At(5 - c.by) }), c.wrong, "short by %g", c.by)
		require.Len(t, untouched(t, func(m *frame.Mount) { m.At.Y += c.by }, asItIs), c.wrong, "off the bar by %g", c.by)
	}
}
