package pack

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame/strict"
	"rackwright/geom"
)

// whole is a pack file with every key of the format.
const whole = `format: 1
pack: four blocks
units: mm
gaps: {beside: 4, above: 7, wall: 1, rail: 6, keepout: 8, post: 30, boot: 5, entry: 3, tray: 7, bar: 12}
gaps_floor: {beside: 1, above: 2}
boxes:
  - name: battery
    count: 4
    size: [197, 165, 170]
    accuracy: 1
    swell: 0.5
    mass: 29 lb
    carries: 30 kg
    within: {x: [0, 40 cm], z: [-5, 400]}
    stand: [upright, on-side, on-end, inverted]
    tilt: [0, 12, -7.5]
    posts:
      - {name: plus, face: top, at: [30, 25], diameter: 18, height: 18, polarity: "+"}
      - {name: minus, face: front, at: [20, 40], diameter: 16, polarity: "-"}
    volts: 12
    amp_hours: 38
    charge_volts: 14.4
    flooded: false
  - {name: charger, size: [180, 90, 60]}
`

func TestReadsEveryKey(t *testing.T) {
	p, err := Read(strings.NewReader(whole), "p.yaml")
	require.NoError(t, err)
	require.Equal(t, "four blocks", p.Name)
	require.Equal(t, Gaps{Beside: 4, Above: 7, Wall: 1, Rail: 6, KeepOut: 8, Post: 30, Boot: 5, Entry: 3, Tray: 7, Bar: 12}, p.Gaps)
	require.NotNil(t, p.Floor)
	require.Equal(t, []float64{1, 2, 1}, []float64{p.Floor.Beside, p.Floor.Above, p.Floor.Wall}, "what the floor does not give stays")
	require.Len(t, p.Kinds, 2)
	k := p.Kinds[0]
	require.Equal(t, []any{"battery", 4, r3.Vector{X: 197, Y: 165, Z: 170}, 1.0, 0.5, 12.0, 38.0, 14.4},
		[]any{k.Name, k.Count, k.Size, k.Accuracy, k.Swell, k.Volts, k.AmpHours, k.ChargeVolts})
	require.InDelta(t, 29*0.45359237, k.Mass, 1e-12) // international pound, 1959 agreement
	require.Equal(t, 30.0, k.Carries)
	require.Equal(t, Range{{Lo: 0, Hi: 400}, nil, {Lo: -5, Hi: 400}}, k.Within)
	require.True(t, p.Kinds[1].Within.IsAny())
	require.Equal(t, []Stand{Upright, OnSide, OnEnd, Inverted}, k.Stands)
	require.Len(t, k.Tilts, 3)
	for i, want := range []float64{0, 12, -7.5} {
		require.InDelta(t, want, k.Tilts[i].Degrees(), 1e-12)
	}
	require.Equal(t, []Post{
		{Name: "plus", Face: Top, At: r2.Point{X: 30, Y: 25}, Diameter: 18, Height: 18, Polarity: "+", Line: 18},
		{Name: "minus", Face: Front, At: r2.Point{X: 20, Y: 40}, Diameter: 16, Polarity: "-", Line: 19},
	}, k.Posts)
	charger := p.Kinds[1]
	require.Equal(t, []any{1, []Stand{Upright}, []s1.Angle{0}}, []any{charger.Count, charger.Stands, charger.Tilts}, "defaults")
	require.Len(t, p.Hash, 64)
}

func TestDefaultGapsAndInches(t *testing.T) {
	p, err := Read(strings.NewReader(`{"format": 1, "pack": "p", "units": "in", "gaps": {"rail": "1/4"}, "boxes": [{"name": "b", "size": [7.5, "6 1/2\"", "17 cm"]}]}`), "p.json")
	require.NoError(t, err)
	want := DefaultGaps()
	want.Rail = 6.35
	require.Equal(t, want, p.Gaps)
	require.Equal(t, geom.Inch, p.Unit)
	require.InDelta(t, 0, p.Kinds[0].Size.Sub(r3.Vector{X: 190.5, Y: 165.1, Z: 170}).Norm(), 1e-9)
}

var bad = []struct {
	name, old, new string
	more           int
	rule           strict.Rule
	text           string
}{
	{"unknown key", "swell: 0.5", "swells: 0.5", 0, strict.UnknownKey, "swells"},
	{"unknown gap", "beside: 4", "besides: 4", 0, strict.UnknownKey, "besides"},
	{"repeated key", "    count: 4", "    count: 4\n    count: 4", 1, strict.RepeatedKey, "count"},
	{"count 0", "count: 4", "count: 0", 0, strict.OutOfRange, ""},
	{"count 10,000", "count: 4", "count: 10000", 0, strict.OutOfRange, ""},
	{"count 2.5", "count: 4", "count: 2.5", 0, strict.WrongType, ""},
	{"count of text", "count: 4", `count: "4"`, 0, strict.WrongType, ""},
	{"count beyond all numbers", "count: 4", "count: 99999999999999999999", 0, strict.OutOfRange, ""},
	{"null", "count: 4", "count: null", 0, strict.WrongType, ""},
	{"two sizes", "[197, 165, 170]", "[197, 165]", 0, strict.WrongType, ""},
	{"four sizes", "[197, 165, 170]", "[197, 165, 170, 1]", 0, strict.WrongType, ""},
	{"size 0", "[197, 165, 170]", "[197, 0, 170]", 0, strict.OutOfRange, ""},
	{"size below 0", "[197, 165, 170]", "[197, -165, 170]", 0, strict.OutOfRange, ""},
	{"a size of five metres", "[197, 165, 170]", "[5000, 165, 170]", 0, strict.OutOfRange, ""},
	{"NaN", "accuracy: 1", "accuracy: .NaN", 0, strict.WrongType, ""},
	{"1e300 volts", "volts: 12", "volts: 1.0e300", 0, strict.OutOfRange, ""},
	{"mass in mm", "29 lb", "29 mm", 0, strict.WrongType, ""},
	{"mass below 0", "29 lb", "-2", 0, strict.OutOfRange, ""},
	{"a stand of no name", "on-end, inverted", "on-edge", 0, strict.BadValue, "on-edge"},
	{"a stand twice", "on-end, inverted", "on-side", 0, strict.BadValue, ""},
	{"tilt beyond its limit", "-7.5", "75", 0, strict.OutOfRange, ""},
	{"tilt twice", "-7.5", "12", 0, strict.BadValue, ""},
	{"post off its face", "at: [30, 25]", "at: [30, 250]", 0, strict.OutOfRange, ""},
	{"a range that goes down", "z: [-5, 400]", "z: [400, -5]", 0, strict.OutOfRange, "from less to more"},
	{"a range of one number", "z: [-5, 400]", "z: 180", 0, strict.WrongType, ""},
	{"a range along no axis", "{x: [0, 40 cm], z: [-5, 400]}", "{}", 0, strict.BadValue, "x, y or z"},
	{"a range along another axis", "z: [-5, 400]", "h: [-5, 180]", 0, strict.UnknownKey, "h"},
	// Lying on a side it is 165 mm high, which goes in with the posts to the side, 18 mm wide.
	{"a range that holds no box", "z: [-5, 400]", "z: [0, 164]", 0, strict.OutOfRange, "no battery goes into this range: it lacks 1 mm"},
	{"carries of nothing known", "carries: 30 kg", "carries: 30 mm", 0, strict.WrongType, ""},
	{"post over the edge", "at: [30, 25]", "at: [5, 25]", 0, strict.OutOfRange, ""},
	{"post off another face", "at: [20, 40]", "at: [170, 40]", 0, strict.OutOfRange, ""},
	{"a face of no name", "face: top", "face: lid", 0, strict.BadValue, "lid"},
	{"polarity", `"-"}`, `"±"}`, 0, strict.BadValue, ""},
	{"a post's name twice", "name: minus", "name: plus", 0, strict.BadName, ""},
	{"a name twice", "name: charger", "name: battery", 0, strict.BadName, ""},
	{"control characters", "pack: four blocks", `pack: "a\a"`, 0, strict.BadName, ""},
	{"missing size", ", size: [180, 90, 60]", "", 0, strict.MissingKey, "size"},
	{"a second document", "    volts: 12", "---\n    volts: 12", 0, strict.Forbidden, ""},
	{"an anchor", "count: 4", "count: &a 4", 0, strict.Forbidden, ""},
	{"an alias", "count: 4", "count: *a", 0, strict.Forbidden, ""},
	{"a tag", "count: 4", "count: !!int 4", 0, strict.Forbidden, ""},
	{"a merge key", "    count: 4", "    <<: {count: 4}", 0, strict.Forbidden, ""},
	{"another format", "format: 1", "format: 2", 0, strict.OutOfRange, ""},
	{"null gap", "beside: 4", "beside: null", 0, strict.WrongType, ""},
	{"negative gap", "beside: 4", "beside: -4", 0, strict.OutOfRange, ""},
	{"a gap of two metres", "beside: 4", "beside: 2000", 0, strict.OutOfRange, ""},
	{"a floor above its gap", "{beside: 1, above: 2}", "{beside: 1, above: 9}", 0, strict.OutOfRange, "cannot be more"},
	{"size NaN", "[197, 165, 170]", "[.nan, 165, 170]", 0, strict.WrongType, ""},
	{"size 1e300", "[197, 165, 170]", "[1e300, 165, 170]", 0, strict.OutOfRange, ""},
	{"size infinite", "[197, 165, 170]", "[.inf, 165, 170]", 0, strict.WrongType, ""},
	{"null in a size", "[197, 165, 170]", "[197, null, 170]", 0, strict.WrongType, ""},
	{"negative swell", "swell: 0.5", "swell: -0.5", 0, strict.OutOfRange, ""},
	{"negative accuracy", "accuracy: 1", "accuracy: -1", 0, strict.OutOfRange, ""},
	{"negative volts", "volts: 12", "volts: -12", 0, strict.OutOfRange, ""},
	{"negative capacity", "amp_hours: 38", "amp_hours: -38", 0, strict.OutOfRange, ""},
	{"volts in text", "volts: 12", "volts: 12 V", 0, strict.WrongType, ""},
	{"charge volts NaN", "charge_volts: 14.4", "charge_volts: .nan", 0, strict.WrongType, ""},
	{"count negative", "count: 4", "count: -4", 0, strict.OutOfRange, ""},
	{"count as a list", "count: 4", "count: [4]", 0, strict.WrongType, ""},
	{"tilt NaN", "-7.5", ".nan", 0, strict.WrongType, ""},
	{"tilt in text", "-7.5", "7 deg", 0, strict.WrongType, ""},
	{"tilt 1e300", "-7.5", "1e300", 0, strict.OutOfRange, ""},
	{"no tilt", "[0, 12, -7.5]", "[]", 0, strict.BadValue, ""},
	{"no stand", "[upright, on-side, on-end, inverted]", "[]", 0, strict.BadValue, ""},
	{"an escape as a stand", "on-end, inverted", `"\e[31m"`, 0, strict.BadValue, ""},
	{"an escape as a face", "face: top", `face: "\e[31m"`, 0, strict.BadValue, ""},
	{"an escape as a polarity", `"-"}`, `"\e[31m"}`, 0, strict.BadValue, ""},
	{"an escape in a post's name", "name: minus", `name: "\e[31m"`, 0, strict.BadName, ""},
	{"text that runs backwards", "name: charger", `name: "a\u202Eb"`, 0, strict.BadName, ""},
	{"a post of no diameter", "diameter: 18", "diameter: 0", 0, strict.OutOfRange, ""},
	{"a negative post", "diameter: 18", "diameter: -18", 0, strict.OutOfRange, ""},
	{"a post that goes in", "height: 18", "height: -18", 0, strict.OutOfRange, ""},
	{"a post below its face", "at: [30, 25]", "at: [-30, 25]", 0, strict.OutOfRange, ""},
	{"a post wider than its face", "diameter: 18", "diameter: 180", 0, strict.OutOfRange, "not within"},
	{"a unit that is none", "units: mm", "units: ft", 0, strict.BadValue, ""},
	{"no boxes", "  - {name: charger", "boxes: []\nx:\n  - {name: charger", 0, strict.RepeatedKey, ""},
}

func TestBadFilesAreRefusedWhereTheyAreBad(t *testing.T) {
	for _, c := range bad {
		t.Run(c.name, func(t *testing.T) {
			at := strings.Index(whole, c.old)
			require.GreaterOrEqual(t, at, 0, "the case is about the file")
			text := strings.Replace(whole, c.old, c.new, 1)
			_, err := Read(strings.NewReader(text), "p.yaml")
			var all strict.Errors
			require.ErrorAs(t, err, &all)
			first := all[0]
			require.Equal(t, 1+strings.Count(whole[:at], "\n")+c.more, first.Line, "%v", err)
			require.Equal(t, c.rule, first.Rule, "%v", err)
			require.Contains(t, first.Text, c.text)
			require.Equal(t, strings.Split(text, "\n")[first.Line-1], first.Source, "the line is shown")
			require.True(t, strings.HasPrefix(err.Error(), fmt.Sprintf("p.yaml:%d:%d: ", first.Line, first.Column)), "%v", err)
			for _, r := range err.Error() {
				require.True(t, r == '\n' || unicode.IsPrint(r), "%q", r)
			}
		})
	}
}

// One error of each kind in a file: all are told, and none that only follows from
// another: the posts of a box without a size are on no face to be off.
func TestAllErrorsAtOnce(t *testing.T) {
	text := strings.NewReplacer(
		"beside: 4", "besides: 4",
		"{beside: 1, above: 2}", "{beside: 1, above: 9}",
		"count: 4", "count: 2.5",
		"[197, 165, 170]", "[197, null, 170]",
		"swell: 0.5", "swell: -0.5",
		"29 lb", "29 mm",
		"on-end, inverted", "on-end, flat",
		"-7.5", "75",
		"height: 18", "height: -18",
		"at: [20, 40]", "at: [999, 40]",
		"volts: 12\n", "volts: much\n",
		"name: charger", "name: battery",
	).Replace(whole)
	_, err := Read(strings.NewReader(text), "p.yaml")
	var all strict.Errors
	require.ErrorAs(t, err, &all)
	var shown []string
	for _, e := range all {
		shown = append(shown, strings.TrimSpace(e.Source)[:6])
	}
	require.Equal(t, []string{
		"gaps: ", "count:", "size: ", "swell:", "mass: ", "stand:", "tilt: ", "- {nam", "volts:", "- {nam",
	}, shown, "%v", err)
}

// A post may reach to the very edge of its face, inches and all.
func TestPostsAtTheEdge(t *testing.T) {
	file := func(at string) string {
		return "format: 1\npack: p\nunits: in\nboxes: [{name: b, size: [7.7, 3.3, 6.6], posts: [{name: plus, face: top, at: " + at + ", diameter: 1.1}]}]"
	}
	for at, ok := range map[string]bool{"[0.55, 0.55]": true, "[7.15, 2.75]": true, "[0.5499, 0.55]": false, "[7.1501, 2.75]": false, "[7.15, 2.7501]": false} {
		_, err := Read(strings.NewReader(file(at)), "p.yaml")
		require.Equal(t, ok, err == nil, "%s: %v", at, err)
	}
}

// The two coordinates of each face, in the order L, W, H: the largest that fit on a box
// of 100 × 60 × 40.
func TestPostsOfEveryFace(t *testing.T) {
	for face, at := range map[string][2]int{
		"front": {60, 40}, "back": {60, 40}, "left": {100, 40}, "right": {100, 40}, "top": {100, 60}, "bottom": {100, 60},
	} {
		for _, more := range [][2]int{{0, 0}, {1, 0}, {0, 1}} {
			_, err := Read(strings.NewReader(fmt.Sprintf(
				"format: 1\npack: p\nboxes: [{name: b, size: [100, 60, 40], posts: [{name: p, face: %s, at: [%d, %d], diameter: 2}]}]",
				face, at[0]-1+more[0], at[1]-1+more[1])), "p.yaml")
			require.Equal(t, more == [2]int{}, err == nil, "%s %v: %v", face, more, err)
		}
	}
}

func TestLimits(t *testing.T) {
	many := func(n int, each string) string {
		text := "format: 1\npack: p\nboxes:\n"
		for i := range n {
			text += strings.ReplaceAll(each, "#", fmt.Sprint(i))
		}
		return text
	}
	for name, text := range map[string]string{
		"kinds": many(MaxKinds+1, "  - {name: b#, size: [1, 1, 1]}\n"),
		"boxes": many(2, fmt.Sprintf("  - {name: b#, count: %d, size: [1, 1, 1]}\n", MaxBoxes/2+1)),
		"none":  "format: 1\npack: p\nboxes: []\n",
		"tilts": many(1, "  - {name: b, size: [1, 1, 1], tilt: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10]}\n"),
	} {
		_, err := Read(strings.NewReader(text), "p.yaml")
		var all strict.Errors
		require.ErrorAs(t, err, &all, name)
	}
	_, err := Read(strings.NewReader(many(MaxKinds, fmt.Sprintf("  - {name: b#, count: %d, size: [1, 1, 1]}\n", MaxBoxes/MaxKinds))), "p.yaml")
	require.NoError(t, err, "the limits themselves are allowed")

	for name, c := range map[string]struct {
		most int
		text string
	}{
		"size":     {MaxSize, "  - {name: b, size: [1, #, 1]}\n"},
		"count":    {MaxBoxes, "  - {name: b, count: #, size: [1, 1, 1]}\n"},
		"tilt":     {MaxTilt, "  - {name: b, size: [1, 1, 1], tilt: -#}\n"},
		"accuracy": {MaxGap, "  - {name: b, size: [1, 1, 1], accuracy: #}\n"},
		"height":   {MaxGap, "  - {name: b, size: [1, 1, 1], posts: [{name: p, face: top, at: [0.5, 0.5], diameter: 1, height: #}]}\n"},
		"volts":    {MaxVolts, "  - {name: b, size: [1, 1, 1], volts: #}\n"},
	} {
		file := func(n int) string {
			return "format: 1\npack: p\nboxes:\n" + strings.ReplaceAll(c.text, "#", fmt.Sprint(n))
		}
		_, err := Read(strings.NewReader(file(c.most)), "p.yaml")
		require.NoError(t, err, name)
		_, err = Read(strings.NewReader(file(c.most+1)), "p.yaml")
		var all strict.Errors
		require.ErrorAs(t, err, &all, name)
		require.Equal(t, strict.OutOfRange, all[0].Rule, name)
	}
	posts := func(n int) string {
		text := "format: 1\npack: p\nboxes: [{name: b, size: [1, 1, 1], posts: ["
		for i := range n {
			text += fmt.Sprintf("{name: p%d, face: top, at: [0.5, 0.5], diameter: 1},", i)
		}
		return text + "]}]"
	}
	_, err = Read(strings.NewReader(posts(MaxPosts)), "p.yaml")
	require.NoError(t, err)
	_, err = Read(strings.NewReader(posts(MaxPosts+1)), "p.yaml")
	require.Error(t, err)
}

func FuzzRead(f *testing.F) {
	f.Add(whole)
	for _, c := range bad {
		f.Add(strings.Replace(whole, c.old, c.new, 1))
	}
	paths, err := filepath.Glob("../testdata/*/pack*.yaml")
	require.NoError(f, err)
	for _, path := range paths {
		text, err := os.ReadFile(path)
		require.NoError(f, err)
		f.Add(string(text))
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := Read(strings.NewReader(text), "p.yaml")
		if err != nil {
			var all strict.Errors
			require.ErrorAs(t, err, &all)
			return
		}
		problem, err := NewProblem(crate(100, 100, 100), p)
		if err != nil {
			return
		}
		for _, k := range p.Kinds {
			require.Positive(t, k.Count)
			for _, s := range k.Stands {
				require.NotEmpty(t, s.String())
			}
			bodies, err := problem.Bodies(upright(k.Name, 1, 0, 0, 0))
			require.NoError(t, err)
			require.Len(t, bodies.Posts, len(k.Posts))
		}
	})
}

func BenchmarkRead(b *testing.B) {
	for b.Loop() {
		if _, err := Read(strings.NewReader(whole), "p.yaml"); err != nil {
			b.Fatal(err)
		}
	}
}

// A flooded battery lies on no side: refused where the stands are given, and only then.
func TestFloodedStandsUpright(t *testing.T) {
	file := func(more string) string {
		return "format: 1\npack: p\nboxes:\n  - name: b\n    size: [100, 100, 100]\n    flooded: true\n" + more
	}
	for _, more := range []string{"", "    stand: [upright]\n"} {
		p, err := Read(strings.NewReader(file(more)), "p.yaml")
		require.NoError(t, err)
		require.True(t, p.Kinds[0].Flooded)
		require.Equal(t, []Stand{Upright}, p.Kinds[0].Stands)
	}
	_, err := Read(strings.NewReader(file("    stand: [upright, on-side]\n")), "p.yaml")
	require.ErrorContains(t, err, "p.yaml:7:")
	require.ErrorContains(t, err, "spills acid")
}
