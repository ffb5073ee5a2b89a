package survey

import (
	"math"
	"slices"
)

// Baarda's choice for data snooping (from memory): the test that one right measurement in a
// thousand fails, two-sided, and the mistake that is found four times in five.
const (
	Critical = 3.29
	Detected = 4.13
)

// CheckedFrom is the redundancy number from which a measurement counts as checked. A mistake
// in one that has less has to be some 30 standard deviations to show, eleven times what it
// is off by at most.
const CheckedFrom = 0.02

// nothing is the redundancy number of what nothing checks at all, with what rounding adds.
const nothing = 1e-7

// certain is how much more likely one mistake has to be than all others together to be
// named: nineteen times.
const certain = 0.95

// Suspect is a measurement that is wrong, and by how much it is likely to be: measured less
// what it should be.
type Suspect struct {
	Measurement int
	Off         float64
}

// Findings is what data snooping says of an adjustment.
type Findings struct {
	// Wrong are measurements that can be named, the first first; each was found with those
	// before it left out.
	Wrong []Suspect
	// Doubted are measurements of which one is wrong, the most likely first, where none can be
	// named, and how likely that is of each.
	Doubted []Suspect
	// Tells is the distance that would tell which of the doubted it is best, where there is one.
	Tells *Pair
	// Rest tells whether measurements disagree in a way that mistakes of a few do not explain;
	// the doubted are then those whose absence helps most.
	Rest bool
}

// Test is how many standard deviations what is left over of a measurement is from nothing;
// 0 where nothing checks it.
func (a *Adjustment) Test(i int) float64 {
	if a.Checked[i] < nothing {
		return 0
	}
	return a.Residuals[i] / (a.Network.Measurements[i].SD * math.Sqrt(a.Checked[i]))
}

// Showing is the mistake in a measurement from which on it is found four times in five;
// infinite where nothing checks it.
func (a *Adjustment) Showing(i int) float64 {
	if a.Checked[i] < nothing {
		return math.Inf(1)
	}
	return Detected * a.Network.Measurements[i].SD / math.Sqrt(a.Checked[i])
}

// off is the likely mistake of a measurement: measured less what it should be.
func (a *Adjustment) off(i int) float64 { return -a.Residuals[i] / a.Checked[i] }

// alike is the correlation of the tests of two measurements: 1 where a mistake in one shows
// in both alike.
func (a *Adjustment) alike(i, k int) float64 {
	if i == k {
		return 1
	}
	return math.Abs(a.hat.At(i, k)) / math.Sqrt(a.Checked[i]*a.Checked[k])
}

// mostWrong is how many measurements are named at most: with more, start again.
const mostWrong = 3

// Snoop looks for measurements that are wrong, one after the other. Each time the likelihood
// of a mistake in one alone, of whatever size, is compared for all: its logarithm is half of
// the square of the test. Measurements with equal tests are equally likely, so of these none
// is named.
func (a *Adjustment) Snoop() Findings {
	var f Findings
	kept := make([]int, len(a.Network.Measurements))
	for i := range kept {
		kept[i] = i
	}
	for {
		suspects, likely := a.suspects()
		if len(suspects) == 0 {
			f.Rest = !a.agreeing
			return f.withoutExplanation()
		}
		if len(f.Wrong) == mostWrong {
			f.Rest = true
			return f.withoutExplanation()
		}
		if likely[0] < certain {
			f.doubt(a, suspects, likely, kept)
			return f
		}
		i := suspects[0]
		next, err := a.Network.without(i).adjust(state{a.Places, a.Level})
		if err != nil {
			f.Rest = true
			return f.withoutExplanation()
		}
		m := a.Network.Measurements[i]
		should, _ := a.Network.predict(m, state{next.Places, next.Level})
		f.Wrong = append(f.Wrong, Suspect{kept[i], misclosure(m, should)})
		kept = slices.Delete(slices.Clone(kept), i, i+1)
		a = next
	}
}

// withoutExplanation makes what was named doubtful where measurements disagree without it
// too: then it may be that others are wrong.
func (f Findings) withoutExplanation() Findings {
	if f.Rest {
		f.Wrong, f.Doubted = nil, f.Wrong
	}
	return f
}

// doubt notes measurements of which one is wrong.
func (f *Findings) doubt(a *Adjustment, suspects []int, likely []float64, kept []int) {
	var those []int
	for k, i := range suspects {
		if likely[k] < (1-certain)/float64(len(suspects)) {
			continue
		}
		those = append(those, i)
		f.Doubted = append(f.Doubted, Suspect{kept[i], a.off(i)})
	}
	if p, ok := a.telling(those); ok {
		f.Tells = &p
	}
}

// suspects are the checked measurements, the most likely to be wrong first, with how likely
// it is that the mistake is theirs; none where no test fails.
func (a *Adjustment) suspects() (list []int, likely []float64) {
	worst := 0.0
	for i := range a.Checked {
		if a.Checked[i] >= nothing {
			list = append(list, i)
			worst = max(worst, math.Abs(a.Test(i)))
		}
	}
	if worst <= Critical {
		return nil, nil
	}
	slices.SortStableFunc(list, func(i, k int) int {
		switch x, y := math.Abs(a.Test(i)), math.Abs(a.Test(k)); {
		case math.Abs(x-y) <= equalTests*worst:
			return 0
		case x > y:
			return -1
		}
		return 1
	})
	total := 0.0
	for _, i := range list {
		weight := math.Exp((square(a.Test(i)) - square(worst)) / 2)
		likely, total = append(likely, weight), total+weight
	}
	for k := range likely {
		likely[k] /= total
	}
	return list, likely
}

// equalTests is by how much tests that are the same differ through rounding.
const equalTests = 1e-6
