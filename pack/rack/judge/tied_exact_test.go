package judge

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack/rack"
)

// tiedAt is what is said of a bolt of M10, 8 mm long and upright, that joins a bar to a mount.
func tiedAt(change func(f *rack.Fastener, m *frame.Mount, bar *rack.Bar)) *scene {
	f := rack.Fastener{Name: "bolt", Size: "M10", To: r3.Vector{Z: 8}, Joins: []string{"bar", "mount"}, Nuts: []rack.Nut{{At: 6, Beyond: true, Locking: true}}}
	m := frame.Mount{Name: "mount", Bolt: "M10", At: r3.Vector{}, Faces: above, Holds: frame.Hole}
	bar := rack.Bar{Name: "bar", Section: rack.Section{Form: rack.Flat, Width: 64, Thick: 4}, From: r3.Vector{X: -50, Y: -32}, To: r3.Vector{X: 50, Y: -32}, A: r3.Vector{Y: 1}, B: above}
	change(&f, &m, &bar)
	j := sceneOf(part{name: "bar", bar: &bar}, boltOf(f))
	j.mount(&f, m)
	return j
}

// A bolt is in its mount, beside it, short of it and past its end, by 0.3 mm at most.
func TestInItsMountExactly(t *testing.T) {
	type change = func(f *rack.Fastener, m *frame.Mount, bar *rack.Bar)
	at := func(x, z float64) change {
		return func(_ *rack.Fastener, m *frame.Mount, bar *rack.Bar) {
			m.At, bar.From.Z, bar.To.Z = r3.Vector{X: x, Z: z}, z, z
		}
	}
	require.Empty(t, tiedAt(at(0, 0)).found)
	require.Empty(t, tiedAt(at(touch, 0)).found)
	beside := tiedAt(at(next(touch), 0)).saying("beside it")
	require.Len(t, beside, 1)
	require.InDelta(t, touch, beside[0].By, 1e-9)
	length := 8.0
	require.Empty(t, tiedAt(at(0, length+touch)).saying("does not reach"))
	require.Len(t, tiedAt(at(0, next(length+touch))).saying("does not reach"), 1)
	require.InDelta(t, 2, tiedAt(at(0, 10)).saying("does not reach")[0].By, 1e-9)
	require.Empty(t, tiedAt(at(0, -touch)).saying("does not reach"))
	require.Len(t, tiedAt(at(0, -next(touch))).saying("does not reach"), 1)
	require.InDelta(t, 2, tiedAt(at(0, -2)).saying("does not reach")[0].By, 1e-9)
	faces := func(z float64) change { return func(_ *rack.Fastener, m *frame.Mount, _ *rack.Bar) { m.Faces.Z = z } }
	require.Empty(t, tiedAt(faces(0.999)).found)
	require.Len(t, tiedAt(faces(0.998)).saying("straight into"), 1)
	require.Empty(t, tiedAt(faces(-0.999)).saying("straight into"), "either way")
}

// A thread takes a bolt without a nut, by 0.8 of its diameter; a hole or a stud takes a nut. Nothing of
// it is a matter of more or less but the depth.
func TestThreadExactly(t *testing.T) {
	in := func(holds frame.Holds, nuts int, rod bool, mm float64) *scene {
		return tiedAt(func(f *rack.Fastener, m *frame.Mount, _ *rack.Bar) {
			m.Holds, f.Rod, f.To.Z = holds, rod, mm
			f.Nuts = f.Nuts[:nuts]
		})
	}
	require.Empty(t, in(frame.Thread, 0, false, 8).found)
	shallow := in(frame.Thread, 0, false, 7)
	require.Len(t, shallow.found, 1)
	require.InDelta(t, 1, shallow.found[0].By, 1e-9)
	require.Contains(t, shallow.found[0].Text, "is only 7.0 mm in the thread of the mount mount; 8.0 mm at least")
	require.Empty(t, in(frame.Thread, 0, true, 7).found, "how deep a rod goes in is not known")
	for _, holds := range []frame.Holds{frame.Hole, frame.Stud} {
		require.Empty(t, in(holds, 1, false, 8).found)
		without := in(holds, 0, false, 8)
		require.Len(t, without.found, 1)
		require.Zero(t, without.found[0].By)
	}
	require.Len(t, in(frame.Thread, 1, false, 8).found, 1)

	thick := func(mm float64, rod bool) *scene {
		return tiedAt(func(f *rack.Fastener, m *frame.Mount, _ *rack.Bar) { m.Thick, f.Rod = mm, rod })
	}
	require.Empty(t, thick(6, false).found)
	require.Len(t, thick(0.5, false).found, 1, "thin metal as well")
	require.Empty(t, thick(0.5, true).found)
	bolt := tiedAt(func(f *rack.Fastener, _ *frame.Mount, _ *rack.Bar) { f.Size = "M8" })
	require.Zero(t, bolt.saying("nothing is drilled wider")[0].By)
}

// Where the mount's face is not at the seat of the head, both count from there.
func TestMountAlongItsBolt(t *testing.T) {
	up := func(holds frame.Holds, thick, length, nut float64) *scene {
		return tiedAt(func(f *rack.Fastener, m *frame.Mount, bar *rack.Bar) {
			m.At.Z, bar.From.Z, bar.To.Z = 4, 4, 4
			m.Holds, m.Thick, f.To.Z = holds, thick, length
			if f.Nuts[0].At = nut; nut == 0 {
				f.Nuts = nil
			}
		})
	}
	require.Empty(t, up(frame.Thread, 0, 12, 0).found)
	require.InDelta(t, 1, up(frame.Thread, 0, 11, 0).found[0].By, 1e-9)
	require.Empty(t, up(frame.Hole, 6, 24, 10).found)
	require.Len(t, up(frame.Hole, 6, 24, 6).found, 1)
}

// A bar lies against a mount's face to 0.3 mm, or against the tube that stands on it.
func TestAgainstAMountExactly(t *testing.T) {
	off := func(mm float64, tube *rack.Sleeve) []Violation {
		j := tiedAt(func(f *rack.Fastener, m *frame.Mount, bar *rack.Bar) {
			m.At.Z, f.Sleeve = -mm, tube // the bar's face is at 0
		})
		return j.saying("lies against the face")
	}
	require.Empty(t, off(0, nil))
	require.Empty(t, off(touch, nil))
	require.Len(t, off(next(touch), nil), 1)
	require.InDelta(t, 2, off(2, nil)[0].By, 1e-9)
	require.Empty(t, off(2, &rack.Sleeve{From: -2, To: 0, Outer: 16}))
	require.Empty(t, off(2, &rack.Sleeve{From: -2 + touch/2, To: touch / 2, Outer: 16}))
	require.Len(t, off(2, &rack.Sleeve{From: -1.5, To: 0.5, Outer: 16}), 1, "the tube does not stand on it")
	require.Len(t, off(2, &rack.Sleeve{From: -2, To: -1, Outer: 16}), 1, "the tube is too short")

	f := &rack.Fastener{To: r3.Vector{Z: 20}, Sleeve: &rack.Sleeve{From: touch, To: 10}}
	m := frame.Mount{}
	require.Equal(t, 10-touch, tubed(f, m))
	f.Sleeve.From = next(touch)
	require.Zero(t, tubed(f, m))
	f.Sleeve = &rack.Sleeve{From: -10, To: -touch}
	require.Equal(t, 10-touch, tubed(f, m), "it ends at the face")
	m.At.Z, f.Sleeve = 4, &rack.Sleeve{From: -6, To: 4}
	require.Equal(t, 10.0, tubed(f, m))
	f.Sleeve = &rack.Sleeve{From: 4, To: 14}
	require.Equal(t, 10.0, tubed(f, m))
	f.Sleeve = nil
	require.Zero(t, tubed(f, m))
}

// A bolt goes through what hangs on the rack, which is no tie to the frame, and through nothing else of
// the frame but mounts.
func TestTiesOfWhatHangs(t *testing.T) {
	j := sceneOf(barOf("bar"), boltOf(m6("bolt", "bar", "plate", "down-tube")))
	j.problem.Frame.KeepOuts = []frame.KeepOut{{Name: "tank"}, {Name: "plate", Hangs: []frame.Hang{{Bolt: "M6"}}}}
	j.tied()
	require.Len(t, j.found, 2)
	require.Contains(t, j.found[0].Text, `goes into "down-tube"`)
	require.Contains(t, j.found[1].Text, "nothing ties the rack to the frame")
	require.Zero(t, j.found[0].By+j.found[1].By)
	j = sceneOf(barOf("bar"), boltOf(m6("bolt", "bar", "tank")))
	j.problem.Frame.KeepOuts = []frame.KeepOut{{Name: "tank"}}
	j.tied()
	require.Len(t, j.saying(`goes into "tank"`), 1)
}
