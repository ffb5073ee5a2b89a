package pack

// Verdict is the answer to "does it fit", and how sure.
type Verdict int

const (
	NoFitFound  Verdict = iota // nothing found, and not proven that there is nothing
	ProvenNoFit                // no layout of the allowed stands, turns and tilts has spare ≥ 0
	Fits                       // fits as measured; how sure that is was not asked
	Tight                      // fits as measured, and was not found to with everything at its worst
	Sure                       // fits with everything at its worst at once
)

var verdictNames = [...]string{"no fit found", "proven no fit", "fits", "tight", "sure"}

// String returns the words said to the user and written in JSON.
func (v Verdict) String() string { return nameOf(verdictNames[:], int(v)) }

// ParseVerdict returns the verdict with the given name.
func ParseVerdict(text string) (Verdict, error) {
	i, err := parseName("verdict", verdictNames[:], text)
	return Verdict(i), err
}

// Fits tells whether a layout is known that fits as measured.
func (v Verdict) Fits() bool { return v == Fits || v == Tight || v == Sure }
