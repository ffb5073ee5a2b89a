package frame

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
	"github.com/stretchr/testify/require"

	"rackwright/frame/strict"
	"rackwright/geom"
)

// whole is a frame file with every key of the format.
const whole = `format: 1
frame: Ferry 90
units: mm
accuracy: 2
opening:
  outline: [[0, 0], [420, 0], [620, 380], [60, 460]]
  sides: [belly, down-tube, top, seat post]
  open: [top]
  stations:
    - {z: 0, across: 220}
    - {z: 300, across: [-130, 150]}
  metal: false
rails:
  - name: bar
    path: [[430, 0, -20], [640, 0, 400]]
    diameter: 38
    mirror: false
    removable: true
    gap: 6
keepouts:
  - name: tank
    outline: [[80, 420], [400, 380], [520, 470], [80, 520]]
    across: 200
    metal: false
    lifts_off: true
    trim: 20
    gap: 8
  - {name: motor, round: {from: [90, -90, 70], to: [90, 95, 70], diameter: 180}}
  - {name: shock, box: {low: [-40, -30, 100], high: [40, 30, 300]}}
mounts:
  - {name: engine mount, at: [400, 60, 40], bolt: M10, mirror: true}
`

func TestReadsEveryKey(t *testing.T) {
	f, err := Read(strings.NewReader(whole), "f.yaml")
	require.NoError(t, err)
	require.Equal(t, "Ferry 90", f.Name)
	require.Equal(t, geom.Millimetre, f.Unit)
	require.Equal(t, 2.0, f.Accuracy)
	require.Equal(t, []r2.Point{{}, {X: 420}, {X: 620, Y: 380}, {X: 60, Y: 460}}, f.Opening.Outline.Corners)
	require.Equal(t, []string{"belly", "down-tube", "top", "seat post"}, f.Opening.Sides)
	require.Equal(t, []bool{false, false, true, false}, f.Opening.Open)
	require.Equal(t, []Station{{0, r1.Interval{Lo: -110, Hi: 110}}, {300, r1.Interval{Lo: -130, Hi: 150}}}, f.Opening.Stations)
	require.False(t, f.Opening.Metal)
	six, eight := 6.0, 8.0
	require.Equal(t, []Rail{{
		Name: "bar", Path: []r3.Vector{{X: 430, Z: -20}, {X: 640, Z: 400}}, Diameter: 38, Removable: true, Gap: &six,
	}}, f.Rails)
	require.Len(t, f.KeepOuts, 3)
	tank := f.KeepOuts[0]
	require.Equal(t, []r2.Point{{X: 80, Y: 420}, {X: 400, Y: 380}, {X: 520, Y: 470}, {X: 80, Y: 520}}, tank.Profile.Outline.Corners)
	require.Equal(t, r1.Interval{Lo: -100, Hi: 100}, tank.Profile.Across)
	require.Equal(t, []any{false, true, 20.0, &eight}, []any{tank.Metal, tank.LiftsOff, tank.Trim, tank.Gap})
	require.Equal(t, &Round{From: r3.Vector{X: 90, Y: -90, Z: 70}, To: r3.Vector{X: 90, Y: 95, Z: 70}, Diameter: 180}, f.KeepOuts[1].Round)
	require.True(t, f.KeepOuts[1].Metal, "the default")
	require.Equal(t, &Corners{Low: r3.Vector{X: -40, Y: -30, Z: 100}, High: r3.Vector{X: 40, Y: 30, Z: 300}}, f.KeepOuts[2].Box)
	require.Equal(t, []Mount{{Name: "engine mount", At: r3.Vector{X: 400, Y: 60, Z: 40}, Bolt: "M10", Mirror: true}}, f.Mounts)
	require.Len(t, f.Hash, 64)
}

func TestReadsInchesJSONAndEitherWayRound(t *testing.T) {
	f, err := Read(strings.NewReader(`{"format": 1, "frame": "J", "units": "in", "opening":
 {"outline": [[0, "10 in"], [20, "254 mm"], [20, 0], [0, 0]], "across": "7 5/8 in"}}`), "f.json")
	require.NoError(t, err)
	require.Equal(t, geom.Inch, f.Unit)
	require.InDelta(t, 508.0*254, f.Opening.Outline.Area(), 1e-6)
	require.InDelta(t, 7.625*25.4, f.Opening.Stations[0].Across.Length(), 1e-9)
	require.Equal(t, []string{"side 1", "side 2", "side 3", "side 4"}, f.Opening.Sides)
	require.True(t, f.Opening.Metal, "the default")
}

// bad changes the whole file in one place. The error has to stand at the line where the
// change begins, lines further down by more.
var bad = []struct {
	name, old, new string
	more           int
	rule           strict.Rule
	text           string
}{
	{"unknown key", "units: mm", "unit: mm", 0, strict.UnknownKey, "unit"},
	{"repeated key", "units: mm", "units: mm\nunits: in", 1, strict.RepeatedKey, "units"},
	{"wrong type", "accuracy: 2", "accuracy: two", 0, strict.WrongType, ""},
	{"a list for a number", "diameter: 38", "diameter: [38]", 0, strict.WrongType, ""},
	{"null for a number", "accuracy: 2", "accuracy: null", 0, strict.WrongType, ""},
	{"nothing for a number", "accuracy: 2", "accuracy:", 0, strict.WrongType, ""},
	{"null in a list", "[420, 0]", "[420, ~]", 0, strict.WrongType, ""},
	{"NaN", "accuracy: 2", "accuracy: .nan", 0, strict.WrongType, ""},
	{"infinite", "diameter: 38", "diameter: .inf", 0, strict.WrongType, ""},
	{"1e300", "diameter: 38", "diameter: 1e300", 0, strict.OutOfRange, ""},
	{"negative", "diameter: 38", "diameter: -38", 0, strict.OutOfRange, ""},
	{"half a boolean", "mirror: false", "mirror: maybe", 0, strict.WrongType, ""},
	{"another format", "format: 1", "format: 2", 0, strict.OutOfRange, "format"},
	{"half a format", "format: 1", "format: 1.5", 0, strict.WrongType, ""},
	{"a second document", "units: mm", "units: mm\n---\nformat: 1", 1, strict.Forbidden, "document"},
	{"an anchor", "accuracy: 2", "accuracy: &a 2", 0, strict.Forbidden, ""},
	{"an alias", "accuracy: 2", "accuracy: *a", 0, strict.Forbidden, ""},
	{"a tag", "accuracy: 2", "accuracy: !!int 2", 0, strict.Forbidden, ""},
	{"crossing outline", "[420, 0], [620, 380], [60, 460]]", "[420, 400], [420, 0], [0, 400]]", 0, strict.BadValue, "cross"},
	{"two corners", "[[0, 0], [420, 0], [620, 380], [60, 460]]\n  sides: [belly, down-tube, top, seat post]\n  open: [top]", "[[0, 0], [420, 0]]", 0, strict.BadValue, "corners"},
	{"station out of order", "z: 300", "z: -300", 0, strict.BadValue, "station"},
	{"stations and across", "  metal: false\nrails", "  across: 200\n  metal: false\nrails", 0, strict.BadValue, "stations"},
	{"right of left", "[-130, 150]", "[150, -130]", 0, strict.OutOfRange, ""},
	{"rail of no length", "[640, 0, 400]]", "[430, 0, -20]]", 0, strict.BadValue, ""},
	{"rail of one point", ", [640, 0, 400]]", "]", 0, strict.BadValue, "point"},
	{"a name twice", "name: shock", "name: tank", 0, strict.BadName, "used already"},
	{"a side twice", "[belly, down-tube, top,", "[belly, top, top,", 0, strict.BadName, "another side"},
	{"too few sides", "[belly, down-tube, top, seat post]\n  open: [top]", "[belly, down-tube]", 0, strict.BadValue, "sides"},
	{"an open side of no name", "open: [top]", "open: [roof]", 0, strict.BadValue, "no side has this name"},
	{"control characters", "frame: Ferry 90", "frame: \"a\\e[31m\"", 0, strict.BadName, ""},
	{"text that runs backwards", "frame: Ferry 90", "frame: \"a\\u202Eb\"", 0, strict.BadName, ""},
	{"an empty name", "frame: Ferry 90", "frame: \"\"", 0, strict.BadName, ""},
	{"two forms", "high: [40, 30, 300]}}", "high: [40, 30, 300]}, round: {from: [0, 0, 0], to: [1, 0, 0], diameter: 2}}", 0, strict.BadValue, "one of"},
	{"corners the wrong way", "low: [-40,", "low: [50,", 0, strict.BadValue, ""},
	{"not YAML", "units: mm", "units: [mm", 1, strict.Syntax, ""},
	{"a gap of two metres", "gap: 6", "gap: 2000", 0, strict.OutOfRange, ""},
	{"unit of no length", "diameter: 38", "diameter: 38 kg", 0, strict.WrongType, ""},
}

func TestBadFilesAreRefusedWhereTheyAreBad(t *testing.T) {
	for _, c := range bad {
		t.Run(c.name, func(t *testing.T) {
			at := strings.Index(whole, c.old)
			require.GreaterOrEqual(t, at, 0, "the case is about the file")
			text := strings.Replace(whole, c.old, c.new, 1)
			_, err := Read(strings.NewReader(text), "f.yaml")
			var all strict.Errors
			require.ErrorAs(t, err, &all)
			first := all[0]
			require.Equal(t, 1+strings.Count(whole[:at], "\n")+c.more, first.Line, "%v", err)
			require.Equal(t, c.rule, first.Rule, "%v", err)
			require.Contains(t, strings.ToLower(first.Text), c.text)
			require.Positive(t, first.Column)
			require.Equal(t, strings.Split(text, "\n")[first.Line-1], first.Source, "the line is shown")
			require.True(t, strings.HasPrefix(err.Error(), fmt.Sprintf("f.yaml:%d:%d: ", first.Line, first.Column)), "%v", err)
			require.NotContains(t, err.Error(), "\x1b")
			require.NotContains(t, err.Error(), "\u202e")
		})
	}
}

func TestAllErrorsAtOnce(t *testing.T) {
	text := strings.NewReplacer("diameter: 38", "diameter: -38", "trim: 20", "trim: -20", "[640, 0, 400]]", "[430, 0, -20]]").Replace(whole)
	_, err := Read(strings.NewReader(text), "f.yaml")
	var all strict.Errors
	require.ErrorAs(t, err, &all)
	require.GreaterOrEqual(t, len(all), 3)
	require.Less(t, all[0].Line, all[len(all)-1].Line)
}

func TestHostileFiles(t *testing.T) {
	long := "format: 1\nframe: x\n#" + strings.Repeat("x", strict.MaxSize)
	deep := "format: 1\nframe: " + strings.Repeat("[", 20000)
	for name, text := range map[string]string{
		"large": long, "deep": deep, "empty": "", "a comment": "# nothing", "a list": "- 1", "a word": "frame",
		"deep maps": "opening: " + strings.Repeat("{a: ", 5000), "deep dashes": strings.Repeat("- ", 9000), "zero": "\x00",
		"bytes": "frame: \xff\xfe", "missing": "format: 1\n", "many points": strings.Replace(whole, "[640, 0, 400]]", strings.Repeat("[1, 2, 3], ", 40)+"[640, 0, 400]]", 1),
	} {
		_, err := Read(strings.NewReader(text), "f.yaml")
		var all strict.Errors
		require.ErrorAs(t, err, &all, name)
		require.Less(t, len(err.Error()), 20000, name)
	}
	_, err := Read(broken{}, "f.yaml")
	require.ErrorIs(t, err, errBroken)
}

var errBroken = errors.New("no disk")

type broken struct{}

func (broken) Read([]byte) (int, error) { return 0, errBroken }

func FuzzRead(f *testing.F) {
	f.Add(whole)
	for _, c := range bad {
		f.Add(strings.Replace(whole, c.old, c.new, 1))
	}
	paths, err := filepath.Glob("../testdata/*/frame.yaml")
	require.NoError(f, err)
	for _, path := range paths {
		text, err := os.ReadFile(path)
		require.NoError(f, err)
		f.Add(string(text))
	}
	f.Fuzz(func(t *testing.T, text string) {
		fr, err := Read(strings.NewReader(text), "f.yaml")
		if err != nil {
			return
		}
		require.NotEmpty(t, fr.Name)
		require.NotEmpty(t, fr.Opening.Stations)
		_, err = geom.PolygonFromCorners(fr.Opening.Outline.Corners)
		require.NoError(t, err)
		for _, o := range fr.Obstacles(fr.Accuracy) {
			lo := o.Solid.Extent(r3.Vector{X: 1}).Lo
			require.Equal(t, lo, lo, "no NaN")
		}
	})
}

func BenchmarkRead(b *testing.B) {
	for b.Loop() {
		if _, err := Read(strings.NewReader(whole), "f.yaml"); err != nil {
			b.Fatal(err)
		}
	}
}
