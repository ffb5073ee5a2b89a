package cable

import (
	"fmt"
	"math"
	"slices"
)

// row is what a cable of a gauge carries in A at 30 °C, by the temperature of its insulation.
type row struct {
	gauge int
	amps  [7]float64
}

func (r row) size() Size { return Gauge(r.gauge) }

// Insulations are the temperatures in °C that the table has columns for.
var Insulations = []int{60, 75, 80, 90, 105, 125, 200}

// table is 33 CFR 183.425, Table 5: single insulated conductors of stranded copper at 30 °C.
var table = []row{
	{10, [7]float64{40, 40, 50, 55, 60, 70, 70}},
	{8, [7]float64{55, 65, 70, 70, 80, 90, 100}},
	{6, [7]float64{80, 95, 100, 100, 120, 125, 135}},
	{4, [7]float64{105, 125, 130, 135, 160, 170, 180}},
	{2, [7]float64{140, 170, 175, 180, 210, 225, 240}},
	{1, [7]float64{165, 195, 210, 210, 245, 265, 280}},
	{0, [7]float64{195, 230, 245, 245, 285, 305, 325}},
	{-1, [7]float64{225, 265, 285, 285, 330, 355, 370}},
	{-2, [7]float64{260, 310, 330, 330, 385, 410, 430}},
	{-3, [7]float64{300, 360, 385, 385, 445, 475, 510}},
}

// Surroundings are how a cable is laid.
type Surroundings struct {
	Insulation int  // °C, one of Insulations
	Hot        bool // in a space of 50 °C, by an engine or in the sun, instead of 30
	Bundle     int  // current-carrying cables that lie together; 0 counts as 1
}

// Carries returns the current in A that a cable may carry for long: that of the largest gauge in
// the table with no more copper, so that a size in mm² is never overrated, less what heat
// and bundling take. The factors are 0.85 at 50 °C, known for insulation of 105 °C, and
// 0.70, 0.60, 0.50 for bundles of 3, 4 to 6, 7 to 24 (second-hand); with other insulation
// Hot is refused by ErrHot.
func (s Size) Carries(in Surroundings) (float64, error) {
	column := slices.Index(Insulations, in.Insulation)
	if column < 0 {
		return 0, fmt.Errorf("insulation for %d °C is not in the table; there are %v", in.Insulation, Insulations)
	}
	if in.Hot && in.Insulation != 105 {
		return 0, ErrHot
	}
	amps := 0.0
	for _, r := range table {
		if r.size().Area <= s.Area*(1+1e-9) {
			amps = r.amps[column]
		}
	}
	if in.Hot {
		amps *= 0.85
	}
	return amps * bundled(in.Bundle), nil
}

// ErrHot tells that what a cable carries in a hot space is known for one insulation alone.
var ErrHot = fmt.Errorf("what a cable carries in a hot space is known for insulation of 105 °C alone")

func bundled(n int) float64 {
	switch {
	case n < 3:
		return 1
	case n == 3:
		return 0.70
	case n <= 6:
		return 0.60
	}
	return 0.50
}

// Ratings of fuses in A that are common (practice).
var Ratings = []float64{40, 50, 60, 80, 100, 125, 150, 175, 200, 225, 250, 300, 350, 400, 450, 500}

// HighVoltage in V is from where on a fuse may be no more than what the cable carries (33 CFR
// 183.455).
const HighVoltage = 50

// most150 is how much more than what the cable carries a fuse may be at the most.
const most150 = 1.5

// MostFuse returns the greatest common rating of a fuse that protects a cable which carries so
// much, at a voltage: by 33 CFR 183.455 at most 150 % of what it carries below 50 V; at 50 V
// and above that itself, or, where there is no such rating, the next one up, if that is not more
// than 150 %. It is 0 where there is none.
func MostFuse(carries, volts float64) float64 {
	most := 0.0
	for _, r := range Ratings {
		switch {
		case volts < HighVoltage && r <= most150*carries, r <= carries:
			most = r
		case volts >= HighVoltage && most < carries && r <= most150*carries:
			return r // the next one up, for there is none of that value
		}
	}
	return most
}

// Fuse returns the rating to use: the least common one with a quarter more than the lasting
// current and four fifths of the peak (practice: a fuse bears a peak for seconds), or, where
// the cable does not allow it, the greatest that it does allow and that bears the lasting
// current. It is 0 where there is none: the cable is too thin.
func Fuse(carries, volts, amps, peak float64) float64 {
	const lasting, peaks = 1.25, 0.8
	most := MostFuse(carries, volts)
	for _, r := range Ratings {
		if r >= math.Max(lasting*amps, peaks*peak) && r <= most {
			return r
		}
	}
	if most >= amps {
		return most
	}
	return 0
}
