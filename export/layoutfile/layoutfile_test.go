package layoutfile

import (
	"bytes"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"github.com/golang/geo/s1"
	"github.com/stretchr/testify/require"

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
  - {box: battery, number: 1, up: top, front: left, tilt_deg: 12, centre_mm: [103.5, -84, 88.5]}
order:
  - {box: battery, number: 1, legs: [[0, 0, -300]], off: [tank]}
`

func TestBadLayoutFiles(t *testing.T) {
	_, err := Read(strings.NewReader(whole), "l.yaml")
	require.NoError(t, err)
	for _, c := range []struct {
		old, new string
		line     int
		rule     strict.Rule
	}{
		{"format: 1", "format: 3", 1, strict.OutOfRange},
		{"up: top", "up: lid", 5, strict.BadValue},
		{"up: top, ", "", 5, strict.MissingKey},
		{"number: 1, up", "number: 1.5, up", 5, strict.WrongType},
		{"number: 1, up", "number: null, up", 5, strict.WrongType},
		{"[103.5, -84, 88.5]", "[103.5, -84]", 5, strict.WrongType},
		{"[103.5, -84, 88.5]", "[.nan, -84, 88.5]", 5, strict.WrongType},
		{"tilt_deg", "tilt", 5, strict.UnknownKey},
		{"tilt_deg: 12", "tilt_deg: .inf", 5, strict.WrongType},
		{"legs: [[0, 0, -300]]", "legs: [" + strings.Repeat("[0, 0, -3], ", 17) + "]", 7, strict.TooLarge},
		{"box: battery, number: 1, legs", `box: "\e[1m", number: 1, legs`, 7, strict.BadName},
	} {
		_, err := Read(strings.NewReader(strings.Replace(whole, c.old, c.new, 1)), "l.yaml")
		var all strict.Errors
		require.ErrorAs(t, err, &all, c.new)
		require.Equal(t, c.line, all[0].Line, "%v", err)
		require.Equal(t, c.rule, all[0].Rule, "%v", err)
		require.NotContains(t, err.Error(), "\x1b")
	}
}

func TestDegreesAreThoseOfTheFile(t *testing.T) {
	for _, d := range []float64{0, 12, -7.5, 0.1, 59.99} {
		require.Equal(t, d, Degrees(s1.Angle(d)*s1.Degree))
	}
}

func FuzzRead(f *testing.F) {
	f.Add(whole)
	f.Fuzz(func(t *testing.T, text string) {
		file, err := Read(strings.NewReader(text), "l.yaml")
		if err != nil {
			return
		}
		var b bytes.Buffer
		require.NoError(t, Write(&b, file))
		again, err := Read(bytes.NewReader(b.Bytes()), "again.yaml")
		require.NoError(t, err)
		var c bytes.Buffer
		require.NoError(t, Write(&c, again))
		require.Equal(t, b.String(), c.String())
	})
}
