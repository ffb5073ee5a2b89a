package rackplan

import (
	"bytes"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
)

// directions are the words of the plan for sides of the vehicle.
var directions = map[string]r3.Vector{
	"to the front": {X: 1}, "to the back": {X: -1}, "to the left": {Y: 1}, "to the right": {Y: -1}, "up": {Z: 1}, "down": {Z: -1},
}

// drilled is a hole as a builder has it who knows nothing but the plan, and where the bar's heel is.
type drilled struct {
	bar      string
	at       r3.Vector
	normal   r3.Vector
	diameter float64
}

var (
	partLine = regexp.MustCompile(`^  [A-Z]+  \d+ × (angle|flat|plate) `)
	wayLine  = regexp.MustCompile(`^       (.+): left end (.+), (leg 1|upper edge) (.+)$`)
	holeLine = regexp.MustCompile(`^       (?:leg (\d)  )? *([\d.]+) / +([\d.]+)  Ø([\d.]+)$`)
)

// fromPlan drills the holes that the plan's text tells, into each bar where it lies in the vehicle. Of
// the rack it knows the ends of the bars alone. An angle is drawn from outside and folded away from
// the reader, so leg 1, leg 2 and the way from the left end are right-handed.
func fromPlan(t *testing.T, plan string, r *rack.Rack) []drilled {
	t.Helper()
	var all []drilled
	var bars [][]string
	part := ""
	_, plan, _ = strings.Cut(plan, "DRILLING")
	plan, _, _ = strings.Cut(plan, "PARTS LIST")
	for _, line := range strings.Split(plan, "\n") {
		if m := partLine.FindStringSubmatch(line); m != nil {
			part, bars = m[1], nil
		} else if m := wayLine.FindStringSubmatch(line); m != nil {
			bars = append(bars, m[1:])
		} else if m := holeLine.FindStringSubmatch(line); m != nil {
			number := func(i int) float64 { v, err := strconv.ParseFloat(m[i], 64); require.NoError(t, err); return v }
			for _, w := range bars {
				b, ok := r.Bar(w[0])
				require.True(t, ok, w[0])
				all = append(all, drill(t, part, m[1], b, w, number(2), number(3), number(4)))
			}
		}
	}
	return all
}

func drill(t *testing.T, part, leg string, b rack.Bar, way []string, along, across, diameter float64) drilled {
	t.Helper()
	left, ok := directions[way[1]]
	require.True(t, ok, way)
	side, ok := directions[way[3]]
	require.True(t, ok, way)
	right, corner := left.Mul(-1), b.From
	if b.To.Sub(b.From).Dot(left) > 0 {
		corner = b.To
	}
	other := right.Cross(side) // leg 2
	if part != "angle" {
		other = b.B
		if b.A.Dot(side) < 0 { // measured from the other edge
			corner = corner.Sub(side.Mul(b.Section.Width))
		}
	} else if leg == "2" {
		side, other = other, side
	}
	at := corner.Add(right.Mul(along)).Add(side.Mul(across)).Add(other.Mul(b.Section.Thick / 2))
	return drilled{b.Name, at, other, diameter}
}

// sound is one of the judge's sound racks in its own frame, with no boxes.
func sound(t *testing.T, name string) Answer {
	t.Helper()
	a := example(t)
	open := func(file string) *os.File {
		f, err := os.Open("../../pack/rack/judge/testdata/" + name + "-" + file)
		require.NoError(t, err)
		t.Cleanup(func() { f.Close() })
		return f
	}
	var err error
	a.Problem.Frame, err = frame.Read(open("frame.yaml"), "frame")
	require.NoError(t, err)
	a.Rack, err = rack.Read(open("rack.yaml"), "rack")
	require.NoError(t, err)
	a.Layout, a.Report = pack.Layout{}, judge.Report{}
	return a
}

// Every hole that the plan tells is where a bolt of its size goes through that bar, to the tenth of a
// millimetre that the plan is written in, and every bolt has its hole in each bar that it joins: so
// the holes of two bars that share a bolt lie over one another.
func TestHolesOfThePlanMeetInSpace(t *testing.T) {
	const tenth = 0.08 // of two figures, each rounded to a tenth
	for name, a := range map[string]Answer{"bolted": example(t), "welded": exampleWith(t, "trail-welded.yaml"), "with a plate": plated(t), "on clamps": sound(t, "clamps"), "with what hangs": sound(t, "hangs")} {
		var b bytes.Buffer
		require.NoError(t, WritePlan(&b, a))
		holes := fromPlan(t, b.String(), a.Rack)
		used := make([]bool, len(holes))
		for _, f := range a.Rack.Fasteners {
			thread, err := rack.ThreadOf(f.Size)
			require.NoError(t, err)
			for _, joined := range f.Joins {
				if _, ok := a.Rack.Bar(joined); !ok {
					continue // a mount
				}
				i := slices.IndexFunc(holes, func(h drilled) bool {
					off := h.at.Sub(f.From)
					off = off.Sub(f.Along().Mul(off.Dot(f.Along())))
					return h.bar == joined && h.diameter == thread.Hole && off.Norm() < tenth && math.Abs(h.normal.Dot(f.Along())) > 1-1e-9
				})
				require.GreaterOrEqual(t, i, 0, "%s: no hole of %s in %s", name, f.Name, joined)
				require.False(t, used[i], "%s: %s", name, f.Name)
				used[i] = true
			}
		}
		require.NotContains(t, used, false, "%s: a hole that no bolt needs", name)
		require.NotEmpty(t, holes)
	}
}
