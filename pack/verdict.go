package pack

// Verdict is the answer to "does it fit", and how sure.
type Verdict int

const (
	NoFitFound  Verdict = iota // nothing found, and not proven that there is nothing
	ProvenNoFit                // no layout of the allowed stands, turns and tilts has spare ≥ 0
	Tight                      // fits as measured, not with everything at its worst
	Sure                       // fits with everything at its worst at once
)
