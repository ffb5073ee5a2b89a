package judge_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
)

// clamped is a sound rack on four clamps, and nothing else.
func clamped(t testing.TB) (pack.Problem, pack.Layout, *rack.Rack) {
	t.Helper()
	return twoBlocks(t, "clamps", pack.Left, r3.Vector{X: 153, Z: 84}, r3.Vector{X: 267, Z: 84})
}

// twoBlocks is the rack of some files, with two blocks that stand in it.
func twoBlocks(t testing.TB, files string, front pack.Face, centres ...r3.Vector) (pack.Problem, pack.Layout, *rack.Rack) {
	t.Helper()
	p := read(t, "testdata/"+files+"-frame.yaml", "testdata/clamps-pack.yaml")
	var l pack.Layout
	for i, at := range centres {
		l.Placements = append(l.Placements, pack.Placement{
			Box: "block", Number: i + 1, Centre: at, Orientation: pack.Orientation{Up: pack.Top, Front: front},
		})
	}
	r, err := rack.Read(opened(t, "testdata/"+files+"-rack.yaml"), "rack")
	require.NoError(t, err)
	return p, l, r
}

func clamp(r *rack.Rack, part string) *rack.Clamp {
	i := slices.IndexFunc(r.Clamps, func(c rack.Clamp) bool { return strings.Contains(c.Name, part) })
	return &r.Clamps[i]
}

func onClamp(part string, do func(c *rack.Clamp)) func(*rack.Rack) {
	return func(r *rack.Rack) { do(clamp(r, part)) }
}

// clampSpoils are done to the rack on clamps.
func clampSpoils() []spoil {
	const one = "cradle left at x 143"
	return []spoil{
		{"clamp gone", judge.FrameUntouched, func(r *rack.Rack) { r.Clamps = r.Clamps[1:] }},
		{"clamp on a rail that is not there", judge.FrameUntouched, onClamp(one, func(c *rack.Clamp) { c.Rail = "bay rail" })},
		{"clamp beside its rail", judge.FrameUntouched, onClamp(one, func(c *rack.Clamp) { c.At.Y += 1 })},
		{"clamp over the end of its rail", judge.FrameUntouched, onClamp(one, func(c *rack.Clamp) { c.At.X = -12 })},
		{"clamp across its rail", judge.FrameUntouched, onClamp(one, func(c *rack.Clamp) { c.Along = r3.Vector{Y: 1} })},
		{"clamp for another tube", judge.FrameUntouched, onClamp(one, func(c *rack.Clamp) { c.Diameter = 26 })},
		{"clamp shifted on its rail", judge.FrameUntouched, onClamp(one, func(c *rack.Clamp) { c.At.X += 2 })},
		{"clamp facing down", judge.FrameUntouched, onClamp(one, func(c *rack.Clamp) { c.Faces.Z = -1 })},
		{"clamp with a thinner nut", judge.FrameUntouched, onClamp(one, func(c *rack.Clamp) { c.Bolt = "M6" })},
		{"clamp with too long a bolt", judge.FrameUntouched, onFastener("to clamp on "+one, func(f *rack.Fastener) { f.To.Z -= 4 })},
		{"clamp with too short a bolt", judge.FrameUntouched, onFastener("to clamp on "+one, func(f *rack.Fastener) { f.To.Z += 4 })},
		{"clamp without its sleeve", judge.FrameUntouched, onFastener("to clamp on "+one, func(f *rack.Fastener) { f.Sleeve = nil })},
		{"clamp with no bolt", judge.Holds, withoutFastener("to clamp on " + one)},
		{"clamp on another one", judge.Room, func(r *rack.Rack) {
			c := *clamp(r, one)
			c.Name, c.At.X = "clamp beside it", c.At.X+20
			r.Clamps = append(r.Clamps, c)
		}},
		{"two clamps alone", judge.Holds, func(r *rack.Rack) {
			r.Clamps = slices.DeleteFunc(r.Clamps, func(c rack.Clamp) bool { return strings.Contains(c.Name, "x 143") })
			withoutFastener("x 143")(r)
		}},
	}
}

func TestSoundRackOnClamps(t *testing.T) {
	p, l, r := clamped(t)
	report, err := judge.Judge(p, l, r, judge.Settings{})
	require.NoError(t, err)
	require.Empty(t, report.Violations)
	require.Len(t, report.Order, len(r.Bars)+len(r.Fasteners)+len(r.Clamps)+len(l.Placements))
	for _, s := range report.Order[:len(r.Clamps)] {
		require.Contains(t, s.Name, "clamp on", "they come first")
		require.Equal(t, []r3.Vector{{Z: -26}}, s.Legs, "half the rail's thickness, and a closing bolt's head")
	}
}

// Rails carry clamps where the frame file says so, and do not come off.
func TestRailsThatMayCarryClamps(t *testing.T) {
	for name, change := range map[string]func(r *frame.Rail){
		"no clamps": func(r *frame.Rail) { r.Clamps = false },
		"comes off": func(r *frame.Rail) { r.Removable = true },
	} {
		p, l, r := clamped(t)
		f := *p.Frame
		f.Rails = slices.Clone(f.Rails)
		change(&f.Rails[0])
		p, err := pack.NewProblem(&f, p.Pack)
		require.NoError(t, err)
		report, err := judge.Judge(p, l, r, judge.Settings{NoLoads: true})
		require.NoError(t, err)
		require.Len(t, report.Violations, 4, name)
		for _, v := range report.Violations {
			require.Equal(t, judge.FrameUntouched, v.Rule)
			require.Contains(t, v.Text, "which is no rail along it that may carry clamps")
		}
	}
}

// A clamp comes onto its rail in two halves, each from its side; with something beside the rail one of
// them does not.
func TestHalvesOfAClamp(t *testing.T) {
	judged := func(low, high r3.Vector, off bool) []judge.Violation {
		p, l, r := clamped(t)
		f, gap := *p.Frame, 0.0
		f.KeepOuts = append(slices.Clone(f.KeepOuts), frame.KeepOut{Name: "silencer", Metal: true, Gap: &gap, LiftsOff: off, Box: &frame.Corners{Low: low, High: high}})
		p, err := pack.NewProblem(&f, p.Pack)
		require.NoError(t, err)
		report, err := judge.Judge(p, l, r, judge.Settings{NoLoads: true})
		require.NoError(t, err)
		return report.Violations
	}
	low, high := r3.Vector{X: 120, Y: 60, Z: -90}, r3.Vector{X: 160, Y: 120, Z: -38}
	list := judged(low, high, false)
	require.Len(t, list, 1, "its lower half has to come from below")
	require.Equal(t, judge.Assembly, list[0].Rule)
	require.Empty(t, judged(low, high, true), "it is off meanwhile")
	require.Empty(t, judged(low.Sub(r3.Vector{Z: 40}), high.Sub(r3.Vector{Z: 40}), false), "far enough below")
	high.Z = -30
	require.Equal(t, judge.Room, judged(low, high, true)[0].Rule, "it is in the clamp")
}

// A clamp and a mount are not to have one name: nobody could tell them apart.
func TestClampNamedAsAMount(t *testing.T) {
	p, l, r := clamped(t)
	f := *p.Frame
	f.Mounts = []frame.Mount{{Name: r.Clamps[0].Name, At: r3.Vector{X: 10, Y: 10}}}
	p, err := pack.NewProblem(&f, p.Pack)
	require.NoError(t, err)
	report, err := judge.Judge(p, l, r, judge.Settings{NoLoads: true})
	require.NoError(t, err)
	require.Len(t, report.Violations, 1)
	require.Contains(t, report.Violations[0].Text, "has the name of a mount")
	require.Zero(t, report.Violations[0].By)
}
