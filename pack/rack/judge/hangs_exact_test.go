package judge

import (
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack/rack"
)

// What hangs on the rack hangs by a bolt of its size, through a bar of the rack, that passes its point
// by 0.3 mm at most: beside it, short of it and past its end.
func TestHungExactly(t *testing.T) {
	hung := func(at r3.Vector, change func(f *rack.Fastener)) bool {
		k := frame.KeepOut{Name: "plate", Hangs: []frame.Hang{{At: at, Bolt: "M6"}}}
		f := m6("bolt", "bar", "plate")
		f.To.Z = 8
		change(&f)
		j := sceneOf(barOf("bar"), part{name: "bolt", fastener: &f})
		j.problem.Frame.KeepOuts = []frame.KeepOut{{Name: "tank"}, k}
		j.hangs()
		found := j.saying("hangs on the rack by")
		for _, v := range found {
			require.Equal(t, Violation{Held, []string{"plate"}, 0, "", v.Text}, v)
		}
		require.Equal(t, len(found) == 0, j.hung(&f, k, k.Hangs[0]))
		return len(found) == 0
	}
	as := func(*rack.Fastener) {}
	length := 8.0
	for at, is := range map[r3.Vector]bool{
		{Z: 4}: true, {X: touch, Z: 4}: true, {X: next(touch), Z: 4}: false, {Y: -next(touch), Z: 4}: false,
		{}: true, {Z: -touch}: true, {Z: -next(touch)}: false,
		{Z: length}: true, {Z: length + touch}: true, {Z: next(length + touch)}: false,
	} {
		require.Equal(t, is, hung(at, as), at)
	}
	middle := r3.Vector{Z: 4}
	for _, change := range []func(f *rack.Fastener){
		func(f *rack.Fastener) { f.Size = "M5" },
		func(f *rack.Fastener) { f.Joins = []string{"bar", "tank"} },
		func(f *rack.Fastener) { f.Joins = []string{"plate", "tank"} },
	} {
		require.False(t, hung(middle, change))
	}
}

// A bar lies on the point by 0.3 mm at most, on either side of it, or on the end of a tube that stands there.
func TestLyingExactly(t *testing.T) {
	off := func(low float64, sleeve *rack.Sleeve) []Violation {
		b := rack.Bar{
			Name: "bar", Section: rack.Section{Form: rack.Flat, Width: 20, Thick: 3},
			From: r3.Vector{X: -10, Y: -50, Z: low}, To: r3.Vector{X: -10, Y: 50, Z: low}, A: r3.Vector{X: 1}, B: r3.Vector{Z: 1},
		}
		f := m6("bolt", "bar", "plate")
		f.From, f.To, f.Sleeve = r3.Vector{Z: 16}, r3.Vector{Z: -16}, sleeve
		j := sceneOf(part{name: "bar", bar: &b}, part{name: "bolt", fastener: &f})
		j.problem.Frame.KeepOuts = []frame.KeepOut{{Name: "plate", Hangs: []frame.Hang{{Bolt: "M6"}}}}
		j.hangs()
		return j.found
	}
	require.Empty(t, off(0, nil), "on it")
	require.Empty(t, off(-3, nil), "under it")
	require.Empty(t, off(0.25, nil))
	require.Empty(t, off(-3.25, nil))
	list := off(2, nil)
	require.Len(t, list, 1)
	require.Equal(t, Violation{Held, []string{"bolt", "plate"}, 2, "mm", list[0].Text}, list[0])
	require.Contains(t, list[0].Text, "2.0 mm off; put a tube as long as that between")
	require.Len(t, off(0.35, nil), 1)
	require.Len(t, off(-5, nil), 1)
	require.Empty(t, off(6, &rack.Sleeve{From: 10, To: 16, Outer: 12}))
	require.Len(t, off(6, &rack.Sleeve{From: 10, To: 14, Outer: 12}), 1, "it does not stand there")
	require.Len(t, off(8, &rack.Sleeve{From: 10, To: 16, Outer: 12}), 1, "it is too short")
}

// A bolt holds what hangs where it joins that, and a keep-out that does not hang is not held.
func TestHanging(t *testing.T) {
	j := sceneOf()
	j.problem.Frame.KeepOuts = []frame.KeepOut{{Name: "tank"}, {Name: "plate", Hangs: []frame.Hang{{}}}, {Name: "lamp", Hangs: []frame.Hang{{}, {}}}}
	for name, is := range map[string]bool{"tank": false, "plate": true, "lamp": true, "mount": false} {
		f := m6("bolt", "bar", name)
		k, hangs := j.hanging(&f)
		require.Equal(t, is, hangs, name)
		if hangs {
			require.Equal(t, name, k.Name)
		}
	}
}
