package pack

// Verdict is the answer to "does it fit", and how sure.
type Verdict int

const (
	NoFitFound  Verdict = iota // nothing found, and not proven that there is nothing
	ProvenNoFit                // no layout of the allowed stands, turns and tilts has spare ≥ 0
	Tight                      // fits as measured, not with everything at its worst
	Sure                       // fits with everything at its worst at once
)

var verdictNames = [...]string{"no fit found", "proven no fit", "tight", "sure"}

// String returns the words said to the user and written in JSON.
func (v Verdict) String() string { return nameOf(verdictNames[:], int(v)) }

// ParseVerdict returns the verdict with the given name.
func ParseVerdict(text string) (Verdict, error) {
	i, err := parseName("verdict", verdictNames[:], text)
	return Verdict(i), err
}

// Fits tells whether a layout with spare ≥ 0 is known.
func (v Verdict) Fits() bool { return v == Tight || v == Sure }
