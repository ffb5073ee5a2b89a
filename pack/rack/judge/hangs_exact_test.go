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
		for _, v := range j.found {
			require.Equal(t, Violation{Held, []string{"plate"}, 0, "", v.Text}, v)
		}
		require.Equal(t, len(j.found) == 0, j.hung(&f, k, k.Hangs[0]))
		return len(j.found) == 0
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
