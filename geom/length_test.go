package geom

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// International yard and pound agreement of 1959: 1 in = 25.4 mm, 1 lb = 0.45359237 kg,
// exactly.
func TestParseLength(t *testing.T) {
	for text, want := range map[string]float64{
		"190 mm": 190, "19 cm": 190, "0.19 m": 190, "7.5 in": 190.5, "7 5/8 in": 193.675, `7 5/8"`: 193.675,
		"5/8 in": 15.875, `1/16"`: 1.5875, "12": 12, "-3.5": -3.5, "  4 mm ": 4,
	} {
		got, err := ParseLength(text, Millimetre)
		require.NoError(t, err, text)
		require.InDelta(t, want, got, 1e-9, text)
	}
	got, err := ParseLength("2 1/2", Inch)
	require.NoError(t, err)
	require.InDelta(t, 63.5, got, 1e-12)
	for _, text := range []string{"", "mm", "7 mm mm", "7/0 in", "1e300", "NaN", "inf", "0x10", "7 5/8/2 in", "--3", "1 2 3 in", "7 kg", "٣ mm"} {
		_, err := ParseLength(text, Millimetre)
		require.ErrorIs(t, err, ErrQuantity, text)
	}
}

func TestParseMass(t *testing.T) {
	for text, want := range map[string]float64{"13.2": 13.2, "13.2 kg": 13.2, "29 lb": 29 * 0.45359237, "500 g": 0.5} {
		got, err := ParseMass(text)
		require.NoError(t, err, text)
		require.InDelta(t, want, got, 1e-12, text)
	}
	for _, text := range []string{"", "kg", "2 mm", "NaN", "1e400"} {
		_, err := ParseMass(text)
		require.ErrorIs(t, err, ErrQuantity, text)
	}
}

func TestFormatLength(t *testing.T) {
	for _, c := range []struct {
		mm   float64
		unit Unit
		want string
	}{
		{190, Millimetre, "190 mm"},
		{103.46, Millimetre, "103.5 mm"},
		{-0.02, Millimetre, "0 mm"},
		{190.5, Inch, "7 1/2 in"},
		{193.675, Inch, "7 5/8 in"},
		{25.4, Inch, "1 in"},
		{1.5875, Inch, "1/16 in"},
		{0, Inch, "0 in"},
	} {
		require.Equal(t, c.want, FormatLength(c.mm, c.unit))
	}
}

// What is rounded to the safe side never says more, or less, than there is, and is at
// most a sixteenth of an inch away.
func TestRoundingToTheSafeSide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := rapid.Float64Range(-2000, 2000).Draw(t, "mm")
		less, err := ParseLength(FormatLengthRounded(mm, Inch, ToLess), Inch)
		require.NoError(t, err)
		more, err := ParseLength(FormatLengthRounded(mm, Inch, ToMore), Inch)
		require.NoError(t, err)
		require.LessOrEqual(t, less, mm+1e-6)
		require.GreaterOrEqual(t, more, mm-1e-6)
		require.Less(t, more-less, 25.4/16+1e-6)
	})
}

func TestWhatIsWrittenReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sixteenths := rapid.IntRange(-4000, 4000).Draw(t, "sixteenths")
		mm := float64(sixteenths) * 25.4 / 16
		back, err := ParseLength(FormatLength(mm, Inch), Inch)
		require.NoError(t, err)
		require.InDelta(t, mm, back, 1e-9)
		tenths := float64(rapid.IntRange(-40000, 40000).Draw(t, "tenths")) / 10
		back, err = ParseLength(FormatLength(tenths, Millimetre), Millimetre)
		require.NoError(t, err)
		require.InDelta(t, tenths, back, 1e-9)
	})
}

func TestSnapping(t *testing.T) {
	require.Equal(t, 0x1p-10, Lattice)
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-16000, 16000).Draw(t, "v")
		up, down, near := SnapUp(v), SnapDown(v), SnapNearest(v)
		for _, s := range []float64{up, down, near} {
			require.Equal(t, s, math.Round(s*1024)/1024, "on the lattice")
			require.LessOrEqual(t, math.Abs(s-v), Lattice)
		}
		require.LessOrEqual(t, down, v)
		require.GreaterOrEqual(t, up, v)
		require.LessOrEqual(t, math.Abs(near-v), Lattice/2)
		require.Equal(t, up, SnapUp(up), "what is on the lattice stays")
	})
}

func FuzzParseLength(f *testing.F) {
	for _, text := range []string{"190 mm", "7 5/8 in", `7 5/8"`, "19 cm", "1e300", "-3", "٣ mm"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, unit := range []Unit{Millimetre, Inch} {
			mm, err := ParseLength(text, unit)
			if err == nil {
				require.False(t, math.IsNaN(mm) || math.IsInf(mm, 0), fmt.Sprintf("%q", text))
			}
		}
		if kg, err := ParseMass(text); err == nil {
			require.False(t, math.IsNaN(kg) || math.IsInf(kg, 0))
		}
	})
}
