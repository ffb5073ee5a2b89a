package geom

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Unit is a unit of length that files and answers are written in. All reckoning is in millimetres;
// a unit only matters where something is read or told.
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

// Length returns in millimetres a length of v units: the float64 nearest to it where v × 127
// is exact, as it is for sixteenths and for three decimals, because the division rounds correctly.
// 25.4 is 127/5. Multiplying by 25.4 itself, which no float64 is, would be off in the last bit.
func (u Unit) Length(v float64) float64 {
	if u == Inch {
		return v * 127 / 5
	}
	return v
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

// A sign, a whole number with a fraction or one of the two or a decimal number, and a unit.
var quantity = regexp.MustCompile(`^\s*([+-]?)\s*(?:(\d+)(?:\s+|\s*-\s*)(\d+)/(\d+)|(\d+)/(\d+)|(\d+(?:\.\d*)?|\.\d+))\s*([a-zA-Z"″]*)\s*$`)

// measure is a unit that a quantity may be written in: a power of ten of a base. The zero value is
// the base itself: mm or kg.
type measure struct {
	power int
	inch  bool // the base is the inch
	pound bool // the base is the pound
}

// lengthUnit is the unit that a suffix stands for; bare is the one of a number without any.
func lengthUnit(suffix string, bare Unit) (in measure, known bool) {
	switch suffix {
	case "":
		return measure{inch: bare == Inch}, true
	case "mm":
		return measure{}, true
	case "cm":
		return measure{power: 1}, true
	case "m":
		return measure{power: 3}, true
	case "in", "inch", "inches", `"`, "″":
		return measure{inch: true}, true
	}
	return measure{}, false
}

// massUnit is the unit that a suffix stands for; a bare number is kilograms.
func massUnit(suffix string) (in measure, known bool) {
	switch suffix {
	case "", "kg", "kgs":
		return measure{}, true
	case "g":
		return measure{power: -3}, true
	case "lb", "lbs":
		return measure{pound: true}, true
	}
	return measure{}, false
}

// ParseLength reads a length in millimetres: a bare number in unit, or a number, a
// fraction or a whole number with a fraction (7 5/8, 7-5/8) and mm, cm, m, in or ". The result is
// finite, and for decimals the float64 nearest to what is written. Errors wrap
// ErrQuantity.
func ParseLength(text string, unit Unit) (float64, error) {
	m, err := match(text)
	if err != nil {
		return 0, fmt.Errorf("%w: write a length such as 190 mm, 19 cm, 7.5 in or 7 5/8 in", err)
	}
	in, known := lengthUnit(m[8], unit)
	if !known {
		return 0, fmt.Errorf("%w: %q is not a unit of length: mm, cm, m, in or \" are", ErrQuantity, m[8])
	}
	return value(m, in)
}

// ParseMass reads a mass in kilograms: a bare number of them, or a number and kg, g
// or lb (kgs and lbs are read too). The result is finite. Errors wrap ErrQuantity.
func ParseMass(text string) (float64, error) {
	m, err := match(text)
	if err != nil {
		return 0, fmt.Errorf("%w: write a mass such as 13.2 kg or 29 lb", err)
	}
	in, known := massUnit(m[8])
	if !known {
		return 0, fmt.Errorf("%w: %q is not a unit of mass: kg, g or lb are", ErrQuantity, m[8])
	}
	return value(m, in)
}

// maxDigits keeps the numbers of a text within what float64 holds. It also keeps an error's text
// short.
const maxDigits = 40

// decimalComma is a number with a comma, as much of the world writes it.
var decimalComma = regexp.MustCompile(`^\s*[+-]?(\d+),(\d+)`)

// match splits a quantity into the parts of the pattern. A comma is told apart because the mend is
// not to be guessed: 1,500 may be one and a half or fifteen hundred.
func match(text string) ([]string, error) {
	if len(text) <= maxDigits {
		if m := quantity.FindStringSubmatch(text); m != nil {
			return m, nil
		}
	}
	if comma := decimalComma.FindStringSubmatch(text); comma != nil {
		return nil, fmt.Errorf("%w: %.40q has a comma: with a point, %s.%s, it is read; write no commas between thousands", ErrQuantity, text, comma[1], comma[2])
	}
	return nil, fmt.Errorf("%w: %.40q", ErrQuantity, text)
}

// value works out the parts of a quantity. Negative zero becomes zero.
func value(m []string, in measure) (float64, error) {
	v := digits(m[7], in.power)
	if below := m[4] + m[6]; below != "" {
		v = (digits(m[2], 0) + digits(m[3]+m[5], 0)/digits(below, 0)) * math.Pow10(in.power)
	}
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, fmt.Errorf("%w: %.40q is divided by nothing", ErrQuantity, m[0])
	}
	switch {
	case in.inch:
		v = Inch.Length(v)
	case in.pound:
		v *= KilogramsPerPound
	}
	// The sign applies to the whole: -7 5/8 is minus seven and five eighths.
	if m[1] == "-" {
		v = 0 - v
	}
	return v, nil
}

// digits reads digits that the pattern has let through, times a power of ten; none
// are 0. The power goes into the text, so that 1.001 m is 1001 mm.
func digits(text string, power int) float64 {
	v, _ := strconv.ParseFloat(text+"e"+strconv.Itoa(power), 64)
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
// number and a fraction to 1/16, rounded to the nearest. Numbers to read, not to reckon with.
func FormatLength(mm float64, unit Unit) string { return FormatLengthRounded(mm, unit, ToNearest) }

// FormatLengthRounded is FormatLength with the direction of rounding chosen. What is told as room
// is rounded down and what is told as a need up, so that no one saws by a number that flatters.
// Infinite and undefined lengths are "without limit".
func FormatLengthRounded(mm float64, unit Unit, r Rounding) string {
	per := 10.0
	if unit == Inch {
		per = 16 / MillimetresPerInch
	}
	// Tenths of a millimetre, or sixteenths of an inch.
	steps := mm * per
	if math.IsInf(steps, 0) || math.IsNaN(steps) {
		return "without limit"
	}
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
	// Adding 0 makes a negative zero a zero.
	return strconv.FormatFloat(steps/10+0, 'f', -1, 64) + " mm"
}

// sixteenths writes n/16 as a whole number and a fraction in lowest terms. 7, 5/8, 7 5/8, and 0.
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
