package geom

import (
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// International yard and pound agreement of 1959: 1 in = 25.4 mm, 1 lb = 0.45359237 kg,
// exactly.
func TestParseLength(t *testing.T) {
	for text, want := range map[string]float64{
		"190 mm": 190, "19 cm": 190, "0.19 m": 190, "7.5 in": 190.5, "7 5/8 in": 193.675, `7 5/8"`: 193.675,
		"5/8 in": 15.875, `1/16"`: 1.5875, "12": 12, "-3.5": -3.5,
		"11-13/16 in": 300.0375, "11 - 13/16 inches": 300.0375, "1 inch": 25.4, "  4 mm ": 4,
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

// As builders write them: kgs and lbs are read, and of a decimal comma the error tells the cure.
func TestMassesAsTheyAreWritten(t *testing.T) {
	for text, want := range map[string]float64{"13.2 kgs": 13.2, "29 lbs": 29 * 0.45359237, "29lb": 29 * 0.45359237} {
		got, err := ParseMass(text)
		require.NoError(t, err, text)
		require.InDelta(t, want, got, 1e-12, text)
	}
	_, err := ParseLength("7,5 in", Millimetre)
	require.ErrorContains(t, err, "with a point, 7.5, it is read")
	_, err = ParseMass("13,2 kg")
	require.ErrorContains(t, err, "with a point, 13.2, it is read")
}

// The agreement's inch is exact: the float64 nearest to what is written. A plain product with
// 25.4 is one bit off for some.
func TestInchesAreExact(t *testing.T) {
	for n := range 16 * 200 {
		exact := new(big.Rat).Mul(big.NewRat(int64(n), 16), big.NewRat(254, 10))
		want, _ := exact.Float64()
		for _, text := range []string{fmt.Sprintf("%d/16 in", n), fmt.Sprintf("%d %d/16\"", n/16, n%16)} {
			got, err := ParseLength(text, Millimetre)
			require.NoError(t, err)
			require.Equal(t, want, got, text)
		}
		require.Equal(t, want, Inch.Length(float64(n)/16))
	}
	require.Equal(t, 25.4, Inch.Millimetres())
	require.Equal(t, 127.0, Inch.Length(5))
	require.Equal(t, 7.0, Millimetre.Length(7))
}

// Decimals in cm and m are the float64 nearest to what is written, by exact arithmetic.
func TestDecimalsAreTheNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		digits := fmt.Sprintf("%d.%0*d", rapid.IntRange(0, 1600).Draw(t, "whole"), rapid.IntRange(1, 4).Draw(t, "places"), rapid.IntRange(0, 9).Draw(t, "part"))
		for suffix, scale := range map[string]int64{"mm": 1, "cm": 10, "m": 1000} {
			written, ok := new(big.Rat).SetString(digits)
			require.True(t, ok)
			want, _ := new(big.Rat).Mul(written, big.NewRat(scale, 1)).Float64()
			got, err := ParseLength(digits+suffix, Inch)
			require.NoError(t, err)
			require.Equal(t, want, got, digits+suffix)
		}
	})
	got, err := ParseLength("1.001 m", Millimetre)
	require.NoError(t, err)
	require.Equal(t, 1001.0, got, "and not 1000.9999999999999")
}

func TestUnits(t *testing.T) {
	for _, u := range []Unit{Millimetre, Inch} {
		got, err := ParseUnit(u.String())
		require.NoError(t, err)
		require.Equal(t, u, got)
	}
	for _, text := range []string{"", "cm", "MM", "inch", "mm ", "\x1b[31m"} {
		_, err := ParseUnit(text)
		require.Error(t, err)
		require.NotContains(t, err.Error(), "\x1b")
	}
}

// Wrong quantities say what to write instead, and show nothing raw.
func TestErrorsOfQuantities(t *testing.T) {
	for text, want := range map[string]string{
		"7 ft": `"ft" is not a unit of length: mm, cm, m, in`, "tall": "write a length such as 190 mm", "1/0 in": "divided by nothing", "0/0": "divided by nothing", "\x1b[2J": `"\x1b[2J"`,
		strings.Repeat("1", 41): "not a quantity",
	} {
		_, err := ParseLength(text, Millimetre)
		require.ErrorContains(t, err, want)
		require.NotContains(t, err.Error(), "\x1b")
	}
	_, err := ParseMass("3 oz")
	require.ErrorContains(t, err, `"oz" is not a unit of mass: kg, g or lb`)
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
		{-15.875, Inch, "-5/8 in"},
		{-190.5, Inch, "-7 1/2 in"},
		{0.7, Inch, "0 in"},
		{0.8, Inch, "1/16 in"},
		{-0.02, Inch, "0 in"},
		{16000, Millimetre, "16000 mm"},
		{-3.25, Millimetre, "-3.3 mm"},
		{math.Inf(1), Millimetre, "without limit"},
		{math.Inf(1), Inch, "without limit"},
	} {
		require.Equal(t, c.want, FormatLength(c.mm, c.unit))
	}
}

// Ends and middles of a step: 0.1 mm, and a sixteenth, 1.5875 mm.
func TestRoundingByHand(t *testing.T) {
	for _, c := range []struct {
		mm         float64
		unit       Unit
		less, more string
	}{
		{9.14, Millimetre, "9.1 mm", "9.2 mm"},
		{9.1, Millimetre, "9.1 mm", "9.1 mm"},
		{-0.01, Millimetre, "-0.1 mm", "0 mm"},
		{0.3 - 1e-12, Millimetre, "0.3 mm", "0.3 mm"}, // 1e-12 is what arithmetic adds
		{1.6, Inch, "1/16 in", "1/8 in"},
		{25.4, Inch, "1 in", "1 in"},
		{25.3, Inch, "15/16 in", "1 in"},
		{-1, Inch, "-1/16 in", "0 in"},
	} {
		require.Equal(t, c.less, FormatLengthRounded(c.mm, c.unit, ToLess))
		require.Equal(t, c.more, FormatLengthRounded(c.mm, c.unit, ToMore))
	}
}

// What is rounded to the safe side never says more, or less, than there is, but for the
// millionth of a step that counts as arithmetic's, and is at most a step away.
func TestRoundingToTheSafeSide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := rapid.Float64Range(-2000, 2000).Draw(t, "mm")
		less, err := ParseLength(FormatLengthRounded(mm, Inch, ToLess), Inch)
		require.NoError(t, err)
		more, err := ParseLength(FormatLengthRounded(mm, Inch, ToMore), Inch)
		require.NoError(t, err)
		require.LessOrEqual(t, less, mm+2e-6)
		require.GreaterOrEqual(t, more, mm-2e-6)
		require.Less(t, more-less, 25.4/16+2e-6)
		less, err = ParseLength(FormatLengthRounded(mm, Millimetre, ToLess), Inch)
		require.NoError(t, err)
		more, err = ParseLength(FormatLengthRounded(mm, Millimetre, ToMore), Inch)
		require.NoError(t, err)
		require.LessOrEqual(t, less, mm+2e-6)
		require.GreaterOrEqual(t, more, mm-2e-6)
		require.Less(t, more-less, 0.1+2e-6)
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

// Zero is plain zero: -0 would be written with its sign.
func TestZeroHasNoSign(t *testing.T) {
	minus, err := ParseLength("-0", Millimetre)
	require.NoError(t, err)
	require.False(t, math.Signbit(minus))
}

func FuzzParseLength(f *testing.F) {
	for _, text := range []string{"190 mm", "7 5/8 in", `7 5/8"`, "19 cm", "1e300", "-3", "٣ mm", "1/0", ".5m", "+ 1 1/3″", "99999999999999999999999999999999999 m"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, unit := range []Unit{Millimetre, Inch} {
			mm, err := ParseLength(text, unit)
			switch {
			case err != nil:
				require.ErrorIs(t, err, ErrQuantity)
			default:
				requireQuantity(t, text, mm)
			}
		}
	})
}

func FuzzParseMass(f *testing.F) {
	for _, text := range []string{"13.2", "29 lb", "500g", "-1 kg", "1 1/2 lb", "1/0", "NaN"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if kg, err := ParseMass(text); err != nil {
			require.ErrorIs(t, err, ErrQuantity)
		} else {
			requireQuantity(t, text, kg)
		}
	})
}

// requireQuantity checks that an accepted quantity is a finite number, with the sign
// that is written, and comes from a text with a digit.
func requireQuantity(t *testing.T, text string, v float64) {
	t.Helper()
	require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%q", text)
	require.True(t, strings.ContainsAny(text, "0123456789"), "%q", text)
	require.False(t, v > 0 && strings.Contains(text, "-") || v < 0 && !strings.Contains(text, "-"), "%q", text)
}
