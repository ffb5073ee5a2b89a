package answer

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/geom"
	"rackwright/pack"
	"rackwright/pack/entry"
	"rackwright/pack/limit"
	"rackwright/pack/outcome"
	"rackwright/pack/search"
	"rackwright/pack/whatif"
)

const crate = `
format: 1
frame: crate
opening: {outline: [[0, 0], [102, 0], [102, 52], [0, 52]], across: 72, metal: false}
`

// inputOf fits a pack into the crate, or into the frame that is given.
func inputOf(t *testing.T, packText string, frameText ...string) Input {
	t.Helper()
	f, err := frame.Read(strings.NewReader(strings.Join(append([]string{crate}, frameText...)[len(frameText):], "")), "frame.yaml")
	require.NoError(t, err)
	p, err := pack.Read(strings.NewReader("format: 1\npack: load\n"+packText), "pack.yaml")
	require.NoError(t, err)
	problem, err := pack.NewProblem(f, p)
	require.NoError(t, err)
	r, err := search.Fit(context.Background(), problem, search.Settings{Layouts: 1})
	require.NoError(t, err)
	require.NoError(t, whatif.AskSure(context.Background(), problem, &r, whatif.Settings{}))
	return Input{Problem: problem, Result: r}
}

func words(t *testing.T, in Input) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(&b, in))
	return b.String()
}

// A box of 100×70×50 mm in a crate of 102×72×52 mm has 1 mm on every side.
func TestTheWholeAnswer(t *testing.T) {
	in := inputOf(t, "boxes: [{name: box, size: [100, 70, 50]}]")
	in.Written = []string{"out/layout-1.yaml"}
	require.Equal(t, `load into crate
It fits, but tight: 1.00 mm to spare as measured, and no accuracy is given to say how sure that is.
Neither file says how far a measurement may be off (accuracy): all count as exact. Give an accuracy before you trust this.
Every measurement may be off by 0.6 mm the wrong way at once, and the first layout still fits.
No other layout has more to spare: this is proven.

Tightest (clearance: what there is; gap: what there has to be):
  box 1 – side 1: clearance 1 mm, gap 0 mm
  box 1 – side 2: clearance 1 mm, gap 0 mm
  box 1 – side 3: clearance 1 mm, gap 0 mm

Where the boxes go, in mm (lowest point above the floor, nearest point to the rear, reach from the middle):
  box 1  1 up  1 from rear  35 right to 35 left  upright, front forward

How it goes in:
  1. box 1: slide in from the left 73 mm

Written:
  "out/": layout-1.yaml

Cautions:
  - Frame members carry load: leave cutting and welding to someone qualified. Local vehicle rules decide.
`, words(t, in))
}

func TestVerdictsInWords(t *testing.T) {
	tight := inputOf(t, "boxes: [{name: box, size: [100, 70, 50], accuracy: 3}]")
	require.Contains(t, words(t, tight), "It fits, but tight: 1.00 mm to spare as measured")
	never := inputOf(t, "boxes: [{name: box, size: [103, 70, 50]}]")
	text := words(t, never)
	require.Contains(t, text, "It does not fit. This is proven")
	require.Contains(t, text, "The nearest layout is 0.50 mm short.")
	require.Contains(t, text, ": overlap 0.5 mm, gap 0 mm")
	require.Contains(t, text, "Where the boxes of the nearest layout, which does not fit, go, in mm")
	require.Contains(t, text, "No layout comes nearer.")
	require.NotContains(t, text, "How it goes in")

	unknown := never
	unknown.Result.Verdict, unknown.Result.Bound, unknown.Result.Stopped = pack.NoFitFound, math.Inf(1), search.Time
	text = words(t, unknown)
	require.Contains(t, text, "No fit found.\nThat is not a proof that there is none.")
	require.Contains(t, text, "is not known. The time ran out; --time allows more.")
	unknown.Result.AnyEntry = true
	require.Contains(t, words(t, unknown), "was not asked for (--entry any)")
}

// Numbers are rounded so that the builder is never told of more than there is.
func TestRoundedToTheSafeSide(t *testing.T) {
	p := printer{nil, geom.Millimetre}
	require.Equal(t, "1.23 mm", p.spare(1.2399))
	require.Equal(t, "1.24 mm", p.short(1.2301))
	require.Equal(t, "4.00 mm", p.spare(4-1e-9))
	p.unit = geom.Inch
	require.Equal(t, "1/16 in", p.spare(3.1))
	require.Equal(t, "1/8 in", p.short(3.1))
	require.Equal(t, "less than 1/16 in", p.spare(1.5), "there is something")
	require.Equal(t, "0 in", p.spare(0))
	require.Equal(t, "less than 1/16 in", p.spare(1.587))
	require.Equal(t, "1/16 in", p.spare(1.5875))
	require.Equal(t, "1/8 in", p.spare(3.175-1e-6), "rounding has taken a nanometre")
	require.Equal(t, "1/16 in", p.lessCell(3.1)+" in")
	require.Equal(t, "1/8 in", p.moreCell(3.1)+" in")
	require.Equal(t, "1/16 in", p.given(geom.MillimetresPerInch/16))
	require.Equal(t, "0.020 in", p.given(0.02*geom.MillimetresPerInch))
	p.unit = geom.Millimetre
	require.Equal(t, "-0.01", p.lessCell(-0.001))
	require.Equal(t, "0.00", p.lessCell(-1e-9))
	require.Equal(t, "0.00", p.lessCell(-4e-8), "what rounding has taken")
	require.Equal(t, "0.00", p.moreCell(4e-8))
	require.Equal(t, "0.00 mm", p.spare(-4e-8))
	require.Equal(t, "less than 0.01 mm", p.short(4e-8), "there is something, and it is not -0.00")
	require.Equal(t, "0.00 mm", p.short(0))
	require.Equal(t, "0.01 mm", p.short(0.001))
	require.Equal(t, "3.01", p.moreCell(3.001))
	require.Equal(t, "less than 0.1 mm", p.less(0.04))
}

func TestJSONIsWhatTheWordsSay(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, WriteJSON(&b, inputOf(t, "boxes: [{name: box, size: [100, 70, 50], accuracy: 0.1}]")))
	var got map[string]any
	require.NoError(t, json.Unmarshal(b.Bytes(), &got))
	require.Equal(t, "sure", got["verdict"])
	require.Equal(t, true, got["proven"])
	require.InDelta(t, 1, got["spare_mm"], 1e-9)
	require.InDelta(t, 1, got["bound_mm"], 0.01)
	layout := got["layouts"].([]any)[0].(map[string]any)
	require.Equal(t, []any{"box 1", "side 1"}, layout["tightest"])
	require.Len(t, layout["order"], 1)

	b.Reset()
	nothing := Input{Problem: inputOf(t, "boxes: [{name: box, size: [10, 10, 10]}]").Problem}
	nothing.Result = search.Result{Spare: math.Inf(-1), Bound: math.Inf(1), Verdict: pack.NoFitFound}
	require.NoError(t, WriteJSON(&b, nothing))
	require.NoError(t, json.Unmarshal(b.Bytes(), &got))
	require.Nil(t, got["spare_mm"], "null where there is no layout")
	require.Nil(t, got["bound_mm"], "null where no bound is known")
	require.Equal(t, []any{}, got["layouts"], "a list, never null")
}

// A file without an accuracy has no worst case: it is not called sure without saying so.
func TestAnAccuracyThatIsMissingIsSaid(t *testing.T) {
	const sure = "It fits, for sure"
	for _, c := range []struct{ frame, box, has, not string }{
		{"", "", "Neither file says", sure},
		{"", "", "but tight: 1.00 mm to spare as measured, and no accuracy is given", "Measure again"},
		{"accuracy: 0.1\n", "", "The pack file does not say", "frame file"},
		{"", ", accuracy: 0.1", "The frame file does not say", "pack file"},
		{"", ", swell: 0.1", "but tight", sure},
		{"accuracy: 0.1\n", ", accuracy: 0.1", sure, "count as exact"},
		{"", ", accuracy: 3", "but tight", "Neither"},
		{"", ", accuracy: 3", "The frame file does not say", sure},
	} {
		in := inputOf(t, "boxes: [{name: box, size: [100, 70, 50]"+c.box+"}]", crate+c.frame)
		require.Contains(t, words(t, in), c.has)
		require.NotContains(t, words(t, in), c.not)
	}
}

// Each caution appears when it applies, and not otherwise. The limits: 23 kg is the load
// constant of NIOSH 94-110, 60 V DC that of ISO 6469-3 (from memory).
func TestCautionsThatApply(t *testing.T) {
	kind := func(change func(*pack.Kind)) *pack.Pack {
		k := pack.Kind{Name: "block", Count: 4}
		change(&k)
		return &pack.Pack{Kinds: []pack.Kind{k}}
	}
	for _, c := range []struct {
		word    string
		yes, no *pack.Pack
	}{
		{"two people or a hoist", kind(func(k *pack.Kind) { k.Mass = 23.1 }), kind(func(k *pack.Kind) { k.Mass = 23 })},
		{"60 V DC", kind(func(k *pack.Kind) { k.Volts, k.ChargeVolts = 12, 15.1 }), kind(func(k *pack.Kind) { k.Volts, k.ChargeVolts = 12, 15 })},
		{"60 V DC", kind(func(k *pack.Kind) { k.Volts = 15 }), kind(func(k *pack.Kind) { k.Volts = 12 })}, // called 60 V, and 48 V
		{"boots on every post", kind(func(k *pack.Kind) { k.Posts = make([]pack.Post, 1) }), kind(func(*pack.Kind) {})},
		{"boots on every post", kind(func(k *pack.Kind) { k.Volts = 3 }), kind(func(*pack.Kind) {})},
		{"hydrogen", kind(func(k *pack.Kind) { k.Volts = 12 }), kind(func(*pack.Kind) {})},
		{"hydrogen", kind(func(k *pack.Kind) { k.Volts, k.Flooded = 12, true }), kind(func(*pack.Kind) {})},
		{"Lithium", kind(func(k *pack.Kind) { k.Volts = 12 }), kind(func(k *pack.Kind) { k.Volts, k.Flooded = 12, true })},
		{"Lithium", kind(func(k *pack.Kind) { k.Volts = 3.2 }), kind(func(*pack.Kind) {})},
	} {
		require.Contains(t, strings.Join(Cautions(c.yes), "\n"), c.word)
		require.NotContains(t, strings.Join(Cautions(c.no), "\n"), c.word)
		short := strings.ReplaceAll(c.word, "boots on every post", "boots on every one")
		require.Contains(t, strings.Join(BoxCautions(c.yes, c.yes.Kinds[0]), "\n"), short)
		require.NotContains(t, strings.Join(BoxCautions(c.no, c.no.Kinds[0]), "\n"), short)
	}
	always := kind(func(*pack.Kind) {})
	require.Contains(t, Cautions(always)[0], "Local vehicle rules decide")

	over := pack.Layout{Placements: []pack.Placement{
		{Box: "block", Number: 1, Orientation: pack.Orientation{Up: pack.Bottom, Front: pack.Front}},
		{Box: "block", Number: 2, Orientation: pack.Orientation{Up: pack.Top, Front: pack.Front}},
	}}
	require.Equal(t, []string{"block 1"}, TurnedOver(kind(func(k *pack.Kind) { k.Volts = 12 }), over))
	require.Empty(t, TurnedOver(kind(func(*pack.Kind) {}), over), "a charger may hang")
}

func TestPlacesByTape(t *testing.T) {
	in := inputOf(t, "boxes: [{name: box, size: [100, 70, 50], stand: [upright, on-side, on-end]}]")
	at := pack.Placement{Box: "box", Number: 1, Orientation: pack.Orientation{Up: pack.Front, Front: pack.Top}, Centre: r3.Vector{X: 50, Y: -60, Z: 60}}
	place, err := PlaceOf(in.Problem, at)
	require.NoError(t, err)
	require.Equal(t, []float64{10, 25}, []float64{place.FromFloor, place.FromRear})
	require.Equal(t, "25 mm to 95 mm right of the middle", place.AcrossWords(geom.Millimetre))
}

func TestHowItGoesIn(t *testing.T) {
	step := entry.Step{Box: "b", Number: 1, Legs: []r3.Vector{{Y: -310}, {Z: -42}}, Off: []string{"tank"}}
	other := entry.Step{Box: "b", Number: 2, Legs: []r3.Vector{{Z: -80}}}
	a := entry.Answer{GoesIn: true, Order: entry.Order{Steps: []entry.Step{step, other}}}
	in := inputOf(t, "boxes: [{name: b, count: 2, size: [10, 10, 10]}]")
	in.Result.Layouts[0].Entry = a
	text := words(t, in)
	require.Contains(t, text, "How it goes in: take off first: tank.")
	require.Contains(t, text, "  1. b 1: slide in from the left 310 mm, then down 42 mm\n")

	var b bytes.Buffer
	require.NoError(t, WriteEntry(&b, in.Problem, Entry{Answer: a, Given: true, Undo: []Undo{
		{pack.Part{Box: "b", Number: 1}, []entry.Step{{Box: "b", Number: 1, Legs: step.Legs}}},
		{pack.Part{Box: "b", Number: 2}, []entry.Step{step, other}},
		{pack.Part{Box: "b", Number: 3}, nil},
	}}))
	require.Contains(t, b.String(), "The order that is given holds")
	require.Contains(t, b.String(), "b 2: take off tank; first take out b 1\n")
	require.NotContains(t, b.String(), "  b 1: first")
	require.NotContains(t, b.String(), "  b 1: take")
	require.Contains(t, b.String(), "b 3: no straight moves bring it out\n")

	b.Reset()
	bad := Entry{Given: true, Answer: a, Faults: []entry.Fault{{Text: "b 1 meets the tank"}}}
	require.NoError(t, WriteEntry(&b, in.Problem, bad))
	require.Contains(t, b.String(), "Fault of the order: b 1 meets the tank")
	require.False(t, bad.Holds())

	stuck := entry.Answer{Stuck: entry.Stuck{Boxes: []pack.Part{{Box: "b", Number: 1}}, Obstacles: []string{"rail"}}}
	require.Equal(t, "b 1 cannot come out past rail", Hindered(stuck))
	require.False(t, Entry{Answer: stuck}.Holds())
	require.True(t, Entry{Unknown: true}.Holds())
}

func TestCheckInWords(t *testing.T) {
	in := inputOf(t, "boxes: [{name: box, size: [100, 70, 50]}]")
	l := in.Result.Layouts[0]
	var b bytes.Buffer
	require.NoError(t, WriteCheck(&b, in.Problem, l.Layout, outcome.Judge(in.Problem, l.Layout)))
	require.Contains(t, b.String(), "The layout holds, as measured: 1.00 mm to spare.")
	moved := pack.Layout{Placements: []pack.Placement{l.Layout.Placements[0]}}
	moved.Placements[0].Centre.X += 3
	b.Reset()
	require.NoError(t, WriteCheck(&b, in.Problem, moved, outcome.Judge(in.Problem, moved)))
	require.Contains(t, b.String(), "it is 2.00 mm short")
	b.Reset()
	none := pack.Layout{}
	require.NoError(t, WriteCheck(&b, in.Problem, none, outcome.Judge(in.Problem, none)))
	require.Contains(t, b.String(), "Fault: ")
	require.Contains(t, b.String(), "The layout does not hold.")
}

func TestPostsAreToldOf(t *testing.T) {
	post := pack.Post{Name: "plus", Face: pack.Top, At: r2.Point{X: 5, Y: 5}}
	require.NotEmpty(t, Cautions(&pack.Pack{Kinds: []pack.Kind{{Count: 1, Posts: []pack.Post{post}}}}))
	reach := entry.Answer{GoesIn: true, Reach: []entry.Reach{{
		Post: pack.Part{Box: "b", Number: 2, Post: "minus"}, When: entry.Before, Boxes: []pack.Part{{Box: "b", Number: 4}},
	}}}
	require.Equal(t, []string{"connect b 2 minus before b 4 goes in"}, postsJSON(reach))
}

// A post's place is told from the face that the file measures it from, and less of it from
// the face on the other side.
func TestWordsForThePlaceOfAPost(t *testing.T) {
	m := limit.Measured{Sort: limit.PostPlace, Of: "battery plus", What: "from the back"}
	require.Equal(t, "how far battery plus is from the back of its box", measuredWords(m))
	p := printer{unit: geom.Millimetre}
	require.Equal(t, "battery plus 1 mm further from the back", p.effect(limit.Effect{Measured: m}, "more"))
	require.Equal(t, "battery plus 1 mm further from the front", p.effect(limit.Effect{Measured: m}, "less"))
}
