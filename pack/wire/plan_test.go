package wire

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/rack"
)

const twoPosts = `{name: plus, face: top, at: [25, 25], diameter: 12, height: 10, polarity: "+", bolt: M6}, {name: minus, face: top, at: [125, 25], diameter: 12, height: 10, polarity: "-", bolt: M6}`

// laid puts upright boxes with posts at places in a wide bay.
func laid(t *testing.T, wiring, posts string, places ...r3.Vector) (pack.Problem, pack.Layout) {
	t.Helper()
	f, err := frame.Read(strings.NewReader("{format: 1, frame: bay, opening: {outline: [[0, 0], [3000, 0], [3000, 600], [0, 600]], across: 900}}"), "f")
	require.NoError(t, err)
	p, err := pack.Read(strings.NewReader(fmt.Sprintf(
		"{format: 1, pack: laid, gaps: {boot: 3}, wiring: {%s}, boxes: [{name: block, count: %d, size: [150, 100, 100], volts: 12.8, amp_hours: 60, charge_volts: 14.6, posts: [%s]}]}",
		wiring, len(places), posts)), "p")
	require.NoError(t, err)
	problem, err := pack.NewProblem(f, p)
	require.NoError(t, err)
	var l pack.Layout
	for i, at := range places {
		l.Placements = append(l.Placements, pack.Placement{Box: "block", Number: i + 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}, Centre: at})
	}
	require.Empty(t, pack.Check(problem, l).Faults)
	return problem, l
}

// grid is places in rows across.
func grid(long, wide int) []r3.Vector {
	var all []r3.Vector
	for i := range long {
		for k := range wide {
			all = append(all, r3.Vector{X: 100 + 170*float64(i), Y: 110*float64(k) - 300, Z: 60})
		}
	}
	return all
}

func made(t *testing.T, p pack.Problem, l pack.Layout) Plan {
	t.Helper()
	plan, err := Make(p, l, Settings{})
	require.NoError(t, err)
	return plan
}

// No cable of a whole plan is nearer to anything than asked: cases, other posts, the frame. By
// geom's distances of the cables' solids, not by what the router reckons.
func TestPlansKeepTheirDistance(t *testing.T) {
	const off = 1e-6 // mm
	for name, c := range map[string]struct {
		wiring string
		places []r3.Vector
	}{
		"five in series":                           {"amps: 120, cables: [25, 35]", grid(5, 1)},
		"two strings of four":                      {"strings: 2, series: 4, amps: 100", grid(4, 2)},
		"sixteen, four blocks of four in parallel": {"series: 4, parallel: 4, amps: 100", grid(4, 4)},
	} {
		p, l := laid(t, c.wiring, twoPosts, c.places...)
		plan := made(t, p, l)
		fixed, posts, err := surroundings(p, l, nil)
		require.NoError(t, err)
		require.Len(t, posts, 2*len(c.places), name)
		for _, j := range plan.Cables() {
			for _, piece := range j.Solids {
				for _, o := range fixed {
					require.GreaterOrEqual(t, geom.Distance(piece, o.Solid), o.Gap-off, "%s: %v to %v and %s", name, j.From, j.To, o.Name)
				}
				for part, o := range posts {
					if part != j.From && part != j.To {
						require.GreaterOrEqual(t, geom.Distance(piece, o.Solid), o.Gap-off, "%s: %v to %v and %v", name, j.From, j.To, part)
					}
				}
			}
			require.GreaterOrEqual(t, j.Cut, j.Path.Length+2*intoLug, name)
			require.Less(t, j.Cut, j.Path.Length+2*intoLug+cutStep, name)
		}
	}
}

// The pack has the voltage that was asked for, and nothing is shorted, when potentials are
// followed from post to post (Kirchhoff's second law); every jumper is joined once, with the
// fuse out first and in last; every post gets a boot.
func TestPlansGiveTheVoltage(t *testing.T) {
	for _, c := range []struct {
		wiring string
		places []r3.Vector
		volts  float64
		joints int
		breaks int
	}{
		{"amps: 60", grid(2, 2), 4 * 12.8, 3, 0},
		{"amps: 120", grid(5, 1), 5 * 12.8, 4, 1},
		{"strings: 2, series: 4, amps: 100", grid(4, 2), 4 * 12.8, 7, 0},
		{"series: 4, parallel: 4, amps: 100", grid(4, 4), 4 * 12.8, 27, 0},
		{"series: 5, strings: 2, amps: 100", grid(5, 2), 5 * 12.8, 9, 2},
	} {
		p, l := laid(t, c.wiring, twoPosts, c.places...)
		plan := made(t, p, l)
		require.Len(t, plan.Jumpers, c.joints, c.wiring)
		require.Len(t, plan.Breaks, c.breaks, c.wiring)
		require.Len(t, plan.Boots, 2*len(c.places))
		at := potentials(t, plan)
		for _, post := range plan.Minus {
			require.InDelta(t, 0, at[post], 1e-9, c.wiring)
		}
		for _, post := range plan.Plus {
			require.InDelta(t, c.volts, at[post], 1e-9, c.wiring)
		}
		require.InDelta(t, c.volts, plan.Volts, 1e-9)
		steps := plan.Steps()
		require.Equal(t, Prepare, steps[0].Do)
		require.Equal(t, PutFuse, steps[len(steps)-1].Do)
		var joined []int
		for i, s := range steps[1 : len(steps)-1] {
			joined = append(joined, s.Jumper)
			require.Equal(t, i >= len(steps)-2-c.breaks, s.Do == CloseLast, "the links in the middle last")
		}
		slices.Sort(joined)
		for i := range plan.Jumpers {
			require.Equal(t, i, joined[i])
		}
	}
}

// potentials are those of all posts in volts over the first minus, followed along jumpers (same
// potential) and batteries (12.8 V); two ways to a post have to agree.
func potentials(t *testing.T, plan Plan) map[pack.Part]float64 {
	t.Helper()
	at := map[pack.Part]float64{plan.Minus[0]: 0}
	other := func(post pack.Part) (pack.Part, float64) {
		if post.Post == "plus" {
			post.Post = "minus"
			return post, -12.8
		}
		post.Post = "plus"
		return post, 12.8
	}
	for queue := []pack.Part{plan.Minus[0]}; len(queue) > 0; queue = queue[1:] {
		here := queue[0]
		reach := func(post pack.Part, volts float64) {
			if known, ok := at[post]; ok {
				require.InDelta(t, known, volts, 1e-9, "%v", post)
				return
			}
			at[post] = volts
			queue = append(queue, post)
		}
		post, volts := other(here)
		reach(post, at[here]+volts)
		for _, j := range plan.Jumpers {
			if j.From == here {
				reach(j.To, at[here])
			}
			if j.To == here {
				reach(j.From, at[here])
			}
		}
	}
	require.Len(t, at, len(plan.Boots), "every post is reached")
	return at
}

// Of several posts of a polarity the one that suits is taken; what is not joined, unused ones
// too, gets a boot all the same. Derived: in a row, with a minus at either end and the plus in
// the middle, a link goes from the plus to the nearer minus of the next, 75 from 85 away.
func TestSeveralPostsOfAPolarity(t *testing.T) {
	const posts = `{name: plus, face: top, at: [75, 50], diameter: 12, height: 10, polarity: "+"},
		{name: rear, face: top, at: [15, 50], diameter: 12, height: 10, polarity: "-"},
		{name: fore, face: top, at: [135, 50], diameter: 12, height: 10, polarity: "-"},
		{name: sense, face: top, at: [75, 85], diameter: 8, height: 10, unused: true}`
	p, l := laid(t, "amps: 60", posts, grid(3, 1)...)
	plan := made(t, p, l)
	require.Len(t, plan.Jumpers, 2)
	for _, j := range plan.Jumpers {
		require.Equal(t, "plus", j.From.Post)
		want := "rear"
		if j.To.Number < j.From.Number {
			want = "fore"
		}
		require.Equal(t, want, j.To.Post)
	}
	require.Len(t, plan.Boots, 12)
	unused := 0
	for _, b := range plan.Boots {
		if b.Unused {
			unused++
		}
		require.True(t, b.Unused || b.Post.Post != "sense")
	}
	require.Equal(t, 12-4-2, unused, "four at jumpers, two are the pack's ends")
}

// The quick measure is no more than what is planned, and, where nothing is between the posts,
// that of the best of all orders.
func TestStraight(t *testing.T) {
	for _, places := range [][]r3.Vector{grid(5, 1), grid(2, 2), grid(6, 2)} {
		p, l := laid(t, "amps: 60", twoPosts, places...)
		batteries, err := batteriesOf(p, l)
		require.NoError(t, err)
		w, _ := p.Pack.Wired()
		j := straightJoints(w, batteries)
		short := Straight(p, l)
		if len(places) <= 5 {
			require.InDelta(t, allTried(j), short, 1e-9)
			require.LessOrEqual(t, short, made(t, p, l).Total()+1e-6)
		}
		require.Greater(t, short, 0.0)
	}
	p, l := laid(t, "amps: 60", twoPosts, grid(2, 1)...)
	p.Pack.Kinds[0].Volts = 0
	require.Zero(t, Straight(p, l), "nothing to wire")
}

// A bar of a rack across the straight way of a jumper is gone round, 3 mm off; without the rack
// the way is straight.
func TestRackIsGoneRound(t *testing.T) {
	p, l := laid(t, "amps: 60", twoPosts, grid(2, 1)...)
	free := made(t, p, l)
	require.Len(t, free.Jumpers[0].Path.Points, 2)
	a, b := free.Jumpers[0].Path.Points[0], free.Jumpers[0].Path.Points[1]
	middle := a.Add(b).Mul(0.5)
	bar := rack.Bar{
		Name: "bearer", Section: rack.Section{Form: rack.Flat, Width: 20, Thick: 3},
		From: middle.Add(r3.Vector{Y: -60, Z: -10}), To: middle.Add(r3.Vector{Y: 60, Z: -10}), A: r3.Vector{Z: 1}, B: r3.Vector{X: 1},
	}
	around := Around(&rack.Rack{Bars: []rack.Bar{bar}})
	require.Less(t, geom.Distance(free.Jumpers[0].Solids[0], around[0].Solid), 0.0, "it is in the way")
	plan, err := Make(p, l, Settings{Rack: around})
	require.NoError(t, err)
	for _, piece := range plan.Jumpers[0].Solids {
		require.GreaterOrEqual(t, geom.Distance(piece, around[0].Solid), offFrame-1e-6)
	}
	require.Greater(t, plan.Jumpers[0].Path.Length, free.Jumpers[0].Path.Length)
}

// Controller and charger are led to from the pack's two ends, minus first; each step joins a cable
// of its own, and every cable is joined by one.
func TestLeads(t *testing.T) {
	f, err := frame.Read(strings.NewReader("{format: 1, frame: bay, opening: {outline: [[0, 0], [2000, 0], [2000, 600], [0, 600]], across: 900}}"), "f")
	require.NoError(t, err)
	box := "size: [150, 100, 100], posts: [" + twoPosts + "]"
	p, err := pack.Read(strings.NewReader("{format: 1, pack: p, wiring: {amps: 60, controller: {box: controller}, charger: {box: charger, plus: plus, minus: minus}}, boxes: ["+
		"{name: block, count: 3, volts: 12.8, amp_hours: 60, "+box+"}, {name: controller, "+box+"}, {name: charger, "+box+"}]}"), "p")
	require.NoError(t, err)
	problem, err := pack.NewProblem(f, p)
	require.NoError(t, err)
	var l pack.Layout
	for i, at := range grid(5, 1) {
		part := pack.Placement{Box: "block", Number: i + 1, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}, Centre: at}
		if i > 2 {
			part.Box, part.Number = []string{"controller", "charger"}[i-3], 1
		}
		l.Placements = append(l.Placements, part)
	}
	plan := made(t, problem, l)
	for box, leads := range map[string][]Jumper{"controller": plan.Leads, "charger": plan.Charging} {
		require.Len(t, leads, 2)
		require.Equal(t, plan.Plus[0], leads[0].From)
		require.Equal(t, plan.Minus[0], leads[1].From)
		require.Equal(t, []string{box, "plus", box, "minus"}, []string{leads[0].To.Box, leads[0].To.Post, leads[1].To.Box, leads[1].To.Post})
	}
	require.Len(t, plan.Cables(), 2+2+2)
	require.Empty(t, plan.Notes, "no cable lies across another")
	for i, a := range plan.Cables() {
		for _, b := range plan.Cables()[:i] {
			if a.From == b.From || a.From == b.To || a.To == b.From || a.To == b.To {
				continue
			}
			for _, p := range a.Solids {
				for _, q := range b.Solids {
					require.GreaterOrEqual(t, geom.Distance(p, q), -1e-6, "%v to %v and %v to %v", a.From, a.To, b.From, b.To)
				}
			}
		}
	}
	seen := map[int]bool{}
	for _, s := range plan.Steps() {
		if cable, joins := plan.Joined(s); joins {
			require.False(t, seen[cable])
			seen[cable] = true
		}
	}
	require.Len(t, seen, 6)
}
