package layoutfile

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"regexp"
	"strings"
	"testing"
	"unicode"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

	"rackwright/frame"
	"rackwright/frame/strict"
	"rackwright/pack"
	"rackwright/pack/entry"
)

func TestLayoutsReadBackAsTheyWere(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	number := func() float64 { return math.Round(rng.NormFloat64()*1e6) / math.Pow10(rng.IntN(5)) }
	point := func() r3.Vector { return r3.Vector{X: number() / 1e3, Y: number() / 1e3, Z: number() / 1e3} }
	for range 300 {
		f := File{Layout: pack.Layout{FrameHash: "ab", PackHash: "cd"}}
		for i := range 1 + rng.IntN(6) {
			f.Layout.Placements = append(f.Layout.Placements, pack.Placement{
				Box: []string{"battery", `a "quoted\" name`, "übel: [x]", "yes", "12"}[rng.IntN(5)], Number: i + 1, Centre: point(),
				Orientation: pack.Orientation{Up: pack.Face(rng.IntN(2)), Front: pack.Face(2 + rng.IntN(4)), Tilt: s1.Angle(rng.IntN(120)-60) * s1.Degree},
			})
		}
		for i := range rng.IntN(4) {
			f.Order.Steps = append(f.Order.Steps, entry.Step{Box: "battery", Number: i + 1, Legs: []r3.Vector{point(), point()}[:1+rng.IntN(2)], Off: []string{"tank", "bar left"}[:1+rng.IntN(2)]})
		}
		var b bytes.Buffer
		require.NoError(t, Write(&b, f))
		again, err := Read(&b, "l.yaml")
		require.NoError(t, err)
		require.Equal(t, f, again)
	}
}

const whole = `format: 1
frame_sha256: ab
pack_sha256: cd
placements:
  - {box: battery, number: 1, up: top, front: left, tilt_deg: 12, centre_mm: [103.5, -84, 88.5], pinned: true}
order:
  - {box: battery, number: 1, legs: [[0, 0, -300]], off: [tank]}
`

func TestReadsEveryKey(t *testing.T) {
	f, err := Read(strings.NewReader(whole), "l.yaml")
	require.NoError(t, err)
	require.Equal(t, File{
		Layout: pack.Layout{FrameHash: "ab", PackHash: "cd", Placements: []pack.Placement{{
			Box: "battery", Number: 1, Centre: r3.Vector{X: 103.5, Y: -84, Z: 88.5},
			Orientation: pack.Orientation{Up: pack.Top, Front: pack.Left, Tilt: 12 * s1.Degree}, Pinned: true,
		}}},
		Order: entry.Order{Steps: []entry.Step{{Box: "battery", Number: 1, Legs: []r3.Vector{{Z: -300}}, Off: []string{"tank"}}}},
	}, f)
}

// Tilt, hashes and order may be left out; a centre may be in any unit.
func TestReadsByHand(t *testing.T) {
	f, err := Read(strings.NewReader(`{"format": 1, "placements": [{"box": "b", "number": 2, "up": "front", "front": "bottom", "centre_mm": ["1 in", "-8.4 cm", 1e2]}]}`), "l.json")
	require.NoError(t, err)
	require.Equal(t, File{Layout: pack.Layout{Placements: []pack.Placement{{
		Box: "b", Number: 2, Centre: r3.Vector{X: 25.4, Y: -84, Z: 100}, Orientation: pack.Orientation{Up: pack.Front, Front: pack.Bottom},
	}}}}, f)
}

// What is written has the form of the design, one line a box, and no order without one.
func TestWritesTheForm(t *testing.T) {
	f, err := Read(strings.NewReader(whole), "l.yaml")
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, Write(&b, f))
	require.Contains(t, b.String(), "\nframe_sha256: \"ab\"\npack_sha256: \"cd\"\n")
	require.Contains(t, b.String(), "\n  - {box: \"battery\", number: 1, up: top, front: left, tilt_deg: 12, centre_mm: [103.5, -84, 88.5], pinned: true}\n")
	require.Contains(t, b.String(), "\n  - {box: \"battery\", number: 1, legs: [[0, 0, -300]], off: [\"tank\"]}\n")
	f.Order = entry.Order{}
	b.Reset()
	require.NoError(t, Write(&b, f))
	require.NotContains(t, b.String(), "order")
}

// The hashes are those that the readers of frame and pack give.
func TestHashesGoThrough(t *testing.T) {
	hash := strings.Repeat("0123456789abcdef", 4)
	var b bytes.Buffer
	require.NoError(t, Write(&b, File{Layout: pack.Layout{FrameHash: hash, PackHash: strings.ToUpper(hash)}}))
	f, err := Read(&b, "l.yaml")
	require.NoError(t, err)
	require.Equal(t, []string{hash, strings.ToUpper(hash)}, []string{f.Layout.FrameHash, f.Layout.PackHash})
}

func TestBadLayoutFiles(t *testing.T) {
	for _, c := range []struct {
		old, new string
		line     int
		at       string // the text that the error points at
		rule     strict.Rule
	}{
		{"format: 1", "format: 3", 1, "3", strict.OutOfRange},
		{"format: 1\n", "", 1, "frame_sha", strict.MissingKey},
		{"frame_sha256: ab", "frame_sha256: xyz", 2, "xyz", strict.BadValue},
		{"frame_sha256: ab", "frame_sha256: " + strings.Repeat("a", 65), 2, "aaa", strict.BadValue},
		{"frame_sha256: ab", `frame_sha256: "\e[31m"`, 2, `"\e`, strict.BadValue},
		{"frame_sha256: ab", "frame_sha256: 12", 2, "12", strict.WrongType},
		{"order:", "ordre:", 6, "ordre", strict.UnknownKey},
		{"up: top", "up: lid", 5, "lid", strict.BadValue},
		{"up: top", `up: "\e[31m"`, 5, `"\e`, strict.BadValue},
		{"up: top", "up: right", 5, "left", strict.BadValue},
		{"up: top", "up: left", 5, "left, tilt", strict.BadValue},
		{"up: top, ", "", 5, "{box", strict.MissingKey},
		{"up: top", "up: top, up: top", 5, "up: top, front", strict.RepeatedKey},
		{"number: 1, up", "number: 1.5, up", 5, "1.5", strict.WrongType},
		{"number: 1, up", "number: null, up", 5, "null", strict.WrongType},
		{"number: 1, up", "number: 0, up", 5, "0, up", strict.OutOfRange},
		{"number: 1, up", "number: 10000, up", 5, "10000", strict.OutOfRange},
		{"[103.5, -84, 88.5]", "[103.5, -84]", 5, "[103.5", strict.WrongType},
		{"[103.5, -84, 88.5]", "[.nan, -84, 88.5]", 5, ".nan", strict.WrongType},
		{"[103.5, -84, 88.5]", "[1e300, -84, 88.5]", 5, "1e300", strict.OutOfRange},
		{"[103.5, -84, 88.5]", "[103.5, null, 88.5]", 5, "null", strict.WrongType},
		{"tilt_deg", "tilt", 5, "tilt: 12", strict.UnknownKey},
		{"tilt_deg: 12", "tilt_deg: .inf", 5, ".inf", strict.WrongType},
		{"tilt_deg: 12", "tilt_deg: 1e300", 5, "1e300", strict.OutOfRange},
		{"tilt_deg: 12", "tilt_deg: 61", 5, "61", strict.OutOfRange},
		{"box: battery, number: 1, up", `box: "a\u202Eb", number: 1, up`, 5, `"a`, strict.BadName},
		{"order:", "---\norder:", 6, "---", strict.Forbidden},
		{"order:", "order: &a", 6, "&a", strict.Forbidden},
		{"legs: [[0, 0, -300]]", "legs: [" + strings.Repeat("[0, 0, -3], ", 17) + "]", 7, "[[0", strict.TooLarge},
		{"legs: [[0, 0, -300]]", "legs: [[0, 0, -1001 m]]", 7, "-1001", strict.OutOfRange},
		{"number: 1, legs", "number: -1, legs", 7, "-1", strict.OutOfRange},
		{"box: battery, number: 1, legs", `box: "\e[1m", number: 1, legs`, 7, `"\e`, strict.BadName},
		{"off: [tank]", `off: ["\e[1m"]`, 7, `"\e`, strict.BadName},
		{"off: [tank]", "off: [null]", 7, "null", strict.WrongType},
		{"off: [tank]", "off: [" + strings.Repeat("a,", 193) + "]", 7, "[a,", strict.TooLarge},
	} {
		text := strings.Replace(whole, c.old, c.new, 1)
		require.NotEqual(t, whole, text)
		_, err := Read(strings.NewReader(text), "l.yaml")
		var all strict.Errors
		require.ErrorAs(t, err, &all, c.new)
		require.Equal(t, c.line, all[0].Line, "%v", err)
		require.Equal(t, c.at, string([]rune(all[0].Source)[all[0].Column-1:])[:len(c.at)], "%v", err)
		require.Equal(t, c.rule, all[0].Rule, "%v", err)
		require.Equal(t, strings.Split(text, "\n")[c.line-1], all[0].Source)
		for _, r := range err.Error() {
			require.True(t, r == '\n' || unicode.IsPrint(r), "%q", r)
		}
	}
}

func TestAllErrorsAtOnce(t *testing.T) {
	text := strings.NewReplacer("format: 1", "format: 2", "up: top", "up: lid", "tilt_deg: 12", "tilt_deg: much", "number: 1, legs", "number: 0, legs", "[tank]", "[1]").Replace(whole)
	_, err := Read(strings.NewReader(text), "l.yaml")
	var all strict.Errors
	require.ErrorAs(t, err, &all)
	require.Len(t, all, 5, "%v", err)
}

func TestLimits(t *testing.T) {
	file := func(boxes, steps int) string {
		return "format: 1\nplacements: [" + strings.Repeat("{box: b, number: 1, up: top, front: front, centre_mm: [0, 0, 0]},", boxes) +
			"]\norder: [" + strings.Repeat("{box: b, number: 1, legs: []},", steps) + "]"
	}
	for _, c := range []struct{ boxes, steps int }{{pack.MaxBoxes + 1, 0}, {0, pack.MaxBoxes + 1}} {
		_, err := Read(strings.NewReader(file(c.boxes, c.steps)), "l.yaml")
		var all strict.Errors
		require.ErrorAs(t, err, &all)
		require.Len(t, all, 1)
		require.Equal(t, strict.TooLarge, all[0].Rule)
	}
	_, err := Read(strings.NewReader(file(pack.MaxBoxes, pack.MaxBoxes)), "l.yaml")
	require.NoError(t, err)
	_, err = Read(strings.NewReader(whole+"#"+strings.Repeat(" ", strict.MaxSize)), "l.yaml")
	require.ErrorContains(t, err, "256 KB")
	_, err = Read(strings.NewReader("placements: "+strings.Repeat("[", 9999)), "l.yaml")
	require.ErrorContains(t, err, "nested")
}

// The list of limits in the documentation of package strict says what is enforced.
func TestListOfLimits(t *testing.T) {
	source, err := os.ReadFile("../../frame/strict/doc.go")
	require.NoError(t, err)
	listed := map[string]string{}
	for _, m := range regexp.MustCompile(`([0-9.]+)   ([a-z]+\.M[A-Za-z]+)\n`).FindAllStringSubmatch(string(source), -1) {
		if before, twice := listed[m[2]]; twice {
			require.Equal(t, before, m[1])
		}
		listed[m[2]] = m[1]
	}
	limits := map[string]any{
		"strict.MaxSize": strict.MaxSize, "strict.MaxDepth": strict.MaxDepth, "strict.MaxKeys": strict.MaxKeys,
		"strict.MaxItems": strict.MaxItems, "strict.MaxErrors": strict.MaxErrors, "strict.MaxName": strict.MaxName,
		"strict.MaxLength": strict.MaxLength, "strict.MaxMove": strict.MaxMove, "strict.MaxMass": strict.MaxMass,
		"frame.MaxCorners": frame.MaxCorners, "frame.MaxSolids": frame.MaxSolids, "frame.MaxStations": frame.MaxStations, "frame.MaxRails": frame.MaxRails,
		"frame.MaxPath": frame.MaxPath, "frame.MaxKeepOuts": frame.MaxKeepOuts, "frame.MaxMounts": frame.MaxMounts,
		"frame.MaxLevels": frame.MaxLevels, "frame.MaxMarks": frame.MaxMarks, "frame.MaxTaped": frame.MaxTaped,
		"frame.MaxMoving": frame.MaxMoving, "frame.MaxParts": frame.MaxParts, "frame.MaxPieces": frame.MaxPieces, "frame.MaxTurn": frame.MaxTurn, "frame.MaxHangs": frame.MaxHangs,
		"pack.MaxPeak": pack.MaxPeak, "pack.MaxShortCircuit": pack.MaxShortCircuit, "pack.MaxCables": pack.MaxCables, "pack.MaxBundle": pack.MaxBundle,
		"frame.MaxLean": frame.MaxLean, "frame.MaxRiders": frame.MaxRiders, "frame.MaxWheels": frame.MaxWheels,
		"frame.MaxGap": frame.MaxGap, "frame.MaxDiameter": frame.MaxDiameter, "frame.MinLength": frame.MinLength,
		"pack.MaxBatteries": pack.MaxBatteries, "pack.MaxBoxes": pack.MaxBoxes, "pack.MaxKinds": pack.MaxKinds, "pack.MaxPosts": pack.MaxPosts, "pack.MaxTilts": pack.MaxTilts,
		"pack.MaxSize": pack.MaxSize, "pack.MaxGap": pack.MaxGap, "pack.MaxTilt": pack.MaxTilt, "pack.MaxVolts": pack.MaxVolts,
		"pack.MaxRelations": pack.MaxRelations, "pack.MaxCentre": pack.MaxCentre,
		"layoutfile.MaxLegs": MaxLegs, "layoutfile.MaxOff": MaxOff,
	}
	for name, value := range limits {
		require.Equal(t, fmt.Sprint(value), listed[name], name)
	}
	require.Len(t, listed, len(limits))
}

func TestDegreesAreThoseOfTheFile(t *testing.T) {
	for _, d := range []float64{0, 12, -7.5, 0.1, 59.99} {
		require.Equal(t, d, Degrees(s1.Angle(d)*s1.Degree))
	}
}

// rounded is a file with its angles in degrees as they are written, and without the
// difference between nothing and an empty list.
func rounded(f File) File {
	for i, p := range f.Layout.Placements {
		f.Layout.Placements[i].Tilt = s1.Angle(Degrees(p.Tilt))
	}
	for i, s := range f.Order.Steps {
		f.Order.Steps[i].Off = append([]string{}, s.Off...)
		f.Order.Steps[i].Legs = append([]r3.Vector{}, s.Legs...)
	}
	return f
}

func FuzzRead(f *testing.F) {
	f.Add(whole)
	f.Fuzz(func(t *testing.T, text string) {
		file, err := Read(strings.NewReader(text), "l.yaml")
		if err != nil {
			return
		}
		for _, p := range file.Layout.Placements {
			require.True(t, p.Valid())
		}
		if len(text) > 100_000 {
			return // written with quotes it may be over the limit
		}
		var b bytes.Buffer
		require.NoError(t, Write(&b, file))
		again, err := Read(bytes.NewReader(b.Bytes()), "again.yaml")
		require.NoError(t, err)
		require.Equal(t, rounded(file), rounded(again))
	})
}

func BenchmarkRead(b *testing.B) {
	for b.Loop() {
		if _, err := Read(strings.NewReader(whole), "l.yaml"); err != nil {
			b.Fatal(err)
		}
	}
}
