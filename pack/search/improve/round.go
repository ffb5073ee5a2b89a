package improve

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"rackwright/pack/search/model"
)

// Rounded rounds all places to the coarsest step that keeps the spare, or to seven digits
// after the point, which cost nothing that counts and are easier to read than sixteen.
//
// Whole millimetres first, then halves, quarters, tenths and twentieths, then binary fractions,
// which hold what the model's own rounding gives. A spare of 0 or more must not become less than 0
// by it.
func Rounded(m *model.Model, spots []model.Spot, spare float64) ([]model.Spot, float64) {
	for _, perMM := range []float64{1, 2, 4, 10, 20, 1024, 2048} {
		if next, left := roundedTo(m, spots, perMM); left >= spare-model.Rounding && (left >= 0) == (spare >= 0) {
			return next, left
		}
	}
	if next, left := roundedTo(m, spots, 1e7); left >= spare-1e3*model.Rounding && (left >= 0) == (spare >= 0) {
		return next, left
	}
	return spots, spare
}

// roundedTo rounds every place to so many parts of a millimetre, and measures anew.
func roundedTo(m *model.Model, spots []model.Spot, perMM float64) ([]model.Spot, float64) {
	next := slices.Clone(spots)
	for i, s := range next {
		next[i].At = r3.Vector{X: math.Round(s.At.X*perMM) / perMM, Y: math.Round(s.At.Y*perMM) / perMM, Z: math.Round(s.At.Z*perMM) / perMM}
	}
	return next, m.SharpLeft(next)
}
