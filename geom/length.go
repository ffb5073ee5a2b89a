package geom

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Unit is a unit of length that files and answers are written in.
type Unit int

const (
	Millimetre Unit = iota
	Inch
)

// MillimetresPerInch is exact (international yard and pound agreement, 1959).
const MillimetresPerInch = 25.4

// KilogramsPerPound is exact (the same agreement).
const KilogramsPerPound = 0.45359237

// String returns the unit as files write it: mm or in.
func (u Unit) String() string {
	if u == Inch {
		return "in"
	}
	return "mm"
}

// Millimetres returns how long the unit is.
func (u Unit) Millimetres() float64 {
	if u == Inch {
		return MillimetresPerInch
	}
	return 1
}

// ParseUnit reads mm or in.
func ParseUnit(text string) (Unit, error) {
	switch text {
	case "mm":
		return Millimetre, nil
	case "in":
		return Inch, nil
	}
	return 0, fmt.Errorf("%q is not a unit of this file: write mm or in", text)
}

// ErrQuantity is wrapped by the errors of ParseLength and ParseMass.
var ErrQuantity = errors.New("not a quantity")

var quantity = regexp.MustCompile(`^\s*([+-]?)\s*(?:(\d+)\s+(\d+)/(\d+)|(\d+)/(\d+)|(\d+(?:\.\d*)?|\.\d+))\s*([a-zA-Z"″]*)\s*$`)

// ParseLength reads a length in millimetres: a bare number in unit, or a number, a
// fraction or a whole number with a fraction and mm, cm, m, in or ". The result is
// finite. Errors wrap ErrQuantity.
func ParseLength(text string, unit Unit) (float64, error) {
	value, suffix, err := parseQuantity(text)
	if err != nil {
		return 0, fmt.Errorf("%w: write a length such as 190 mm, 19 cm, 7.5 in or 7 5/8 in", err)
	}
	scale, known := map[string]float64{
		"": unit.Millimetres(), "mm": 1, "cm": 10, "m": 1000,
		"in": MillimetresPerInch, `"`: MillimetresPerInch, "″": MillimetresPerInch,
	}[suffix]
	if !known {
		return 0, fmt.Errorf("%w: %q is not a unit of length: mm, cm, m, in or \" are", ErrQuantity, suffix)
	}
	return value * scale, nil
}

// ParseMass reads a mass in kilograms: a bare number of them, or a number and kg, g
// or lb. The result is finite. Errors wrap ErrQuantity.
func ParseMass(text string) (float64, error) {
	value, suffix, err := parseQuantity(text)
	if err != nil {
		return 0, fmt.Errorf("%w: write a mass such as 13.2 kg or 29 lb", err)
	}
	switch suffix {
	case "", "kg":
		return value, nil
	case "g":
		return value / 1000, nil
	case "lb":
		return value * KilogramsPerPound, nil
	}
	return 0, fmt.Errorf("%w: %q is not a unit of mass: kg, g or lb are", ErrQuantity, suffix)
}

// maxDigits keeps the numbers of a text within what float64 holds.
const maxDigits = 40

func parseQuantity(text string) (value float64, suffix string, err error) {
	m := quantity.FindStringSubmatch(text)
	if m == nil || len(text) > maxDigits {
		return 0, "", fmt.Errorf("%w: %.40q", ErrQuantity, text)
	}
	switch {
	case m[3] != "":
		value = digitsOf(m[2]) + digitsOf(m[3])/digitsOf(m[4])
	case m[5] != "":
		value = digitsOf(m[5]) / digitsOf(m[6])
	default:
		value = digitsOf(m[7])
	}
	if math.IsInf(value, 0) || math.IsNaN(value) {
		return 0, "", fmt.Errorf("%w: %.40q is divided by nothing", ErrQuantity, text)
	}
	if m[1] == "-" {
		value = -value
	}
	return value, m[8], nil
}

// digitsOf reads digits that the pattern has let through.
func digitsOf(digits string) float64 {
	v, err := strconv.ParseFloat(digits, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

// Rounding says which way FormatLength may round.
type Rounding int

const (
	ToNearest Rounding = iota // to the nearest
	ToLess                    // never more than it is: for what is to spare
	ToMore                    // never less than it is: for what is needed
)

// FormatLength writes millimetres with at most one decimal, or inches as a whole
// number and a fraction to 1/16, rounded to the nearest.
func FormatLength(mm float64, unit Unit) string { return FormatLengthRounded(mm, unit, ToNearest) }

// FormatLengthRounded is FormatLength with the direction of rounding chosen.
func FormatLengthRounded(mm float64, unit Unit, r Rounding) string {
	per := 10.0
	if unit == Inch {
		per = 16 / MillimetresPerInch
	}
	steps := mm * per
	const settled = 1e-6 // of a step: what arithmetic has added to a round number
	switch r {
	case ToLess:
		steps = math.Floor(steps + settled)
	case ToMore:
		steps = math.Ceil(steps - settled)
	default:
		steps = math.Round(steps)
	}
	if unit == Inch {
		return sixteenths(int64(steps)) + " in"
	}
	return strconv.FormatFloat(steps/10+0, 'f', -1, 64) + " mm"
}

// sixteenths writes n/16 as a whole number and a fraction in lowest terms.
func sixteenths(n int64) string {
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	whole, part, of := n/16, n%16, int64(16)
	for part > 0 && part%2 == 0 {
		part, of = part/2, of/2
	}
	var words []string
	if whole > 0 || part == 0 {
		words = append(words, strconv.FormatInt(whole, 10))
	}
	if part > 0 {
		words = append(words, fmt.Sprintf("%d/%d", part, of))
	}
	return sign + strings.Join(words, " ")
}
