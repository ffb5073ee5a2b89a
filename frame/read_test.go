package frame

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

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
marks: [A, B, {name: C, y: 10, near: [620, 380]}, D]
level: {origin: A, along: A-B, slope: 0}
taped:
  - {from: A, to: B, length: 420, accuracy: 1}
  - {from: A, to: C, length: 727, accuracy: 3}
  - {from: B, to: C, length: 429, accuracy: 3}
  - {from: A, to: D, length: 464, accuracy: 3}
  - {from: B, to: D, length: 584, accuracy: 3}
  - {from: C, to: D, length: 565, accuracy: 3}
heights: [{mark: A, length: 300, accuracy: 4}, {mark: D, length: 760, accuracy: 4}]
slopes: [{from: B, to: C, degrees: 62.2, accuracy: 1}]
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
	require.Equal(t, []Mount{{Name: "engine mount", At: r3.Vector{X: 400, Y: 60, Z: 40}, Bolt: "M10", Mirror: true, Line: 42}}, f.Mounts)
	require.Len(t, f.Hash, 64)
}

func TestReadsInchesJSONAndEitherWayRound(t *testing.T) {
	f, err := Read(strings.NewReader(`{"format": 1, "frame": "J", "units": "in", "opening":
 {"outline": [[0, "10 in"], [20, "254 mm"], [20, 0], [0, 0]], "across": "7 5/8 in"}}`), "f.json")
	require.NoError(t, err)
	require.Equal(t, geom.Inch, f.Unit)
	require.InDelta(t, 508.0*254, f.Opening.Outline.Area(), 1e-6)
	require.InDelta(t, 7.625*25.4, f.Opening.Stations[0].Across.Length(), 1e-9)
	require.Equal(t, []string{"side 4", "side 3", "side 2", "side 1"}, f.Opening.Sides, "turned with the corners")
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
	{"1e400", "accuracy: 2", "accuracy: 1e400", 0, strict.OutOfRange, ""},
	{"a negative accuracy", "accuracy: 2", "accuracy: -2", 0, strict.OutOfRange, "from 0"},
	{"a negative gap", "gap: 8", "gap: -8", 0, strict.OutOfRange, "from 0"},
	{"a negative trim", "trim: 20", "trim: -20", 0, strict.OutOfRange, "from 0"},
	{"a bar of no thickness", "diameter: 180", "diameter: 0", 0, strict.OutOfRange, "diameter"},
	{"a bar of five metres", "diameter: 180", "diameter: 5000", 0, strict.OutOfRange, "diameter"},
	{"a bar of no length", "to: [90, 95, 70]", "to: [90, -90, 70]", 0, strict.BadValue, "no length"},
	{"a width of nothing", "across: 220", "across: 0", 0, strict.OutOfRange, "width"},
	{"a negative width", "across: 200", "across: -200", 0, strict.OutOfRange, "width"},
	{"a station twice", "z: 300", "z: 0", 0, strict.BadValue, "upwards"},
	{"a station nearly twice", "z: 300", "z: 0.001", 0, strict.BadValue, "upwards"},
	{"no station", "stations:\n    - {z: 0, across: 220}\n    - {z: 300, across: [-130, 150]}", "stations: []", 0, strict.BadValue, "station"},
	{"no width", "  stations:\n    - {z: 0, across: 220}\n    - {z: 300, across: [-130, 150]}\n", "", -3, strict.MissingKey, "width"},
	{"an outline without a width", "    across: 200\n", "", -2, strict.MissingKey, "go together"},
	{"a keep-out of no form", ", box: {low: [-40, -30, 100], high: [40, 30, 300]}", "", 0, strict.BadValue, "one of"},
	{"a mirrored rail's side's name taken", "mirror: false\n    removable: true\n    gap: 6\nkeepouts:\n  - name: tank", "mirror: false\n  - {name: r, path: [[0, 9, 0], [9, 9, 0]], diameter: 2, mirror: true}\nkeepouts:\n  - name: r left", 3, strict.BadName, "r left"},
	{"a mount called as a rail", "name: engine mount", "name: bar", 0, strict.BadName, "a rail"},
	{"a side open twice", "open: [top]", "open: [top, top]", 0, strict.BadName, "already"},
	{"an escape in a bolt", "bolt: M10", `bolt: "M\e[31m"`, 0, strict.BadName, ""},
	{"an escape in a rail's name", "name: bar", `name: "b\e[31m"`, 0, strict.BadName, ""},
	{"an escape in a side's name", "[belly,", `["b\e[31m",`, 0, strict.BadName, ""},
	{"an escape as a key", "units: mm", "\"\\e[31m\": mm", 0, strict.UnknownKey, ""},
	{"an escape for a number", "accuracy: 2", "accuracy: \"\\e[31m\"", 0, strict.WrongType, ""},
	{"an escape for a unit", "units: mm", "units: \"\\e[31m\"", 0, strict.BadValue, ""},
	{"a unit that is none", "units: mm", "units: cm", 0, strict.BadValue, "mm or in"},
	{"a merge key", "units: mm", "<<: {units: mm}", 0, strict.Forbidden, ""},
	{"a coordinate of 17 m", "[420, 0]", "[17 m, 0]", 0, strict.OutOfRange, "16 m"},
	{"a corner of three", "[420, 0]", "[420, 0, 0]", 0, strict.WrongType, ""},
	{"a corner twice", "[420, 0]", "[0, 0]", 0, strict.BadValue, "same place"},
	{"corners on a line", "[[80, 420], [400, 380], [520, 470], [80, 520]]", "[[0, 0], [1, 0], [2, 0]]", 0, strict.BadValue, "no area"},
	{"a missing key", "    diameter: 38\n", "", -2, strict.MissingKey, "diameter"},
	{"a side's accuracy of two metres", "[belly, down-tube, top,", "[belly, {name: down-tube, accuracy: 2000}, top,", 0, strict.OutOfRange, "an accuracy"},
	{"a rail's accuracy below nothing", "    gap: 6\n", "    accuracy: -1\n", 0, strict.OutOfRange, "an accuracy"},
	{"a side without a name", "[belly, down-tube, top,", "[belly, {accuracy: 2}, top,", 0, strict.MissingKey, "name"},
	{"two marks of one name", "{name: C, y: 10, near: [620, 380]}", "B", 0, strict.BadName, "two marks are called"},
	{"a mark that nothing fixes", "near: [620, 380]}, D]", "near: [620, 380]}, D, E]", 0, strict.BadValue, "nothing fixes the mark e: no measurement touches it. tape its distance to a, b"},
	{"no origin", "level: {origin: A, along: A-B, slope: 0}\n", "", -1, strict.MissingKey, "where is zero?"},
	{"an origin that is no mark", "origin: A", "origin: Q", 0, strict.BadValue, "marks are a, b, c, d"},
	{"a line that is none", "along: A-B", "along: A-Q", 0, strict.BadValue, "along is the line between two marks"},
	{"a distance of zero", "length: 420", "length: 0", 0, strict.OutOfRange, "tape it again"},
	{"a distance to itself", "from: A, to: B", "from: A, to: A", 0, strict.BadValue, "itself"},
	{"a distance to no mark", "from: A, to: B", "from: A, to: X", 0, strict.BadValue, "no mark is called"},
	{"an accuracy of nothing", "length: 420, accuracy: 1", "length: 420, accuracy: 0", 0, strict.OutOfRange, "more than 0"},
	{"a slope of 200 degrees", "degrees: 62.2", "degrees: 200", 0, strict.OutOfRange, "180"},
	{"a slope's accuracy of 50", "degrees: 62.2, accuracy: 1", "degrees: 62.2, accuracy: 50", 0, strict.OutOfRange, "45"},
	{"a corner at no mark", "[[0, 0], [420, 0], [620", "[X, [420, 0], [620", 0, strict.BadValue, "no mark is called \"x\""},
	{"missing across of a station", "z: 0, across: 220", "z: 0", 0, strict.MissingKey, "across"},
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

// One error of each kind in a file, some of decoding and some of checking: all are told,
// and none that only follows from another.
func TestAllErrorsAtOnce(t *testing.T) {
	text := strings.NewReplacer(
		"units: mm", "unit: mm", // line 3
		"accuracy: 2", "accuracy: two", // 4
		"z: 300", "z: -300", // 22
		"[640, 0, 400]]", "[430, 0, -20]]", // 26
		"diameter: 38", "diameter: -38", // 27
		"[400, 380]", "[400, null]", // 33
		"trim: 20", "trim: -20", // 37
		"[40, 30, 300]", "[-40, 30, 300]", // 40
		"name: engine mount", "name: tank", // 42
	).Replace(whole)
	_, err := Read(strings.NewReader(text), "f.yaml")
	var all strict.Errors
	require.ErrorAs(t, err, &all)
	var lines []int
	for _, e := range all {
		lines = append(lines, e.Line)
	}
	require.Equal(t, []int{3, 4, 22, 26, 27, 33, 37, 40, 42}, lines, "%v", err)
}

func TestNothingFollowsFromWhatCannotBeRead(t *testing.T) {
	for _, c := range []struct{ old, new string }{
		{"[420, 0]", "[[], 0]"},
		{"[0, 0], [420", "[0, 0, 0], [420"},
		{"[belly,", "[1,"},
		{"sides: [belly, down-tube, top, seat post]", "sides: belly"},
		{"z: 0, across: 220", "z: null, across: 220"},
		{"[430, 0, -20], [640, 0, 400]", "[0, 0], [0, 0, 0]"},
		{"low: [-40, -30, 100]", "low: 50"},
		{"from: [90, -90, 70], to: [90, 95, 70]", "from: x, to: [0, 0, 0]"},
		{"name: tank", "name: 1"},
		{"    across: 200", "    across: []"},
		{"    across: 200", "    across: null"},
		{"outline: [[80, 420], [400, 380], [520, 470], [80, 520]]", "outline: 5"},
		{"outline: [[80, 420], [400, 380], [520, 470], [80, 520]]", "outline: null"},
		{"box: {low: [-40, -30, 100], high: [40, 30, 300]}", "box: null"},
		{"outline: [[0, 0], [420, 0], [620, 380], [60, 460]]", "outline: []"},
		{"stations:", "stations: 5 #"},
		{"name: bar", "name: [bar]"},
		{"units: mm", "units: 1"},
	} {
		text := strings.Replace(whole, c.old, c.new, 1)
		require.NotEqual(t, whole, text)
		_, err := Read(strings.NewReader(text), "f.yaml")
		var all strict.Errors
		require.ErrorAs(t, err, &all, c.new)
		if c.old == "stations:" {
			require.Equal(t, strict.Syntax, all[0].Rule, "the stations below belong to nothing")
			continue
		}
		require.Len(t, all, 1, "%s: %v", c.new, err)
	}
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

// Every limit holds, and what reaches it is read.
func TestLimits(t *testing.T) {
	list := func(n int, each string) string {
		var b strings.Builder
		for i := range n {
			b.WriteString(strings.ReplaceAll(each, "#", fmt.Sprint(i)))
		}
		return b.String()
	}
	small := "format: 1\nframe: f\nopening: {outline: [[0, 0], [9, 0], [9, 9]], across: 9}\n"
	for name, c := range map[string]struct {
		most int
		make func(n int) string
	}{
		"rails": {MaxRails, func(n int) string {
			return small + "rails: [" + list(n, "{name: r#, path: [[0, 0, 0], [9, 9, 9]], diameter: 1}, ") + "]"
		}},
		"points of a rail": {MaxPath, func(n int) string {
			return small + "rails: [{name: r, path: [" + list(n, "[#, 0, 0], ") + "], diameter: 1}]"
		}},
		"keep-outs": {MaxKeepOuts, func(n int) string {
			return small + "keepouts: [" + list(n, "{name: k#, box: {low: [0, 0, 0], high: [1, 1, 1]}}, ") + "]"
		}},
		"mounts": {MaxMounts, func(n int) string { return small + "mounts: [" + list(n, "{name: m#, at: [0, 0, 0]}, ") + "]" }},
		"stations": {MaxStations, func(n int) string {
			return strings.Replace(small, "across: 9", "stations: ["+list(n, "{z: #, across: 9}, ")+"]", 1)
		}},
		"marks": {MaxMarks, func(n int) string {
			return small + "marks: [" + list(n, "{name: m#, at: [#, 0]}, ") + "]"
		}},
		"distances": {MaxTaped, func(n int) string {
			return small + "marks: [{name: A, at: [0, 0]}, {name: B, at: [0, 9]}, {name: C, near: [9, 9]}]\naccuracy: 1\ntaped: [" +
				list(n-2, "{from: A, to: C, length: 9}, ") + "{from: B, to: C, length: 4}, {from: B, to: C, length: 4}]"
		}},
		"heights": {MaxLevels, func(n int) string {
			return small + "marks: [{name: A, at: [0, 0]}, {name: B, at: [0, 9]}]\naccuracy: 1\nheights: [" + list(n, "{mark: A, length: 9}, ") + "]"
		}},
		"slopes": {MaxLevels, func(n int) string {
			return small + "marks: [{name: A, at: [0, 0]}, {name: B, at: [0, 9]}]\nslopes: [" + list(n, "{from: A, to: B, degrees: 90}, ") + "]"
		}},
		"corners": {MaxCorners, func(n int) string {
			return strings.Replace(small, "[[0, 0], [9, 0], [9, 9]]", "[[0, 99], "+list(n-2, "[#, 0], ")+"[99, 99]]", 1)
		}},
		"gap in mm": {MaxGap, func(n int) string {
			return small + fmt.Sprintf("rails: [{name: r, path: [[0, 0, 0], [9, 9, 9]], diameter: 1, gap: %d}]", n)
		}},
		"accuracy in mm": {MaxGap, func(n int) string { return small + fmt.Sprintf("accuracy: %d", n) }},
		"diameter in mm": {MaxDiameter, func(n int) string {
			return small + fmt.Sprintf("rails: [{name: r, path: [[0, 0, 0], [9, 9, 9]], diameter: %d}]", n)
		}},
		"characters of a name": {strict.MaxName, func(n int) string { return strings.Replace(small, "frame: f", "frame: "+strings.Repeat("f", n), 1) }},
		"coordinate in mm":     {strict.MaxLength, func(n int) string { return small + fmt.Sprintf("mounts: [{name: m, at: [0, 0, %d]}]", n) }},
	} {
		_, err := Read(strings.NewReader(c.make(c.most)), "f.yaml")
		require.NoError(t, err, name)
		_, err = Read(strings.NewReader(c.make(c.most+1)), "f.yaml")
		var all strict.Errors
		require.ErrorAs(t, err, &all, name)
		require.Len(t, all, 1, "%s: %v", name, err)
		require.Contains(t, []strict.Rule{strict.TooLarge, strict.OutOfRange, strict.BadName}, all[0].Rule, name)
	}
}

// Side i of the file keeps its name whichever way round the corners are given.
func TestSidesKeepTheirNames(t *testing.T) {
	for _, outline := range []string{"[[0, 0], [90, 0], [90, 40], [0, 40]]", "[[0, 0], [0, 40], [90, 40], [90, 0]]"} {
		sides, open := "[floor, front, top, rear]", 2
		if strings.HasPrefix(outline, "[[0, 0], [0") {
			sides = "[rear, top, front, floor]"
		}
		f, err := Read(strings.NewReader("format: 1\nframe: f\nopening: {outline: "+outline+", sides: "+sides+", open: [top], across: 9}\n"), "f.yaml")
		require.NoError(t, err)
		require.Equal(t, []string{"floor", "front", "top", "rear"}, f.Opening.Sides)
		require.True(t, f.Opening.Open[open])
		require.Equal(t, []r2.Point{{}, {X: 90}, {X: 90, Y: 40}, {Y: 40}}, f.Opening.Outline.Corners)
	}
}

// The design's own example has a side that is called as the rail along it.
func TestASideMayBeCalledAsItsRail(t *testing.T) {
	f, err := Read(strings.NewReader(strings.Replace(whole, "name: bar", "name: down-tube", 1)), "f.yaml")
	require.NoError(t, err)
	require.Equal(t, f.Rails[0].Name, f.Opening.Sides[1])
}

func TestHashesTellFilesApart(t *testing.T) {
	sum := sha256.Sum256([]byte(whole))
	f, err := Read(strings.NewReader(whole), "f.yaml")
	require.NoError(t, err)
	require.Equal(t, hex.EncodeToString(sum[:]), f.Hash)
}

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
			requireTold(t, err)
			return
		}
		require.NotEmpty(t, fr.Name)
		require.NotEmpty(t, fr.Opening.Stations)
		_, err = geom.PolygonFromCorners(fr.Opening.Outline.Corners)
		require.NoError(t, err)
		for _, o := range append(fr.Obstacles(0), fr.ObstaclesAtWorst(0)...) {
			requireSolid(t, o)
		}
	})
}

// requireTold checks that an error is one to show: with a place, and nothing raw.
func requireTold(t *testing.T, err error) {
	t.Helper()
	var all strict.Errors
	require.ErrorAs(t, err, &all)
	for _, e := range all {
		require.Positive(t, e.Line)
		require.Positive(t, e.Column)
		require.NotEmpty(t, e.Text)
	}
	for _, r := range err.Error() {
		require.True(t, r == '\n' || unicode.IsPrint(r), "%q in %q", r, err.Error())
	}
}

// requireSolid checks that an obstacle has a name and a solid of finite numbers that is
// as thick as it should be: not turned inside out.
func requireSolid(t *testing.T, o Obstacle) {
	t.Helper()
	require.NotEmpty(t, o.Name)
	for _, n := range append(o.Solid.Normals(), r3.Vector{X: 1}, r3.Vector{Y: 1}, r3.Vector{Z: 1}) {
		require.InDelta(t, 1, n.Norm(), 1e-9)
		e := o.Solid.Extent(n)
		require.Less(t, e.Lo, e.Hi, "%v along %v", o, n)
	}
}

func BenchmarkRead(b *testing.B) {
	for b.Loop() {
		if _, err := Read(strings.NewReader(whole), "f.yaml"); err != nil {
			b.Fatal(err)
		}
	}
}

func TestTheNearestKeyIsSuggested(t *testing.T) {
	_, err := Read(strings.NewReader(strings.Replace(whole, "frame: Ferry", "frmae: Ferry", 1)), "f.yaml")
	require.ErrorContains(t, err, `"frmae" is no key here; did you mean frame?`)
	require.NotContains(t, err.Error(), "missing")
}
