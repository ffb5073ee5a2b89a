package judge_test

import (
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/pack"
	"rackwright/pack/rack"
	"rackwright/pack/rack/judge"
	"rackwright/pack/rack/loads"
)

// The racks of these tests are spoiled from a sound one that is kept as a file, so that the
// judge is tested without the designer.

func trail(t testing.TB) (pack.Problem, pack.Layout, *rack.Rack) {
	t.Helper()
	return trailWith(t, "testdata/trail-rack.yaml")
}

// trailWith is the trail bike with one of two sound racks: bolted or welded.
func trailWith(t testing.TB, file string) (pack.Problem, pack.Layout, *rack.Rack) {
	t.Helper()
	problem := read(t, "../../../testdata/trail/frame.yaml", "../../../testdata/trail/pack.yaml")
	r, err := rack.Read(opened(t, file), "rack")
	require.NoError(t, err)
	return problem, standing(), r
}

func opened(t testing.TB, path string) *os.File {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	t.Cleanup(func() { f.Close() })
	return f
}

func read(t testing.TB, framePath, packPath string) pack.Problem {
	t.Helper()
	f, err := frame.Read(opened(t, framePath), "frame")
	require.NoError(t, err)
	p, err := pack.Read(opened(t, packPath), "pack")
	require.NoError(t, err)
	problem, err := pack.NewProblem(f, p)
	require.NoError(t, err)
	return problem
}

// standing is testdata/trail/rack-layout.yaml.
func standing() pack.Layout {
	var l pack.Layout
	for i, c := range []r3.Vector{{X: 117, Y: 5, Z: 81}, {X: 218, Y: 5, Z: 81}, {X: 125, Y: 5, Z: 248}, {X: 226, Y: 5, Z: 248}, {X: 327, Y: 5, Z: 248}} {
		l.Placements = append(l.Placements, pack.Placement{
			Box: "block", Number: i + 1, Centre: c, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Right},
		})
	}
	return l
}

func TestSoundRack(t *testing.T) {
	p, l, r := trail(t)
	report, err := judge.Judge(p, l, r, judge.Settings{})
	require.NoError(t, err)
	require.Empty(t, report.Violations)
	require.Len(t, report.Order, len(r.Bars)+len(r.Fasteners)+len(l.Placements))
	require.Len(t, report.Loads.Directions, 6)
	require.Less(t, report.Loads.Balance, 1e-6)
	for _, d := range report.Loads.Directions {
		require.GreaterOrEqual(t, d.Holds, float64(judge.Aim), d.Name)
		require.NotEmpty(t, d.Weakest)
	}
}

// spoil is one thing done to a sound rack, and the rule that it breaks.
type spoil struct {
	name string
	rule judge.Rule
	do   func(r *rack.Rack)
}

func bar(r *rack.Rack, name string) *rack.Bar {
	i := slices.IndexFunc(r.Bars, func(b rack.Bar) bool { return b.Name == name })
	return &r.Bars[i]
}

func fastener(r *rack.Rack, part string) *rack.Fastener {
	i := slices.IndexFunc(r.Fasteners, func(f rack.Fastener) bool { return strings.Contains(f.Name, part) })
	return &r.Fasteners[i]
}

func withoutBar(name string) func(*rack.Rack) {
	return func(r *rack.Rack) {
		r.Bars = slices.DeleteFunc(slices.Clone(r.Bars), func(b rack.Bar) bool { return b.Name == name })
	}
}

func withoutFastener(part string) func(*rack.Rack) {
	return func(r *rack.Rack) {
		r.Fasteners = slices.DeleteFunc(slices.Clone(r.Fasteners), func(f rack.Fastener) bool { return strings.Contains(f.Name, part) })
	}
}

func movedBar(name string, by r3.Vector) func(*rack.Rack) {
	return func(r *rack.Rack) { b := bar(r, name); b.From, b.To = b.From.Add(by), b.To.Add(by) }
}

func movedFastener(part string, by r3.Vector) func(*rack.Rack) {
	return func(r *rack.Rack) { f := fastener(r, part); f.From, f.To = f.From.Add(by), f.To.Add(by) }
}

func onFastener(part string, do func(f *rack.Fastener)) func(*rack.Rack) {
	return func(r *rack.Rack) { do(fastener(r, part)) }
}

func withoutPads(of func(p rack.Pad) bool) func(*rack.Rack) {
	return func(r *rack.Rack) { r.Pads = slices.DeleteFunc(slices.Clone(r.Pads), of) }
}

func padsOf(box int, face r3.Vector) func(p rack.Pad) bool {
	return func(p rack.Pad) bool { return p.Number == box && p.Face == face }
}

func noNuts(f *rack.Fastener) { f.Nuts = nil }

func plainNuts(f *rack.Fastener) {
	for i := range f.Nuts {
		f.Nuts[i].Locking = false
	}
}

func spoils() []spoil {
	up, left, front := r3.Vector{Z: 1}, r3.Vector{Y: 1}, r3.Vector{X: 1}
	return []spoil{
		// 1 frame untouched
		{"mount bolt thinner", judge.FrameUntouched, onFastener("to front engine mount left", func(f *rack.Fastener) { f.Size = "M8" })},
		{"mount bolt beside its mount", judge.FrameUntouched, movedFastener("to front engine mount right", up.Mul(4))},
		{"mount bolt short of its mount", judge.FrameUntouched, onFastener("to rear engine mount left", func(f *rack.Fastener) { f.To = f.From.Add(f.Along().Mul(2)); f.Nuts = nil })},
		{"no nut in a mount's hole", judge.FrameUntouched, onFastener("to rear engine mount right", noNuts)},
		{"a bolt into the down-tube", judge.FrameUntouched, onFastener("to front engine mount left", func(f *rack.Fastener) { f.Joins[len(f.Joins)-1] = "down-tube" })},
		{"all ties gone", judge.FrameUntouched, withoutFastener("engine mount")},
		{"upright off the face of its mount", judge.FrameUntouched, movedBar("lower upright 1a", left.Mul(-2))},
		{"a mount that is not there", judge.FrameUntouched, onFastener("to rear engine mount left", func(f *rack.Fastener) { f.Joins[len(f.Joins)-1] = "top mount" })},
		// 2 carried
		{"seam bar gone", judge.Carried, withoutBar("lower seam bar 1")},
		{"upper seam bar gone", judge.Carried, withoutBar("upper seam bar 1")},
		{"a box with no pads under it", judge.Carried, withoutPads(padsOf(3, up.Mul(-1)))},
		{"end bar gone", judge.Carried, withoutBar("upper end bar front")},
		{"seam bar lowered", judge.Carried, movedBar("upper seam bar 1", up.Mul(-5))},
		// 3 held
		{"pads in front of a box gone", judge.Held, withoutPads(padsOf(2, front))},
		{"pads behind a box gone", judge.Held, withoutPads(padsOf(1, front.Mul(-1)))},
		{"pads over a box gone", judge.Held, withoutPads(padsOf(4, up))},
		{"hose left of a box gone", judge.Held, withoutPads(padsOf(5, left))},
		{"hose right of a box gone", judge.Held, withoutPads(padsOf(5, left.Mul(-1)))},
		{"hold-down gone", judge.Held, withoutBar("upper hold-down 2")},
		{"lower hold-down gone", judge.Held, withoutBar("lower hold-down 1")},
		{"rod gone", judge.Held, withoutFastener("upper rod 1 left")},
		{"hold-down too high", judge.Held, movedBar("lower hold-down 2", up.Mul(3))},
		{"end bar too far out", judge.Held, movedBar("lower end bar back", front.Mul(-4))},
		{"pad too thin", judge.Held, func(r *rack.Rack) {
			i := slices.IndexFunc(r.Pads, func(p rack.Pad) bool { return p.Face == up })
			r.Pads[i].High.Z -= 1
		}},
		// 4 posts
		{"hold-down beside a post", judge.Posts, movedBar("upper hold-down 3", front.Mul(30))},
		{"hold-down over a post", judge.Posts, movedBar("lower hold-down 1", front.Mul(40))},
		{"pad on a post", judge.Posts, func(r *rack.Rack) {
			i := slices.IndexFunc(r.Pads, func(p rack.Pad) bool { return p.Face == up && p.Number == 5 })
			r.Pads[i].High.X, r.Pads[i].Low.X = 376, 278
		}},
		// 5 room
		{"side member into a box", judge.Room, movedBar("upper side member left", left.Mul(-30))},
		{"side member into the skid plate", judge.Room, movedBar("lower side member right", up.Mul(-40))},
		{"end bar into a box", judge.Room, movedBar("upper end bar back", front.Mul(12))},
		{"bars in one another", judge.Room, movedBar("upper seam bar 1", up.Mul(-1))},
		{"upright into the down-tube line", judge.Room, movedBar("lower upright 1b", front.Mul(40))},
		{"two bolts in one place", judge.Room, func(r *rack.Rack) {
			f := *fastener(r, "bolt lower seam bar 1 left")
			f.Name = "another bolt"
			f.From, f.To = f.From.Add(front.Mul(7)), f.To.Add(front.Mul(7))
			r.Fasteners = append(r.Fasteners, f)
		}},
		{"a nut in a bar's corner", judge.Room, func(r *rack.Rack) {
			f := fastener(r, "bolt lower end bar front left")
			f.From, f.To = f.From.Add(front.Mul(7)), f.To.Add(front.Mul(7))
		}},
		// 6 can be put together
		{"a box walled in", judge.Assembly, func(r *rack.Rack) {
			for i, x := range []float64{60, 120, 180, 240} {
				r.Bars = append(r.Bars, rack.Bar{
					Name: "wall " + string(rune('1'+i)), Section: rack.Section{Form: rack.Flat, Width: 60, Thick: 3},
					From: r3.Vector{X: x - 4, Y: -100, Z: 150}, To: r3.Vector{X: x - 4, Y: 112, Z: 150}, A: front, B: up,
				})
			}
			for i, y := range []float64{-98, 108} {
				r.Bars = append(r.Bars, rack.Bar{
					Name: "side wall " + string(rune('1'+i)), Section: rack.Section{Form: rack.Flat, Width: 90, Thick: 3},
					From: r3.Vector{X: 50, Y: y, Z: 55}, To: r3.Vector{X: 300, Y: y, Z: 55}, A: up, B: left,
				})
			}
			joinWalls(r)
		}},
		// 7 holds
		{"locking nut gone from a rod", judge.Holds, onFastener("upper rod 1 left", func(f *rack.Fastener) { f.Nuts = f.Nuts[:2] })},
		{"locking nut gone from a bolt", judge.Holds, onFastener("bolt upper seam bar 1 left", noNuts)},
		{"plain nuts", judge.Holds, onFastener("bolt lower end bar back left", plainNuts)},
		{"bolt too short", judge.Holds, onFastener("bolt lower end bar back right", func(f *rack.Fastener) { f.To = f.From.Add(f.Along().Mul(12)) })},
		{"bolt head off the bar", judge.Holds, movedFastener("bolt lower seam bar 1 right", up.Mul(2))},
		{"bolt beside its bar", judge.Holds, movedFastener("bolt lower seam bar 1 right", left.Mul(-30))},
		{"hole at the edge", judge.Holds, movedFastener("bolt lower seam bar 1 left", front.Mul(10))},
		{"bar bolted to nothing", judge.Holds, func(r *rack.Rack) {
			b := *bar(r, "upper hold-down 1")
			b.Name, b.From, b.To = "loose bar", b.From.Add(up.Mul(8)), b.To.Add(up.Mul(8))
			r.Bars = append(r.Bars, b)
		}},
		{"nut loose on a rod", judge.Holds, onFastener("upper rod 2 right", func(f *rack.Fastener) { f.Nuts[2].At += 3; f.To = f.To.Add(up.Mul(4)) })},
		{"joint bolt gone", judge.Holds, withoutFastener("bolt upper seam bar 2")},
		{"uprights' bolts gone", judge.Holds, func(r *rack.Rack) {
			withoutFastener("upper upright 1a to")(r)
			withoutFastener("upper upright 1b to")(r)
		}},
		{"upright thinned", judge.Holds, func(r *rack.Rack) { bar(r, "upper upright 1a").Section.Thick = 2 }},
	}
}

// joinWalls bolts the walls to nothing but one another: only the room that they take matters.
func joinWalls(r *rack.Rack) {
	r.Fasteners = append(r.Fasteners, rack.Fastener{Name: "wall bolt", Size: "M5", Class: "8.8", From: r3.Vector{X: 60, Y: -50, Z: 150}, To: r3.Vector{X: 60, Y: -50, Z: 166}, Joins: []string{"wall 1", "wall 2", "wall 3", "wall 4", "side wall 1", "side wall 2"}})
}

// What a rack is asked to hold decides: the same rack is refused at more g than it holds.
func TestHoldsWhatIsAsked(t *testing.T) {
	p, l, r := trail(t)
	report, err := judge.Judge(p, l, r, judge.Settings{Hold: 10})
	require.NoError(t, err)
	require.NotEmpty(t, report.Violations)
	for _, v := range report.Violations {
		require.Equal(t, judge.Holds, v.Rule)
		require.Equal(t, "g", v.Unit)
		require.Positive(t, v.By)
	}
	less := slices.DeleteFunc(report.Loads.Directions, func(d loads.Direction) bool { return d.Holds >= 10 })
	require.Len(t, report.Violations, len(less))
	for _, d := range less {
		i := slices.IndexFunc(report.Violations, func(v judge.Violation) bool { return strings.HasPrefix(v.Text, d.Name+" the rack holds ") })
		require.GreaterOrEqual(t, i, 0, d.Name)
		v := report.Violations[i]
		require.InDelta(t, 10-d.Holds, v.By, 1e-9)
		require.Equal(t, []string{d.Weakest}, v.Parts)
		var shown float64
		_, err := fmt.Sscanf(v.Text, d.Name+" the rack holds %f g", &shown)
		require.NoError(t, err)
		require.InDelta(t, d.Holds-0.05, shown, 0.0501, "a tenth, and never more than it holds")
		require.Contains(t, v.Text, loads.WouldDo(r, d.Weakest, 10/d.Holds))
	}
}

// spoiled is the rack of a spoil with its boxes and frame: the welded one where its name says weld, that
// on clamps where it says clamp, that with a motor plate where it says what hangs.
func (s spoil) spoiled(t *testing.T) (pack.Problem, pack.Layout, *rack.Rack) {
	p, l, r := trail(t)
	switch {
	case strings.Contains(s.name, "weld"):
		p, l, r = trailWith(t, "testdata/trail-welded.yaml")
	case strings.Contains(s.name, "clamp"):
		p, l, r = clamped(t)
	case strings.Contains(s.name, "what hangs"):
		p, l, r = hanging(t)
	}
	s.do(r)
	return p, l, r
}

// catalogue is all that is done to sound racks.
func catalogue() []spoil { return slices.Concat(spoils(), weldSpoils(), clampSpoils(), hangSpoils()) }

// Every spoiled rack is refused by the right rule, with its parts. What a rack holds is only
// reckoned where nothing else is wrong with it.
func TestSpoiledRacks(t *testing.T) {
	require.GreaterOrEqual(t, len(spoils()), 40)
	for _, s := range catalogue() {
		p, l, r := s.spoiled(t)
		report, err := judge.Judge(p, l, r, judge.Settings{NoLoads: true})
		require.NoError(t, err, s.name)
		if report.Sound() {
			report, err = judge.Judge(p, l, r, judge.Settings{})
			require.NoError(t, err, s.name)
		}
		i := slices.IndexFunc(report.Violations, func(v judge.Violation) bool { return v.Rule == s.rule })
		if i < 0 {
			t.Errorf("%s: not refused by %v, but %v", s.name, s.rule, texts(report))
			continue
		}
		require.NotEmpty(t, report.Violations[i].Parts, s.name)
		require.NotEmpty(t, report.Violations[i].Text, s.name)
	}
}

var update = flag.Bool("update", false, "write what the judge says anew: read what changed")

// What the judge says of each spoiled rack, all of it, is what somebody has read and found right.
func TestSpoiledRacksLineByLine(t *testing.T) {
	said := newRecord(t, "testdata/spoiled.txt")
	for _, s := range catalogue() {
		p, l, r := s.spoiled(t)
		report, err := judge.Judge(p, l, r, judge.Settings{NoLoads: true})
		require.NoError(t, err, s.name)
		var got strings.Builder
		for _, v := range report.Violations {
			fmt.Fprintf(&got, "\t%v: %s: %.2f %s\n", v.Rule, strings.Join(v.Parts, " / "), v.By, v.Unit)
		}
		said.add(s.name, got.String())
	}
	said.done()
}

// record is a file of titles with lines under them, that what is got is held against at once.
type record struct {
	t    *testing.T
	path string
	want map[string]string
	got  strings.Builder
}

func newRecord(t *testing.T, path string) *record {
	t.Helper()
	r := &record{t: t, path: path, want: map[string]string{}}
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	title := ""
	for line := range strings.Lines(string(text)) {
		if !strings.HasPrefix(line, "\t") {
			title = strings.TrimSuffix(line, "\n")
			continue
		}
		r.want[title] += line
	}
	return r
}

func (r *record) add(title, lines string) {
	r.t.Helper()
	fmt.Fprintf(&r.got, "%s\n%s", title, lines)
	if !*update {
		require.Equal(r.t, r.want[title], lines, title)
	}
}

// done writes the file anew where that is asked for.
func (r *record) done() {
	if *update {
		require.NoError(r.t, os.WriteFile(r.path, []byte(r.got.String()), 0o644))
	}
}

// The order in which a sound rack is built, with its moves, and when each post is connected: as
// somebody has read it and found that it can be done.
func TestOrderLineByLine(t *testing.T) {
	said := newRecord(t, "testdata/order.txt")
	for _, file := range []string{"trail-rack.yaml", "trail-welded.yaml"} {
		p, l, r := trailWith(t, "testdata/"+file)
		report, err := judge.Judge(p, l, r, judge.Settings{NoLoads: true})
		require.NoError(t, err)
		require.True(t, report.Sound())
		var got strings.Builder
		for n, s := range report.Order {
			for _, x := range report.Reach {
				if x.Before == n {
					fmt.Fprintf(&got, "\tconnect %v\n", x.Post)
				}
			}
			fmt.Fprintf(&got, "\t%s%s", s.Name, map[bool]string{true: " (box)"}[s.Box])
			for _, m := range s.Legs {
				fmt.Fprintf(&got, " [%.1f %.1f %.1f]", m.X, m.Y, m.Z)
			}
			fmt.Fprintln(&got)
		}
		for _, x := range report.Reach {
			if x.Before == len(report.Order) {
				fmt.Fprintf(&got, "\tlast %v %s\n", x.Post, strings.Join(x.Things, ", "))
			}
		}
		said.add(file, got.String())
	}
	said.done()
}

func texts(r judge.Report) []string {
	var list []string
	for _, v := range r.Violations {
		list = append(list, v.Rule.String()+": "+v.Text)
	}
	return list
}
