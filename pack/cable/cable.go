// Package cable knows stranded copper cables: their sizes, what they carry, what they resist,
// and what fuse protects them. Values that are not read in their source say so.
package cable

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Size is the cross-section of a cable, as it is sold.
type Size struct {
	Area  float64 // mm²
	Gauge *int    // AWG number, 1/0 is 0, 2/0 −1; nil for a size in mm²
}

// Metric is a size in mm².
func Metric(area float64) Size { return Size{Area: area} }

// Gauge is a size in AWG: n = 0 for 1/0, −1 for 2/0 and so on. A solid wire of that number
// has the diameter 0.127 mm · 92^((36 − n)/39) (ASTM B258, second-hand), and a stranded one
// the same copper.
func Gauge(n int) Size {
	d := 0.127 * math.Pow(92, float64(36-n)/39)
	return Size{Area: math.Pi / 4 * d * d, Gauge: &n}
}

// String is the size as sold: "35 mm²", "AWG 2", "AWG 1/0".
func (s Size) String() string {
	switch {
	case s.Gauge == nil:
		return strconv.FormatFloat(s.Area, 'g', -1, 64) + " mm²"
	case *s.Gauge <= 0:
		return fmt.Sprintf("AWG %d/0", 1-*s.Gauge)
	}
	return fmt.Sprintf("AWG %d", *s.Gauge)
}

var (
	gaugeForm  = regexp.MustCompile(`^(?i:awg\s*)(\d{1,2})$|^(\d{1,2})(?i:\s*awg)$`)
	zeroesForm = regexp.MustCompile(`^(?i:awg\s*)?([1-4])/0(?i:\s*awg)?$`)
	metricForm = regexp.MustCompile(`^(\d+(?:\.\d+)?)(?:\s*mm(?:2|²))?$`)
)

// Parse reads a size: a number of mm², or AWG with a number or 1/0 to 4/0.
func Parse(text string) (Size, error) {
	text = strings.TrimSpace(text)
	if m := zeroesForm.FindStringSubmatch(text); m != nil {
		n, _ := strconv.Atoi(m[1])
		return Gauge(1 - n), nil
	}
	if m := gaugeForm.FindStringSubmatch(text); m != nil {
		n, _ := strconv.Atoi(m[1] + m[2])
		return inTable(Gauge(n), text)
	}
	if m := metricForm.FindStringSubmatch(text); m != nil {
		area, _ := strconv.ParseFloat(m[1], 64)
		return inTable(Metric(area), text)
	}
	return Size{}, fmt.Errorf("%q is no size of cable: write mm² such as 35, or AWG 2, or 1/0", text)
}

// inTable refuses what the table of what cables carry does not reach.
func inTable(s Size, text string) (Size, error) {
	if s.Area < table[0].size().Area || s.Area > mostArea {
		return Size{}, fmt.Errorf("%q is beyond the table of what cables carry: from AWG 10 (5.3 mm²) to 4/0 (107 mm²)", text)
	}
	return s, nil
}

// mostArea in mm² is a little more than 4/0.
const mostArea = 120

// Standard are the sizes to choose from where a file names none: common ones in mm².
func Standard() []Size {
	return []Size{Metric(16), Metric(25), Metric(35), Metric(50), Metric(70)}
}

// Outside is the outside diameter in millimetres of flexible cable of a size: 16, 25, 35, 50
// and 70 mm² from makers' tables (second-hand), others between or beyond these by the root of
// the area.
func (s Size) Outside() float64 {
	known := []struct{ area, d float64 }{{16, 9.7}, {25, 11.2}, {35, 12.4}, {50, 14.3}, {70, 16.3}}
	root := math.Sqrt(s.Area)
	i := 1
	for i < len(known)-1 && s.Area > known[i].area {
		i++
	}
	a, b := known[i-1], known[i]
	return a.d + (root-math.Sqrt(a.area))*(b.d-a.d)/(math.Sqrt(b.area)-math.Sqrt(a.area))
}

// Bend radii of flexible cable, as multiples of its outside diameter (second-hand).
const (
	BendFixed  = 4 // laid once
	BendFlexed = 6 // moved in use
)

// Resistivity of copper in Ω·mm²/m at 20 °C, and its change per K (IEC 60028, second-hand).
const (
	Resistivity = 0.017241
	PerKelvin   = 0.00393
)

// Resistance returns the ohms of a length of copper in millimetres at a temperature in °C.
// For sizes that IEC 60228 lists as class 5 it is the greatest that standard allows.
func (s Size) Resistance(length, celsius float64) float64 {
	perMetre := Resistivity / s.Area
	for area, perKilometre := range class5 {
		if s.Gauge == nil && s.Area == area {
			perMetre = perKilometre / 1000
		}
	}
	return perMetre * length / 1000 * (1 + PerKelvin*(celsius-20))
}

// class5 is the greatest resistance in Ω/km at 20 °C of flexible conductors by mm² (IEC 60228,
// class 5, second-hand).
var class5 = map[float64]float64{16: 1.21, 25: 0.780, 35: 0.554, 50: 0.386, 70: 0.272}
