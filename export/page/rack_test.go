package page

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"rackwright/export/rackplan"
	"rackwright/pack/entry"
	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
)

// withRack is the trail bike's layout with its rack.
func withRack(t testing.TB) Input {
	t.Helper()
	problem, layout := layoutOfExample(t, "trail", "../../testdata/trail/rack-layout.yaml")
	file, err := os.Open("../../pack/rack/judge/testdata/trail-rack.yaml")
	require.NoError(t, err)
	defer file.Close()
	r, err := rack.Read(file, "rack.yaml")
	require.NoError(t, err)
	report, err := judge.Judge(problem, layout, r, judge.Settings{})
	require.NoError(t, err)
	require.True(t, report.Sound())
	in := inputOf(t, problem, layout)
	one := &in.Layouts[0]
	one.Entry, err = entry.Plan(context.Background(), problem, layout, entry.Settings{})
	require.NoError(t, err)
	one.Rack = &rackplan.Answer{Problem: problem, Layout: layout, Rack: r, Report: report}
	return in
}

// The rack is shown and hidden, and built step by step: first nothing of it is there, at the end
// all of it is.
func TestRackIsShownHiddenAndBuilt(t *testing.T) {
	in := withRack(t)
	o := open(t, in, 1000)
	o.settle()
	o.changes("without the rack", o.clicking(`[name=rack]`))
	o.changes("with it again", o.clicking(`[name=rack]`))
	const words = `() => document.querySelector('[name=order]').closest('fieldset').querySelector('.now').textContent`
	require.Equal(t, "Everything is in its place.", o.eval(words))
	require.Equal(t, "Build it", o.eval(`() => document.querySelector('[name=order]').closest('fieldset').querySelector('legend').textContent`))
	o.changes("nothing there", o.clicking(`[data-play=empty]`))
	steps := rackplan.Building(*in.Layouts[0].Rack)
	require.Equal(t, fmt.Sprintf("1 of %d. %s", len(steps), steps[0].Words), o.eval(words))
	for n, begins := range []string{"Take off tank", "What comes now lies loose", "Place lower seam bar 1"} {
		o.clicking(`[data-play=on]`)()
		o.settle()
		require.Contains(t, o.eval(words), fmt.Sprintf("%d of %d. %s", n+2, len(steps), begins))
	}
	o.changes("the first bar", o.clicking(`[data-play=on]`))
	o.changes("all of it", o.clicking(`[data-play=all]`))
	o.quiet()
}

// Every part of the rack is in the scene, every move of building a leg; bolts come after their
// bars, foam after its box. No part is left out of the order.
func TestRackScene(t *testing.T) {
	in := withRack(t)
	a := *in.Layouts[0].Rack
	l := sceneOf(in).Layouts[0]
	require.Len(t, l.Rack.Parts, len(a.Rack.Bars)+len(a.Rack.Fasteners)+len(a.Rack.Pads))
	came := map[int]int{}
	for n, leg := range l.Legs {
		came[leg.Box] = n + 1
	}
	boxes := len(l.Boxes)
	for i, b := range a.Rack.Bars {
		require.NotZero(t, came[boxes+i], b.Name)
	}
	for i := range boxes {
		require.NotZero(t, came[i])
	}
	at := map[string]int{}
	for i, b := range a.Rack.Bars {
		at[b.Name] = came[boxes+i]
	}
	for i, f := range a.Rack.Fasteners {
		n := boxes + len(a.Rack.Bars) + i
		if f.Rod {
			require.NotZero(t, came[n], f.Name)
			continue
		}
		for _, bar := range f.Joins {
			require.GreaterOrEqual(t, l.Rack.Parts[n-boxes].Comes, at[bar], f.Name)
		}
		require.NotZero(t, l.Rack.Parts[n-boxes].Comes, f.Name)
	}
	data, err := json.Marshal(l.Rack)
	require.NoError(t, err)
	require.Less(t, len(data), 120_000)
}

// What is told of a rack: what it holds, every bar, every step.
func TestRackInWords(t *testing.T) {
	in := withRack(t)
	var b bytes.Buffer
	require.NoError(t, Write(&b, in))
	page := b.String()
	for _, words := range []string{"keeps all seven rules", "33 CFR 183.420", "Order of building", "No torque", "Local rules", "lower seam bar 1"} {
		require.Contains(t, page, words)
	}
	require.NotContains(t, page, "Packing, at", "what lies between boxes and rack is the rack's")
	require.Contains(t, page, "With its rack: see the order of building below")
	require.Contains(t, page, "<td>connect it before upper tie bar 2 is in its place</td>")
	require.Less(t, len(page), 1_000_000)
	in.Layouts[0].Rack = nil
	b.Reset()
	require.NoError(t, Write(&b, in))
	require.False(t, strings.Contains(b.String(), "<h3>The rack"))
	require.Contains(t, b.String(), "Packing, at")
}
