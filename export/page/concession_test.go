package page

import (
	"slices"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/whatif"
)

// withConcession is the example, the second layout of which takes off a rail and notches
// a block that is put above.
func withConcession(t *testing.T) Input {
	t.Helper()
	in := example(t)
	f := *in.Problem.Frame
	shelf := frame.KeepOut{Name: "shelf", Box: &frame.Corners{Low: r3.Vector{X: 100, Y: -50, Z: 900}, High: r3.Vector{X: 200, Y: 50, Z: 950}}}
	f.KeepOuts = append(slices.Clone(f.KeepOuts), shelf)
	in.Problem.Frame = &f
	part := func(low, high float64) frame.KeepOut {
		return frame.KeepOut{Name: "shelf", Box: &frame.Corners{Low: r3.Vector{X: low, Y: -50, Z: 900}, High: r3.Vector{X: high, Y: 50, Z: 950}}}
	}
	corners := []r2.Point{{X: 140, Y: 900}, {X: 160, Y: 900}, {X: 160, Y: 950}, {X: 140, Y: 950}}
	in.Layouts[1].Concession = &whatif.Concession{
		Off:   []string{f.Rails[0].Name},
		Frame: f.WithRailsOff([]int{0}).WithKeepOut(len(f.KeepOuts)-1, part(100, 140), part(160, 200)),
		Notches: []whatif.Notch{{
			KeepOut: "shelf", For: pack.Part{Box: "controller", Number: 1}, Depth: 25.4,
			Solids: []geom.Solid{geom.Prism{Profile: geom.Polygon{Corners: corners}, Depth: r1.Interval{Lo: -50, Hi: 50}}},
		}},
	}
	return in
}

// What is the same in all layouts is in the picture once; what a concession changes is in
// the layouts that it belongs to.
func TestSolidsOfConcessions(t *testing.T) {
	in := withConcession(t)
	of := map[string][][]int{}
	for _, s := range sceneOf(in).Solids {
		of[s.Name] = append(of[s.Name], s.Layouts)
	}
	require.Equal(t, [][]int{{0}, {1}, {1}}, of["shelf"], "whole in the first, two parts in the second")
	name := in.Problem.Frame.Rails[0].Name
	require.Equal(t, [][]int{{0}}, of[name+" left"], "off in the second")
	for other, list := range of {
		if other != "shelf" && other != name+" left" && other != name+" right" {
			for _, layouts := range list {
				require.Nil(t, layouts, "%s is in all", other)
			}
		}
	}
}

// The page tells what a layout takes, with its cautions, in both units, and the picture
// and its list of names follow the layout.
func TestConcessionsOnThePage(t *testing.T) {
	in := withConcession(t)
	name := in.Problem.Frame.Rails[0].Name
	o := open(t, in, 900)
	o.settle()
	names := func() string {
		return o.eval(`() => [...document.querySelectorAll('.ticks label')].map(e => e.textContent).join('|')`)
	}
	require.Contains(t, names(), name+" left")
	require.NotContains(t, o.eval(`() => document.querySelector('article.chosen').textContent`), "Concessions used")
	o.changes("the layout with concessions", o.clicking(`[name=layout][value="2"]`))
	require.NotContains(t, names(), name+" left")
	require.Contains(t, names(), "shelf")
	text := func() string { return o.eval(`() => document.querySelector('article.chosen').innerText`) }
	require.Contains(t, text(), name+" off for good")
	require.Contains(t, text(), "shelf notched 25.4 mm deep")
	require.Contains(t, text(), "cut for controller 1: 20 mm long, 100 mm wide, 50 mm high (100 cm³)")
	require.Contains(t, text(), "carried load: someone qualified")
	require.Contains(t, text(), "can explode when it is cut")
	o.clicking(`[name=unit][value=in]`)()
	require.Contains(t, text(), "shelf notched 1 in deep")
	o.quiet()
}
